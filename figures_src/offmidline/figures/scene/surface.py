"""The surface that plan views share: prone, seen from above, head up, with the findings on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import (
    Array,
    Drawing,
    Frame,
    Group,
    Point,
)
from offmidline.figures.page.labels import Column, Label
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import ROOM, SCALES, Block, Sheet
from offmidline.figures.page.style import TEXT_SIZE, Role
from offmidline.records.base import Side

# What the field of a plan view needs round its content, mm on the page.
COLUMN_WIDTH: Final = 41.0
COLUMN_GAP: Final = 3.5
# Between surfaces side by side, and the column of labels that each of them has at least.
PANEL_GAP: Final = 4.0
PANEL_COLUMN: Final = 27.0
LANE: Final = 8.0
HEADS: Final = 14.0
_FOOT: Final = 5.0
# Added below a reduced drawing, whose lower end is crowded.
_REDUCED_FOOT: Final = 10.0
GREATEST_HEIGHT: Final = 195.0
# Height of the row of letters above the names of the midlines.
HEAD_ROW: Final = 6.0
HEAD_LINE: Final = TEXT_SIZE + 1.5
# Labels wider than this are broken.
_LABEL_ROOM: Final = 39.0

# How far the content of a plan view reaches beyond the verge and the highest finding, mm.
BELOW_VERGE: Final = 9.0
ABOVE_FINDINGS: Final = 6.0


@dataclass(frozen=True)
class Content:
    """What a plan view must hold, mm in the plan's frame.

    ``apex`` is the level above which a lane for a dimension is kept free; where it is given, there
    is a lane on the lateral side too, unless nothing is measured ``beside``.
    """

    xs: tuple[float, float]
    ys: tuple[float, float]
    apex: float | None = None
    beside: bool = True


def bounds(points: Iterable[Array]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Least and greatest x and y of arrays of points."""
    everything = np.vstack(list(points))
    (x0, y0), (x1, y1) = everything.min(axis=0), everything.max(axis=0)
    return (float(x0), float(x1)), (float(y0), float(y1))


@dataclass(frozen=True)
class Surface:
    """A board with the columns in which labels stand: on the medial and on the lateral side.

    ``room`` is the width (mm) at which labels are broken.
    """

    drawing: Drawing
    board: Board
    medial: Column
    lateral: Column
    room: float = _LABEL_ROOM

    @property
    def levels(self) -> tuple[float, float]:
        """Levels of the plan between which the midlines are drawn, below their names."""
        board, frame = self.board, self.board.frame
        low = (board.low[1] + 1 - frame.y) / frame.scale
        high = (board.high[1] - HEAD_ROW - HEAD_LINE - frame.y) / frame.scale
        return low, high

    @property
    def columns(self) -> tuple[Column, Column]:
        """Both columns."""
        return self.medial, self.lateral

    def finish(self) -> Drawing:
        """The drawing, when nothing more is added to this surface."""
        self.board.finish()
        return self.drawing


@dataclass(frozen=True)
class Panel:
    """One of several surfaces on a page: the name of its group, what stands above it, what it
    holds; it has no group where it is ``empty``, the place of something else such as a plot.
    """

    gid: str
    title: str
    content: Content
    side: Side
    empty: bool = False


def open_surface(page: Sheet, content: Content, side: Side) -> Surface:
    """A page for a plan view at the largest scale at which the content and a column of labels
    fit.
    """
    fitted = fit_contents([content], ROOM, COLUMN_WIDTH)
    frame = page.frame(fitted.origin(content, side), fitted.scale, side)
    drawing, high = page.open(fitted.height, fitted.scale, frame)
    board = Board(drawing, frame, page.low, high)
    return Surface(drawing, board, *fitted.columns(content, frame))


def open_surfaces(
    page: Sheet,
    panels: Sequence[Panel],
    column: float = PANEL_COLUMN,
    scales: Sequence[float] = SCALES,
) -> list[Surface]:
    """Surfaces side by side on one page, at one scale and with the same level at the same height.

    Each is a group of the drawing, under its name; they share the drawing. ``column`` is the width
    (mm) that each has at least for labels, ``scales`` are those to choose from, the largest first.
    """
    room = (ROOM - PANEL_GAP * (len(panels) - 1)) / len(panels)
    fitted = fit_contents([panel.content for panel in panels], room, column, scales)
    titles = [
        Block(f"title-{panel.gid}", wrap(panel.title, room, TEXT_SIZE, bold=True), TEXT_SIZE)
        for panel in panels
    ]
    band = max(block.height for block in titles)
    drawing, (_, top) = page.open(fitted.height + band, fitted.scale)
    low = page.low
    surfaces = []
    for index, (panel, title) in enumerate(zip(panels, titles, strict=True)):
        left = index * (room + PANEL_GAP)
        x, y = fitted.origin(panel.content, panel.side)
        frame = page.frame((left + x, y), fitted.scale, panel.side)
        corner = (low[0] + left, low[1])
        drawing.add(*replace(title, bold=True).writings(top, corner[0]))
        surfaces.append(fitted.surface(drawing, panel, frame, corner, top - band))
    return surfaces


@dataclass(frozen=True)
class Fitted:
    """A scale at which contents fit into fields of a width, and how they lie there (mm on the
    page).

    ``rest`` is the width that the widest of the contents leaves for labels.
    """

    scale: float
    room: float
    height: float
    foot: float
    lane: float
    lowest: float
    rest: float
    column: float

    def origin(self, content: Content, side: Side) -> Point:
        """Place of the frame's origin from the field's lower left corner."""
        rest = self.room - self.scale * (content.xs[1] - content.xs[0]) - self.lane
        medial = min(max(self.column, rest / 2), rest)
        from_medial = medial - self.scale * content.xs[0]
        x = from_medial if side == "right" else self.room - from_medial
        return x, self.foot - self.scale * self.lowest

    def surface(
        self, drawing: Drawing, panel: Panel, frame: Frame, low: Point, top: float
    ) -> Surface:
        """A panel's surface, from its field's lower left corner up to a height, as a group of a
        drawing.
        """
        group = Group(panel.gid, frame)
        if not panel.empty:
            drawing.add(group)
        board = Board(group, frame, low, (low[0] + self.room, top))
        broken_at = max(PANEL_COLUMN - COLUMN_GAP, min(_LABEL_ROOM, self.rest - COLUMN_GAP))
        return Surface(drawing, board, *self.columns(panel.content, frame), room=broken_at)

    def columns(self, content: Content, frame: Frame) -> tuple[Column, Column]:
        """The medial and the lateral column of labels beside the content."""
        inner = frame.at(content.xs[0], 0)[0] - frame.sign * COLUMN_GAP
        outer = frame.at(content.xs[1], 0)[0] + frame.sign * (self.lane + COLUMN_GAP)
        right = frame.sign > 0
        return (
            Column(inner, "end" if right else "start"),
            Column(outer, "start" if right else "end"),
        )


def fit_contents(
    contents: Sequence[Content], room: float, column: float, scales: Sequence[float] = SCALES
) -> Fitted:
    """The largest scale at which every content fits with a column beside it."""
    apexes = [content.apex for content in contents if content.apex is not None]
    lane = LANE if apexes else 0.0
    aside = lane if any(content.beside for content in contents) else 0.0
    highest = max(content.ys[1] for content in contents)
    lowest = min(content.ys[0] for content in contents)
    for scale in scales:
        top = max([scale * highest, *(scale * apex + lane for apex in apexes)])
        span = max(scale * (content.xs[1] - content.xs[0]) for content in contents) + aside
        foot = _FOOT + _REDUCED_FOOT * (1 - scale)
        height = top - scale * lowest + HEADS + foot
        if span + column <= room and height <= GREATEST_HEIGHT:
            break
    return Fitted(scale, room, height, foot, aside, lowest, room - span, column)


def label_line(surface: Surface, gid: str, points: Array, *texts: str, role: Role = "ink") -> None:
    """A label for a line, whose leader may lead to any of some points of the plan."""
    anchors = tuple((float(x), float(y)) for x, y in surface.board.frame.page(points))
    lines = tuple(line for text in texts for line in wrap(text, surface.room, TEXT_SIZE))
    surface.board.label(Label(f"label-{gid}", lines, anchors, surface.columns, role=role))
