"""A mistake of the marking: the right outline and the wrong one side by side, seen from above."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from offmidline import rules
from offmidline.figures.page import room
from offmidline.figures.page.drawing import Drawing, Trace, polyline
from offmidline.figures.page.line_key import LineKey
from offmidline.figures.page.sheet import SCALES, sheet
from offmidline.figures.page.style import CUT, DOUBLE_DOT
from offmidline.figures.scene.found import Finding
from offmidline.figures.scene.ground import (
    draw_ground,
    draw_midline,
    label_landmarks,
    name_midlines,
)
from offmidline.figures.scene.layers import (
    GROUPS,
    draw_covered,
    draw_findings,
    draw_new_midline,
    draw_scar,
    label_covered,
    label_findings,
    label_prolongation,
    plan_content,
)
from offmidline.figures.scene.marking_dimensions import label_nothing, marking_dimensions
from offmidline.figures.scene.surface import Content, Panel, Surface, open_surfaces
from offmidline.figures.scene.traces import mirrored, outline_trace
from offmidline.figures.views.mistakes.pair import (
    WRONG,
    Difference,
    Pair,
    name_difference,
    shade,
    verdict_table,
)
from offmidline.figures.words import say
from offmidline.geometry.difference import only_in
from offmidline.plan import CasePlan, Plan

# Points to an edge of an outline whose difference from another one is shaded.
_RING: Final = 24
# What a panel keeps free at least for labels; what is wider is named elsewhere.
_COLUMN: Final = 10.0
# A page that has grown so far (mm) is crowded, or more than that.
_CROWDED: Final = 10.0
_MORE_CROWDED: Final = 20.0
# Labels are not broken below this width.
_LABEL: Final = 28.0
_SCALES: Final = SCALES[1:]

_KEY: Final = LineKey("key-right-outline", "mistakes.right_outline", "muted", DOUBLE_DOT)

# The dimensions that show how far a rule is kept.
_DIMENSIONS: Final[Mapping[str, tuple[str, ...]]] = {
    rules.SIDE: ("offset",),
    rules.OFFSET: ("offset",),
    rules.SYMMETRIC_WIDTH: ("width",),
    rules.CAUDAL_SHIFT: ("offset", "caudal-apex"),
    rules.REACH: ("reach",),
    rules.LENGTH_TO_WIDTH: ("length", "width"),
    rules.NEAR_OPENINGS_EXCISED: ("width",),
    rules.DISTANT_OPENINGS_LEFT: ("width",),
}
# The rules that are about the line of the scar, and those about the midline that is taken.
_SCAR: Final = {rules.CAUDAL_SHIFT, rules.SCAR_OFF_MIDLINE}
_COVERED: Final = {rules.PITS_COVERED}


def draw_surface_pair(planned: CasePlan, shown: Pair) -> Drawing:
    """The two outlines, the difference shaded in the wrong one, and the rules that are not met."""
    page = sheet(planned, say("mistakes.subtitle_surface"), [_KEY, verdict_table(shown)])
    beside = "length" in _wanted(shown)
    panels = [
        Panel(gid, shown.panel(gid), _content(plan, other, beside), plan.marking.side)
        for gid, plan, other in shown.plans
    ]
    # Where labels find no place beside a large drawing they find one beside a smaller one.
    scales = _SCALES[-1:] if _is_crowded() else _SCALES
    surfaces = [
        replace(surface, room=max(surface.room, _LABEL))
        for surface in open_surfaces(page, panels, _COLUMN, scales)
    ]
    for surface, (gid, plan, other) in zip(surfaces, shown.plans, strict=True):
        differences = differing(shown) if gid == WRONG else ()
        _draw_panel(surface, shown, plan, other if gid == WRONG else None, differences)
    return surfaces[0].drawing


def _is_crowded() -> bool:
    """Whether labels found no place when they were set as they are at first."""
    return room.current().spare >= _CROWDED


def differing(shown: Pair) -> tuple[Difference, ...]:
    """What the wrong outline takes too much of, and what it leaves, in its own frame."""
    wrong = shown.wrong.outline.ring(_RING)
    right = _from(polyline(shown.right.outline.ring(_RING)), shown.right, shown.wrong).points
    return Difference("excess", only_in(wrong, right)), Difference("missing", only_in(right, wrong))


def _from(trace: Trace, other: Plan, plan: Plan) -> Trace:
    """A path of one plan in the frame of another, which may lie on the other side."""
    return trace if other.marking.side == plan.marking.side else mirrored(trace)


def _wanted(shown: Pair) -> set[str]:
    """The dimensions that the mistake is about."""
    return {name for rule in shown.mistake.breaks for name in _DIMENSIONS.get(rule, ())}


def _content(plan: Plan, other: Plan, beside: bool) -> Content:
    """What a panel holds: the same in both, where both lie on one side."""
    if plan.marking.side == other.marking.side:
        content = plan_content(plan, other, flap=False)
    else:
        ring = _from(polyline(other.outline.ring(_RING)), other, plan).points
        content = plan_content(plan, flap=False, more=[ring])
    return replace(content, beside=beside)


def _draw_panel(
    surface: Surface,
    shown: Pair,
    plan: Plan,
    right: Plan | None,
    differences: tuple[Difference, ...],
) -> None:
    """One of the two markings; under the wrong one lies the right one and what differs."""
    board = surface.board
    board.area("outline-area", outline_trace(plan.outline), "specimen-tint")
    for difference in differences:
        shade(board, difference)
    _draw_lines(surface, shown, plan)
    if right is not None:
        trace = _from(outline_trace(right.outline), right, plan)
        board.line("right-outline", trace, "muted", DOUBLE_DOT)
    board.edge("outline", outline_trace(plan.outline), "ink", CUT)
    pits, openings = draw_findings(surface, plan)
    _measure(surface, plan, _wanted(shown), [*pits, *openings])
    for difference in differences:
        text = say(f"mistakes.{difference.gid}")
        name_difference(board, difference, text, surface.columns, surface.room)
    # What lies outside the outline has less choice, most often; on a small drawing it is tried
    # both ways.
    order = GROUPS if _is_crowded() and room.current().spare < _MORE_CROWDED else GROUPS[::-1]
    label_findings(surface, plan, pits, openings, known=right, order=order)
    if right is None:
        _name_lines(surface, shown, plan)
    surface.finish()


def _draw_lines(surface: Surface, shown: Pair, plan: Plan) -> None:
    """The midlines, and the lines that the mistake is about."""
    name_midlines(surface.board, plan.outline.offset)
    draw_ground(surface, coccyx=False)
    draw_midline(surface)
    draw_new_midline(surface, plan.outline)
    if shown.mistake.breaks & _SCAR:
        draw_scar(surface, plan.outline)
    if shown.mistake.breaks & _COVERED:
        draw_covered(surface, plan)


def _name_lines(surface: Surface, shown: Pair, plan: Plan) -> None:
    """The names of the lines, which are told once."""
    if shown.mistake.breaks & _COVERED:
        label_covered(surface, plan)
    if shown.mistake.breaks & _SCAR:
        label_prolongation(surface, plan.outline)
    label_landmarks(surface, coccyx=False)


def _measure(surface: Surface, plan: Plan, wanted: set[str], found: Sequence[Finding]) -> None:
    """The wanted dimensions; one of no length is told by a label at its place."""
    measures = {
        name: measure
        for measure in marking_dimensions(surface, plan, found)
        if (name := measure.gid.removeprefix("dimension-")) in wanted
    }
    surface.board.dimensions(measures.values())
    label_nothing(surface, plan.outline, wanted)
