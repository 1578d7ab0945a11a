"""Before and after: the outline, and in the same frame the closed wound that is predicted from it.

The wound closes along the axis and is pushed out at both apexes, as the edges are longer than the
axis. Unstretched geometry: where the skin comes to lie under tension is not computed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Array, Drawing, Point, segments
from offmidline.figures.page.measures import Measure, level, straight
from offmidline.figures.page.sheet import sheet
from offmidline.figures.page.style import CUT, SYMBOL, THIN
from offmidline.figures.scene.ground import draw_ground, draw_midline, label_landmarks, name_midline
from offmidline.figures.scene.layers import draw_findings, outline_content
from offmidline.figures.scene.marking_dimensions import FROM_MIDLINE_EXTENDED, LEAST, length_measure
from offmidline.figures.scene.plan_words import told
from offmidline.figures.scene.surface import Surface, label_line, open_surface
from offmidline.figures.scene.traces import closed_trace, outline_trace
from offmidline.figures.view import View, shown, single
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.closed import stitch_places, wound_points
from offmidline.geometry.outline import Outline
from offmidline.plan import CasePlan, Plan

# On the page, mm: half of a stitch across the wound; the least push-out that is seen; how far
# beside the wound, and above its end, a dimension runs.
_STITCH_HALF: Final = 2.2
_SEEN: Final = 1.0
_ASIDE: Final = 7.0
# The share of the wound near which its name leads to it, and how near.
_UPPER: Final = 0.7
_NEAR: Final = 0.15


def _draw(planned: CasePlan) -> Drawing:
    plan = shown(planned)
    outline, side = plan.outline, plan.marking.side
    page = sheet(planned, say("before-after.subtitle", side=say(side)))
    found: list[Point] = [(0.0, pit.at) for pit in plan.pits]
    found += [(opening.x, opening.at) for opening in plan.openings]
    content = outline_content(outline, found=found, more=[np.array(outline.scar_ends)])
    surface = open_surface(page, replace(content, apex=outline.scar_ends[0][1]), side)
    board = surface.board
    board.area("outline-area", outline_trace(outline), "specimen-tint")
    name_midline(board)
    draw_ground(surface)
    draw_midline(surface)
    board.edge("outline", outline_trace(outline), "ink", THIN)
    pits, openings = draw_findings(surface, plan)
    board.line("scar", closed_trace(outline), "scar", CUT)
    stitches = _strokes(surface, plan)
    if len(stitches):
        board.line("superficial-row", segments(stitches), "suture", SYMBOL)
    board.dimensions(
        [
            length_measure(surface, outline, [*pits, *openings]),
            *_from_midline(surface, outline),
            *_push_out(surface, outline),
        ]
    )
    _label(surface, plan, stitches)
    label_landmarks(surface)
    return surface.finish()


def _strokes(surface: Surface, plan: Plan) -> Array:
    """The two ends of a stroke across the wound for each stitch of the superficial row, (n, 2,
    2).
    """
    places, along = stitch_places(plan.outline, plan.superficial_row.stitches)
    across = along[:, ::-1] * (1, -1) * _STITCH_HALF / surface.board.frame.scale
    return np.stack([places - across, places + across], axis=1)


def _from_midline(surface: Surface, outline: Outline) -> Iterator[Measure]:
    """How far beside the midline the wound's cranial end lies."""
    frame, (x, y) = surface.board.frame, outline.scar_ends[0]
    if abs(x) > LEAST:
        foot, tip = frame.at(0, y), frame.at(x, y)
        text = say("labels.offset", value=number(x))
        yield level("offset", text, (foot, tip), tip[1] + _ASIDE, FROM_MIDLINE_EXTENDED)


def _push_out(surface: Surface, outline: Outline) -> Iterator[Measure]:
    """How far the wound passes each apex, on the lateral side, where that is seen."""
    frame, value = surface.board.frame, outline.push_out
    if value * frame.scale < _SEEN:
        return
    cranial, caudal = outline.scar_ends
    text = say("labels.push_out", value=number(value))
    for name, lower, upper in (
        ("cranial", outline.cranial_point, cranial),
        ("caudal", caudal, outline.caudal_point),
    ):
        ends = frame.at(*lower), frame.at(*upper)
        aside = -frame.sign * _ASIDE
        yield straight(f"push-out-{name}", text, ends, Choices(beside=True), aside)


def _label(surface: Surface, plan: Plan, stitches: Array) -> None:
    outline, row = plan.outline, plan.superficial_row
    levels = np.linspace(outline.widest_level, outline.cranial_apex, 7)[1:-1]
    edge = np.column_stack([outline.edge_x("lateral", levels), levels])
    label_line(surface, "outline", edge, say("labels.outline_before"))
    length = say("labels.scar_length", value=number(outline.scar_length))
    # Between two stitches, each of which is named by the ends of its stroke.
    between = (np.arange(row.stitches + 1) + 0.5) / (row.stitches + 1)
    upper = between[np.abs(between - _UPPER) <= max(_NEAR, 0.5 / (row.stitches + 1))]
    label_line(surface, "scar", wound_points(outline, upper)[0], say("labels.closed"), length)
    if row.stitches:
        key = "stitches" if row.stitches > 1 else "stitch"
        text = say(f"labels.superficial_{key}", count=row.stitches)
        # Not those beside the caudal apex, where much else is drawn.
        lower = stitches[row.stitches // 4 : row.stitches // 2 + 1]
        label_line(surface, "superficial-row", lower.reshape(-1, 2), text)


def _words(planned: CasePlan) -> Words:
    plan = shown(planned)
    outline = plan.outline
    (cranial_x, cranial_y), (caudal_x, caudal_y) = outline.scar_ends
    # Pushed out, the caudal end may lie nearer to the midline than the axis does.
    nearest = min(outline.scar_nearest_midline, caudal_x)
    lies = "beside" if nearest > LEAST else "meets"
    values = {
        **told(plan),
        "push_out": number(outline.push_out),
        "axis": number(outline.axis_length),
        "cranial_x": number(cranial_x),
        "cranial_y": number(cranial_y),
        "caudal_x": number(caudal_x),
        "caudal_y": number(caudal_y),
        "wound": say(f"before-after.{lies}", nearest=number(nearest)),
        "row": _row(plan),
    }
    return Words(
        title=say("before-after.title", case=isolated(planned.case.title)),
        description=say("before-after.description", **values),
        caption=say("before-after.caption", **values),
    )


def _row(plan: Plan) -> str:
    """What the strokes across the wound stand for."""
    stitches = plan.superficial_row.stitches
    key = "several" if stitches > 1 else "one" if stitches else "none"
    spacing = number(plan.superficial_row.spacing)
    return say(f"before-after.row.{key}", stitches=stitches, spacing=spacing)


VIEW: Final[View] = single(
    "before-after",
    _words,
    _draw,
    reads=(
        "case:findings",
        "case:side",
        "case:marking",
        "technique:superficial_spacing",
    ),
)
