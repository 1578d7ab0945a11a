"""Why the caudal shift: the predicted scar and its line prolonged to the level of the anal verge,
without a shift, with half of it and with all of it.

Where a marking is not shifted away from the midline, the technique's shift is shown instead.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Drawing, Point, Trace, joined, polyline
from offmidline.figures.page.measures import Measure, level
from offmidline.figures.page.sheet import Block, paragraph, sheet
from offmidline.figures.page.style import (
    CENTRE,
    CUT,
    DASHED,
    DOUBLE_DOT,
    HIDDEN,
    TEXT_SIZE,
    THIN,
    Line,
)
from offmidline.figures.scene import anatomy
from offmidline.figures.scene.ground import (
    draw_ground,
    draw_midline,
    label_landmarks,
    name_midlines,
)
from offmidline.figures.scene.layers import draw_pits, outline_content
from offmidline.figures.scene.marking_dimensions import LEAST
from offmidline.figures.scene.surface import Surface, label_line, open_surface
from offmidline.figures.scene.traces import bent_scar_trace, outline_trace, prolongation, scar_trace
from offmidline.figures.view import View, shown, single
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.outline import Outline
from offmidline.plan import CasePlan, Plan
from offmidline.variants import with_caudal_shift

# From the verge down to the first dimension (on the page, mm, and more of it the larger the scale),
# between two of them, and from the last one to the end of the field.
_FIRST: Final = 3.5
_FURTHER: Final = 4.5
_APART: Final = 6.5
_LAST: Final = 1.5
# Room for the dimensions below the verge's centre, mm of the plan.
_BELOW: Final = 36.0
_FROM_MIDLINE: Final = Choices(extend=(False, True), outside=(True, False))
_STRONG: Final = Line(CUT.width, DOUBLE_DOT.dashes)


@dataclass(frozen=True)
class _Way:
    """A scar with some caudal shift, and its line type."""

    name: str
    outline: Outline
    line: Line

    @property
    def seen(self) -> bool:
        """Whether the level of the verge is reached on the page."""
        beyond = prolongation(self.outline)
        return not beyond or abs(beyond[-1][1]) < LEAST

    @property
    def trace(self) -> Trace:
        """The scar, of which only the full shift's is drawn in full, and its prolongation."""
        full = self.name == "full"
        scar = scar_trace(self.outline) if full else bent_scar_trace(self.outline)
        beyond = prolongation(self.outline)
        return joined(scar, polyline(beyond)) if beyond else scar

    @property
    def text(self) -> str:
        """How much is shifted, and where that passes the level of the verge."""
        return say(
            "labels.shift_passes",
            shift=number(self.outline.caudal_shift),
            value=number(self.outline.crosses_verge_at),
        )


def _ways(plan: Plan) -> tuple[_Way, ...]:
    """The scars that are compared; one where neither the marking nor the technique has a shift."""
    full = plan.outline.caudal_shift
    shares = ((0.0, "none", THIN), (0.5, "half", DASHED), (1.0, "full", _STRONG))
    return tuple(
        _Way(name, replace(plan.outline, caudal_shift=share * full), line)
        for share, name, line in (shares if full > LEAST else shares[-1:])
    )


def _fully_shifted(planned: CasePlan) -> Plan:
    """The marking, or the same with the technique's shift where it is not shifted away."""
    plan = shown(planned)
    if plan.outline.caudal_shift > LEAST:
        return plan
    return with_caudal_shift(planned, plan, planned.technique.settings.caudal_shift)


def _draw(planned: CasePlan) -> Drawing:
    plan = _fully_shifted(planned)
    ways, side, full = _ways(plan), plan.marking.side, plan.outline
    page = sheet(planned, say("caudal-shift.subtitle"), _whose_shift(planned))
    pits: list[Point] = [(0.0, pit.at) for pit in plan.pits]
    ends = [np.array(way.trace.points[-1:]) for way in ways]
    below = np.array([(0.0, -_BELOW)])
    content = outline_content(full, found=pits, more=[*ends, below])
    surface = open_surface(page, replace(content, apex=None), side)
    board = surface.board
    name_midlines(board, full.offset)
    draw_ground(surface)
    draw_midline(surface)
    head = [(full.offset, full.cranial_apex), (full.offset, surface.levels[1])]
    board.line("new-midline-cranial", polyline(head), "newline", CENTRE)
    with board.faded():
        board.edge("outline", outline_trace(full), "ink", CUT)
    draw_pits(surface, plan)
    for way in ways:
        board.line(f"scar-{way.name}", way.trace, "scar", way.line)
    furthest = max((way.outline.crosses_verge_at for way in ways if way.seen), default=0.0)
    if furthest > anatomy.VERGE_HALF_WIDTH:
        verge = polyline([(anatomy.VERGE_HALF_WIDTH, 0.0), (furthest, 0.0)])
        board.line("verge-level", verge, "faint", HIDDEN)
    board.dimensions(_dimensions(surface, ways))
    for way in ways:
        if not _has_dimension(way):
            points = way.trace.points[-3:]
            label_line(surface, f"passes-{way.name}", points, way.text)
    label_landmarks(surface)
    return surface.finish()


def _whose_shift(planned: CasePlan) -> list[Block]:
    """That the shift is not the marking's, where it is the technique's."""
    if shown(planned).outline.caudal_shift > LEAST:
        return []
    return [paragraph("whose-shift", _whose(planned), TEXT_SIZE)]


def _whose(planned: CasePlan) -> str:
    own = shown(planned).outline.caudal_shift
    key = "own" if own > LEAST else "none" if own > -LEAST else "towards"
    values = {
        "own": number(abs(own)),
        "shift": number(_fully_shifted(planned).outline.caudal_shift),
    }
    return say(f"caudal-shift.whose.{key}", **values)


def _has_dimension(way: _Way) -> bool:
    return way.seen and abs(way.outline.crosses_verge_at) > LEAST


def _dimensions(surface: Surface, ways: tuple[_Way, ...]) -> list[Measure]:
    """Where each scar passes the level of the verge, from the midline; the nearest first."""
    frame = surface.board.frame
    top = frame.at(0, -anatomy.VERGE_HALF_HEIGHT)[1] - _FIRST - _FURTHER * frame.scale
    measured = sorted(
        filter(_has_dimension, ways), key=lambda way: abs(way.outline.crosses_verge_at)
    )
    room = top - surface.board.low[1] - _LAST
    apart = min(_APART, room / max(1, len(measured) - 1))
    return [
        level(
            f"passes-{way.name}",
            way.text,
            (frame.at(0, 0), frame.at(way.outline.crosses_verge_at, 0)),
            top - row * apart,
            _FROM_MIDLINE,
        )
        for row, way in enumerate(measured)
    ]


def _words(planned: CasePlan) -> Words:
    plan = _fully_shifted(planned)
    ways, outline = _ways(plan), plan.outline
    at = [number(way.outline.crosses_verge_at) for way in ways]
    values = {
        "side": say(plan.marking.side),
        "offset": number(outline.offset),
        "shift": number(outline.caudal_shift),
        "half_shift": number(outline.caudal_shift / 2),
        "caudal_level": number(outline.caudal_apex),
        "none": at[0],
        "half": at[len(at) // 2],
        "full": at[-1],
    }
    compared = "compared" if len(ways) > 1 else "alone"
    beyond = "beyond" if outline.caudal_apex >= 0 else "crossing"
    return Words(
        title=say("caudal-shift.title", case=isolated(planned.case.title)),
        description=say(
            "caudal-shift.description",
            whose=_whose(planned),
            beyond=say(f"caudal-shift.{beyond}", **values),
            passes=say(f"caudal-shift.passes.{compared}", **values),
            **values,
        ),
        caption=say(f"caudal-shift.caption_{compared}", **values),
    )


VIEW: Final[View] = single(
    "caudal-shift",
    _words,
    _draw,
    reads=("case:findings", "case:marking", "technique:caudal_shift"),
)
