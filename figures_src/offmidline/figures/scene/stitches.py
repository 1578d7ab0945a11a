"""A row of stitches seen from above: what each stitch takes on both edges, and how far apart.

Places follow the edges' lengths: each stitch joins equal shares of the medial and of the lateral
edge. Seen from above a row tells nothing about its depth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from offmidline.figures.page.drawing import Array, Drawing, Point, polyline, segments
from offmidline.figures.page.sheet import Sheet
from offmidline.figures.page.style import BAR, CUT, THIN
from offmidline.figures.scene.ground import draw_ground, draw_midline, name_midline
from offmidline.figures.scene.layers import outline_content
from offmidline.figures.scene.surface import Content, Panel, Surface, label_line, open_surfaces
from offmidline.figures.scene.traces import outline_trace
from offmidline.figures.words import number, say
from offmidline.geometry.closure import StitchRow, edge_positions, stitch_positions
from offmidline.geometry.outline import Outline
from offmidline.plan import Plan
from offmidline.rules import Requirement

RowName = Literal["deep-row", "superficial-row"]
ROWS: Final[tuple[RowName, ...]] = ("deep-row", "superficial-row")
# Points along the edge between two stitches.
_ALONG: Final = 9


@dataclass(frozen=True)
class PlannedRow:
    """A row of a plan by its name, and the greatest spacing (mm) that the technique asks for."""

    name: RowName
    row: StitchRow
    asked: float

    @property
    def close_enough(self) -> bool:
        """Whether the stitches lie as close together as the technique asks."""
        return Requirement("at most", self.asked).met_by(self.row.spacing)


def planned_row(plan: Plan, name: RowName) -> PlannedRow:
    """A row of a plan."""
    settings = plan.technique.settings
    if name == "deep-row":
        return PlannedRow(name, plan.deep_row, settings.deep_spacing)
    return PlannedRow(name, plan.superficial_row, settings.superficial_spacing)


def wound_content(*outlines: Outline, found: Sequence[Point] = ()) -> Content:
    """What a view of some outlines without dimensions round them must hold."""
    return replace(outline_content(*outlines, found=found), apex=None)


def draw_wound(surface: Surface, outline: Outline) -> None:
    """The outline and the midline, on the ground that all plan views share."""
    board = surface.board
    board.area("outline-area", outline_trace(outline), "specimen-tint")
    name_midline(board)
    draw_ground(surface, coccyx=False)
    draw_midline(surface)
    board.edge("outline", outline_trace(outline), "ink", CUT)


def draw_row(
    surface: Surface, outline: Outline, planned: PlannedRow, *, counted: bool = True
) -> None:
    """A line for each stitch from edge to edge, and a stretch between two of them strong.

    Its label tells the spacing, the greatest one that is asked for, and where they are to be
    ``counted`` the number of stitches.
    """
    board, row = surface.board, planned.row
    if row.stitches:
        medial = stitch_positions(outline, "medial", row)
        lateral = stitch_positions(outline, "lateral", row)
        board.line(planned.name, segments(np.stack([medial, lateral], axis=1)), "suture", THIN)
        board.knots(f"{planned.name}-knots", [*medial, *lateral], "suture")
    stretch = _stretch(outline, row)
    board.line(f"{planned.name}-spacing", polyline(stretch), "suture", BAR)
    texts = [
        *([stitches(row.stitches)] if counted else []),
        say("closure.spacing", value=number(row.spacing)),
        *([] if planned.close_enough else [say("closure.too_far")]),
        say("closure.asked", value=number(planned.asked)),
    ]
    label_line(surface, planned.name, stretch, *texts)


def draw_deep_rows(
    page: Sheet, panels: Sequence[tuple[str, str, Plan]], *, counted: bool = True
) -> Drawing:
    """The deep rows of some plans side by side, each with the name of its group and its title."""
    opened = open_surfaces(
        page,
        [
            Panel(gid, title, wound_content(plan.outline), plan.marking.side)
            for gid, title, plan in panels
        ],
    )
    for surface, (_, _, plan) in zip(opened, panels, strict=True):
        draw_wound(surface, plan.outline)
        draw_row(surface, plan.outline, planned_row(plan, "deep-row"), counted=counted)
        surface.finish()
    return opened[0].drawing


def stitches(count: int) -> str:
    """So many stitches, in words."""
    return say(
        {0: "closure.stitches_none", 1: "closure.stitches_one"}.get(count, "closure.stitches"),
        count=count,
    )


def _stretch(outline: Outline, row: StitchRow) -> Array:
    """Points of the medial edge from one stitch to the next, nearest to the middle of the row."""
    pieces = row.stitches + 1
    first = row.stitches // 2
    shares = np.linspace(first / pieces, (first + 1) / pieces, _ALONG)
    return edge_positions(outline, "medial", shares)
