"""The midline that an outline takes, between two levels, and the pits against them; without and
with the caudal shift, so that what the shift costs is seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Drawing, Point, ellipse, polyline, segments
from offmidline.figures.page.labels import Label
from offmidline.figures.page.measures import Measure, level_mark
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import Sheet, sheet
from offmidline.figures.page.style import FINE_DOUBLE_DOT, SYMBOL, TEXT_SIZE, THIN, Line, Role
from offmidline.figures.scene.found import Finding, draw_finding
from offmidline.figures.scene.ground import label_landmarks
from offmidline.figures.scene.layers import along_midline, draw_covered, pit_fate
from offmidline.figures.scene.stitches import draw_wound, wound_content
from offmidline.figures.scene.surface import (
    Content,
    Panel,
    Surface,
    label_line,
    open_surface,
    open_surfaces,
)
from offmidline.figures.scene.traces import outline_trace
from offmidline.figures.view import View, shown, single
from offmidline.figures.views.coverage.words import (
    Compared,
    Levels,
    compared,
    coverage_words,
    covered_length,
    pit_kept,
)
from offmidline.figures.words import number, say
from offmidline.geometry.closure import edge_positions
from offmidline.plan import CasePlan, PitMeasure, Plan

# More pits than these that keep their margin share one label.
_MOST_LABELS: Final = 3
# Between labels one below the other, mm on the page.
_APART: Final = 0.8
# Half of the width (mm on the page) of the stretch that the shift uncovers.
_HALF_BAR: Final = 1.2
# Where the leader of the fitted outline's name may lead, as shares of its lateral edge.
_FITTED_ANCHORS: Final = np.linspace(0.1, 0.9, 12)


def _draw(planned: CasePlan) -> Drawing:
    """One picture of what the marking covers, or two where a shift is to be compared."""
    plan, both = shown(planned), compared(planned)
    margin = number(plan.technique.settings.pit_margin)
    page = sheet(planned, say("coverage.subtitle", margin=margin))
    if both is not None:
        return _draw_both(page, both)
    surface = open_surface(page, _content([plan]), plan.marking.side)
    _name_plan(surface, plan, _draw_plan(surface, plan))
    if plan.midline_covered is not None:
        words = say("coverage.covered", value=number(covered_length(plan)))
        label_line(surface, "covered", along_midline(*plan.midline_covered), words)
    label_landmarks(surface, coccyx=False)
    return surface.finish()


def _draw_both(page: Sheet, both: Compared) -> Drawing:
    """Without and with the shift, side by side."""
    plans = [both.straight, both.shifted]
    content = _content(plans if both.fitted is None else [*plans, both.fitted])
    shift = number(both.shifted.outline.caudal_shift)
    panels = [
        Panel(
            gid,
            say(f"coverage.panel_{gid}", shift=shift, covered=number(covered_length(plan))),
            content,
            plan.marking.side,
        )
        for gid, plan in zip(("without", "with"), plans, strict=True)
    ]
    first, second = open_surfaces(page, panels)
    _name_plan(first, both.straight, _draw_plan(first, both.straight))
    label_landmarks(first, coccyx=False)
    first.finish()
    pits = _draw_plan(second, both.shifted)
    _draw_shift(second, both.lost, both.fitted)
    _name_plan(second, both.shifted, pits)
    _name_shift(second, both.lost, both.fitted)
    return second.finish()


def _content(plans: Sequence[Plan]) -> Content:
    pits: list[Point] = [(0.0, pit.at) for pit in plans[0].pits]
    return wound_content(*(plan.outline for plan in plans), found=pits)


def _draw_plan(surface: Surface, plan: Plan) -> list[Finding]:
    """A marking with what it covers and the pits."""
    draw_wound(surface, plan.outline)
    draw_covered(surface, plan)
    return [_draw_pit(surface, plan, index) for index in range(len(plan.pits))]


def _name_plan(surface: Surface, plan: Plan, pits: Sequence[Finding]) -> None:
    surface.board.dimensions(_level_marks(surface, plan))
    _name_pits(surface, plan, pits)


def _draw_shift(surface: Surface, lost: Levels | None, fitted: Plan | None) -> None:
    """What a shift uncovers, and the marking that is fitted with it."""
    if lost is not None:
        _draw_uncovered(surface, lost)
    if fitted is not None:
        surface.board.line("fitted", outline_trace(fitted.outline), "ink", FINE_DOUBLE_DOT)


def _name_shift(surface: Surface, lost: Levels | None, fitted: Plan | None) -> None:
    if fitted is not None:
        edge = edge_positions(fitted.outline, "lateral", _FITTED_ANCHORS)
        label_line(surface, "fitted", edge, say("coverage.fitted"), say("coverage.fitted_how"))
    if lost is not None:
        words = say("coverage.lost", value=number(lost[1] - lost[0]))
        label_line(surface, "uncovered", along_midline(*lost), words)


def _draw_uncovered(surface: Surface, levels: Levels) -> None:
    """The stretch as an open bar with its two diagonals."""
    half = _HALF_BAR / surface.board.frame.scale
    low, high = levels
    corners = [(-half, low), (half, low), (half, high), (-half, high)]
    surface.board.edge("uncovered", polyline(corners, closed=True), "midline", THIN, fill="paper")
    crossed = segments([(corners[0], corners[2]), (corners[1], corners[3])])
    surface.board.line("uncovered-cross", crossed, "midline", THIN)


def _draw_pit(surface: Surface, plan: Plan, index: int) -> Finding:
    """A pit and, round it, the margin that is asked for: strong where it is not kept."""
    pit, board = plan.pits[index], surface.board
    radius = pit.diameter / 2 + plan.technique.settings.pit_margin
    paint: tuple[Role, Line] = (
        ("muted", THIN) if pit_kept(plan, pit) == "kept" else ("wrong", SYMBOL)
    )
    board.line(f"margin-{index + 1}", ellipse((0, pit.at), radius, radius), *paint)
    drawn = draw_finding(surface, "pit", index + 1, (0.0, pit.at), pit.diameter, pit_fate(pit))
    return Finding(drawn.centre, max(drawn.radius, radius * board.frame.scale))


def _level_marks(surface: Surface, plan: Plan) -> Iterator[Measure]:
    """The two levels of what is covered, told on the medial side."""
    frame = surface.board.frame
    if plan.midline_covered is not None:
        for name, level in zip(("low", "high"), plan.midline_covered, strict=True):
            start = frame.at(0.0, level)
            yield level_mark(f"covered-{name}", number(level), start, surface.medial.x, -frame.sign)


def _name_pits(surface: Surface, plan: Plan, drawn: Sequence[Finding]) -> None:
    """The margin of each pit; where many keep theirs, the least of these."""
    pits = plan.pits
    kept = [index for index, pit in enumerate(pits) if pit_kept(plan, pit) == "kept"]
    together = kept if len(kept) > _MOST_LABELS else []
    middle = sum(pit.at for pit in pits) / len(pits)
    # From the middle outwards, so that no leader has to cross another one's.
    alone = sorted(set(range(len(pits))) - set(together), key=lambda n: abs(pits[n].at - middle))
    for index in alone:
        lines = _pit_lines(plan, pits[index])
        _name_pit(surface, f"pit-{index + 1}", [drawn[index]], lines)
    if together:
        least = min(pits[index].margin for index in together)
        words = say("coverage.pits_group", count=len(together), value=number(least))
        lines = wrap(words, surface.room, TEXT_SIZE)
        _name_pit(surface, "pits", [drawn[index] for index in together], lines)


def _name_pit(surface: Surface, gid: str, drawn: Sequence[Finding], lines: tuple[str, ...]) -> None:
    centres = tuple(one.centre for one in drawn)
    clear = max(one.radius for one in drawn)
    surface.board.label(
        Label(f"label-{gid}", lines, centres, surface.columns, clear=clear, apart=_APART)
    )


def _pit_lines(plan: Plan, pit: PitMeasure) -> tuple[str, ...]:
    margin, fate = say("coverage.margin", value=number(pit.margin)), pit_kept(plan, pit)
    return (margin,) if fate == "kept" else (say(f"coverage.pit_{fate}"), margin)


VIEW: Final[View] = single(
    "coverage",
    coverage_words,
    _draw,
    reads=("case:findings.pits", "case:side", "case:marking", "technique:caudal_shift"),
)
