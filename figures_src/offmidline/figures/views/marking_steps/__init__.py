"""The marking in steps: what is new in a step is strong, what was there before is faint.

Every step has the same page, frame and scale, made from the finished plan and all that leads to it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

import numpy as np

from offmidline.figures.page.board import Fate
from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Drawing, polyline
from offmidline.figures.page.measures import Measure, level, straight, upright
from offmidline.figures.page.metrics import width
from offmidline.figures.page.style import CUT, DASHED, FINE_DOUBLE_DOT, TEXT_SIZE
from offmidline.figures.scene.found import label_group
from offmidline.figures.scene.ground import (
    draw_ground,
    draw_midline,
    label_landmarks,
    name_midlines,
)
from offmidline.figures.scene.layers import (
    along_midline,
    draw_covered,
    draw_findings,
    draw_new_midline,
    draw_scar,
    label_covered,
    label_findings,
    label_scar,
    undecided,
)
from offmidline.figures.scene.marking_dimensions import (
    LEAST,
    caudal_apex_measure,
    length_measure,
    offset_measure,
    verge_measure,
    width_measures,
)
from offmidline.figures.scene.surface import label_line
from offmidline.figures.scene.traces import caudal_trace, outline_trace
from offmidline.figures.view import View
from offmidline.figures.views.marking_steps.near_openings import STANDINGS, JudgedOpening
from offmidline.figures.views.marking_steps.scene import (
    BAR_HALF,
    Scene,
    draw_disease,
    draw_midlines_faintly,
    draw_whole_new_midline,
    say_beside,
    scene_of,
)
from offmidline.figures.views.marking_steps.words import STEPS, describe
from offmidline.figures.words import number, say
from offmidline.plan import CasePlan, OpeningMeasure

# On the page, mm: from the midline to the dimension of the disease's extent, and from the caudal
# apex down to the dimension of its shift.
_ASIDE: Final = 12.0
_BELOW: Final = 8.0
_BARE: Final = Choices(extend=(False, False), outside=(False, False))


def _draw(planned: CasePlan, step: str) -> Drawing:
    scene = scene_of(planned, step)
    draw_ground(scene.surface)
    name_midlines(scene.surface.board, scene.plan.outline.offset, new=step != STEPS[0])
    _DRAW[step](scene)
    return scene.surface.finish()


def _midline(scene: Scene) -> None:
    surface = scene.surface
    draw_midline(surface)
    draw_disease(scene)
    draw_findings(surface, scene.plan, undecided, undecided)
    low, high = scene.disease
    frame = surface.board.frame
    x = -BAR_HALF / frame.scale
    ends = frame.at(x, low), frame.at(x, high)
    text = say("labels.extent", value=number(high - low))
    at = frame.at(0, 0)[0] - frame.sign * _ASIDE
    surface.board.dimensions([upright("extent", text, ends, at, Choices(beside=True))])
    levels = say("labels.covered_levels", low=number(low), high=number(high))
    label_line(surface, "disease", along_midline(low, high), say("labels.disease"), levels)
    label_landmarks(surface)


def _new_midline(scene: Scene) -> None:
    surface = scene.surface
    with surface.board.faded():
        draw_midline(surface)
        draw_disease(scene)
    draw_whole_new_midline(scene)
    pits, openings = draw_findings(surface, scene.plan, undecided, undecided)
    surface.board.dimensions(offset_measure(surface, scene.plan.outline, [*pits, *openings]))


def _reach(scene: Scene) -> None:
    surface, outline = scene.surface, scene.straight
    surface.board.area("outline-area", outline_trace(outline), "specimen-tint")
    draw_midlines_faintly(scene)
    surface.board.edge("outline", outline_trace(outline), "ink", CUT)
    pits, openings = draw_findings(surface, scene.plan, undecided, undecided)
    surface.board.dimensions(width_measures(surface, outline, [*pits, *openings]))


def _openings(scene: Scene) -> None:
    surface, near, board = scene.surface, scene.near, scene.surface.board
    draw_midlines_faintly(scene)
    with board.faded():
        board.edge("outline", outline_trace(scene.straight), "ink", CUT)
    if not near.openings:
        draw_findings(surface, scene.plan, undecided)
        say_beside(scene, "no-openings", say("labels.no_openings"))
        return
    board.line("outline-deciding", near.trace, "ink", CUT)
    if len(near.limit):
        board.line("near-limit", polyline(near.limit, closed=True), "cavity", DASHED)
    _, drawn = draw_findings(surface, scene.plan, undecided, _by_decision)
    board.dimensions(_gap_measures(scene))
    for standing in STANDINGS:
        chosen = [
            (one, finding)
            for one, finding in zip(near.openings, drawn, strict=True)
            if one.standing == standing
        ]
        # A gap in a label's words must not seem that of an opening beside which its own stands.
        untold = [pair for pair in chosen if pair[0].gap > LEAST and not _has_room(scene, pair[0])]
        rest = [finding for one, finding in chosen if (one, finding) not in untold]
        gaps = ", ".join(number(one.gap) for one, _ in untold)
        told = say("labels.untold_gap", value=gaps)
        label_group(surface, "opening", standing, [finding for _, finding in untold], gap=told)
        apart = "-told" if untold else ""
        label_group(surface, "opening", standing, rest, gid=apart, gap="")
    name = "outline_for_pits" if near.for_pits else "outline_marked"
    label_line(surface, "outline-deciding", near.trace.points[::3], say(f"labels.{name}"))
    if len(near.limit):
        distance = number(scene.planned.technique.settings.near_opening)
        label_line(surface, "near-limit", near.limit, say("labels.near", value=distance))


def _gap_measures(scene: Scene) -> list[Measure]:
    """The gaps between outline and openings that are wide enough for their text; an opening's label
    tells the others.
    """
    frame = scene.surface.board.frame
    return [
        straight(
            f"gap-{count}", _gap_text(one), (frame.at(*one.ends[0]), frame.at(*one.ends[1])), _BARE
        )
        for count, one in enumerate(scene.near.openings, 1)
        if _has_room(scene, one)
    ]


def _has_room(scene: Scene, opening: JudgedOpening) -> bool:
    room = opening.gap * scene.surface.board.frame.scale
    return room >= width(_gap_text(opening), TEXT_SIZE)


def _gap_text(opening: JudgedOpening) -> str:
    return say("labels.gap", value=number(opening.gap))


def _caudal_shift(scene: Scene) -> None:
    surface, outline, board = scene.surface, scene.plan.outline, scene.surface.board
    shift = outline.caudal_shift
    board.area("outline-area", outline_trace(outline), "specimen-tint")
    draw_midlines_faintly(scene)
    if abs(shift) > LEAST:
        board.line("outline-before", caudal_trace(scene.straight), "muted", FINE_DOUBLE_DOT)
    board.edge("outline", outline_trace(outline), "ink", CUT)
    pits, openings = draw_findings(surface, scene.plan, undecided, _by_decision)
    apex_measure = caudal_apex_measure(surface, outline, [*pits, *openings])
    board.dimensions([*_shift_measure(scene), *apex_measure])
    if abs(shift) <= LEAST:
        apex = np.array([outline.caudal_point])
        label_line(surface, "no-shift", apex, say("labels.no_shift"))
    else:
        trace = caudal_trace(scene.straight).points
        label_line(surface, "outline-before", trace[3:-3:3], say("labels.before_shift"))


def _finished(scene: Scene) -> None:
    surface, plan, outline = scene.surface, scene.plan, scene.plan.outline
    surface.board.area("outline-area", outline_trace(outline), "specimen-tint")
    draw_midline(surface)
    draw_new_midline(surface, outline)
    draw_scar(surface, outline)
    draw_covered(surface, plan)
    surface.board.edge("outline", outline_trace(outline), "ink", CUT)
    pits, openings = draw_findings(surface, plan)
    found = [*pits, *openings]
    surface.board.dimensions(
        [
            *width_measures(surface, outline, found, reach=False),
            length_measure(surface, outline, found),
            *verge_measure(surface, plan),
        ],
    )
    label_findings(surface, plan, pits, openings)
    label_covered(surface, plan)
    label_scar(surface, outline)


_DRAW: Final[Mapping[str, Callable[[Scene], None]]] = MappingProxyType(
    {
        "midline": _midline,
        "new-midline": _new_midline,
        "reach": _reach,
        "openings": _openings,
        "caudal-shift": _caudal_shift,
        "finished": _finished,
    }
)


def _by_decision(opening: OpeningMeasure) -> Fate:
    """What is to become of an opening."""
    return "excised" if opening.decision == "excise" else "left"


def _shift_measure(scene: Scene) -> list[Measure]:
    """How far the caudal apex is moved, below it."""
    outline, frame = scene.plan.outline, scene.surface.board.frame
    if abs(outline.caudal_shift) <= LEAST:
        return []
    ends = frame.at(*scene.straight.caudal_point), frame.at(*outline.caudal_point)
    text = say("labels.shift", value=number(outline.caudal_shift))
    return [level("shift", text, ends, ends[0][1] - _BELOW)]


VIEW: Final[View] = View(
    name="marking-steps",
    pictures=lambda _: STEPS,
    describe=describe,
    paint=_draw,
    reads=(
        "case:findings",
        "case:side",
        "case:marking",
        "technique:offset",
        "technique:reach",
        "technique:near_opening",
        "technique:caudal_shift",
    ),
)
