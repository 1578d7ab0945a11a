"""A page being drawn: paints shapes, and keeps book of where labels may still go."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import Final, Literal

import numpy as np

from offmidline.figures.page.dimension import Dimension, triangles
from offmidline.figures.page.drawing import (
    Array,
    Drawing,
    Frame,
    Group,
    Point,
    Shape,
    Trace,
    Writing,
    ellipse,
    flattened,
    polyline,
    segments,
    together,
)
from offmidline.figures.page.gaps import with_gaps
from offmidline.figures.page.labels import Label, place_label, place_text, take_writing
from offmidline.figures.page.measures import Measure
from offmidline.figures.page.raster import TAKEN, Cells, Raster, dense
from offmidline.figures.page.spots import Segment, Spot
from offmidline.figures.page.style import SYMBOL, THIN, Line, Role

# Symbols smaller than this (mm on the page) would be lost: they are drawn this large.
LEAST_SYMBOL: Final = 1.0
_CROSS: Final = 1.7
_KNOT: Final = 1.8
_DOT: Final = 0.6
# A broad arrow: its shaft, and its head's length and width.
_SHAFT: Final = 0.9
_HEAD_LENGTH: Final = 3.6
_HEAD_WIDTH: Final = 3.0
# What a text pays for each mm2 that lies over a line, in mm of leader.
OVER_DIMENSION: Final = TAKEN
OVER_LINE: Final = 8.0
OVER_ANATOMY: Final = 0.4
OVER_HATCH: Final = 0.1
# What a leader pays for each step (0.45 mm) over a line, in mm of leader: a dimension's line would
# be misread, a line that is marked less.
_ACROSS_DIMENSION: Final = 3.0
_ACROSS_LINE: Final = 0.8


Kind = Literal["pit", "opening"]
Fate = Literal["excised", "left", "found"]


class Board:
    """A drawing, or a group of one, and the free places on it; points are given in the plan's
    frame unless said otherwise.
    """

    def __init__(self, page: Drawing | Group, frame: Frame, low: Point, high: Point) -> None:
        """A board for the field of a page between two corners (mm on the page)."""
        self.page = page
        self.frame = frame
        self.raster = Raster(low, high)
        self.low, self.high = low, high
        self._leaders: list[Segment] = []
        self._fading = False
        self._dots: list[Trace] = []
        self._faint: dict[str, Sequence[Array]] = {}

    def line(
        self, gid: str, trace: Trace, role: Role, line: Line, *, cost: float = OVER_LINE
    ) -> None:
        """Draw a line that labels rather avoid."""
        self.paint(Shape(gid, trace.moved(self.frame), role, line), cost)

    def edge(
        self, gid: str, trace: Trace, role: Role, line: Line, *, fill: Role | None = None
    ) -> None:
        """Draw a line that no label may cover."""
        self.paint(Shape(gid, trace.moved(self.frame), role, line, fill), None)

    @contextmanager
    def faded(self) -> Iterator[None]:
        """Lines drawn in here are as faint as the anatomy: they keep their type and lose colour and
        width.
        """
        self._fading = True
        try:
            yield
        finally:
            self._fading = False

    def area(self, gid: str, trace: Trace, fill: Role) -> None:
        """Fill an area without a border; labels may lie in it."""
        self.page.add(Shape(gid, trace.moved(self.frame), fill=fill))

    def reserve(self, lines: Iterable[tuple[Point, Point]]) -> None:
        """Keep texts off an area of the plan, given by lines across it, where they would seem to
        name it.
        """
        for line in lines:
            self.raster.take(self.raster.cells(dense(self.frame.page(line))))

    @contextmanager
    def kept_clear(self, lines: Iterable[tuple[Point, Point]]) -> Iterator[None]:
        """Texts set in here keep off an area, as off one that is reserved; later ones may lie in
        it.
        """
        cells = [self.raster.cells(dense(self.frame.page(line))) for line in lines]
        for part in cells:
            self.raster.charge(part, TAKEN)
        try:
            yield
        finally:
            for part in cells:
                self.raster.charge(part, -TAKEN)

    def symbol(self, gid: str, kind: Kind, centre: Point, diameter: float, fate: Fate) -> float:
        """A finding: a pit is a circle, an opening a square on its corner, as wide as it is.

        It is filled where it is excised, crossed where it is left, else hollow. Returns how far it
        reaches from its centre on the page.
        """
        x, y = self.frame.at(*centre)
        radius = max(diameter * self.frame.scale, LEAST_SYMBOL) / 2
        ring = ellipse((x, y), radius, radius) if kind == "pit" else _diamond((x, y), radius)
        reach = radius
        if fate == "left":
            reach = radius + _CROSS
            arm = reach * math.sqrt(0.5)
            cross = segments(
                [((x - arm, y - arm), (x + arm, y + arm)), ((x - arm, y + arm), (x + arm, y - arm))]
            )
            self.page.add(Shape(f"{gid}-cross", cross, "ink", SYMBOL))
        fill: Role = "ink" if fate == "excised" else "paper"
        self.page.add(Shape(gid, ring, "ink", SYMBOL, fill))
        self.guard((x, y), reach, reach)
        return reach

    def knots(self, gid: str, points: Sequence[Point], role: Role) -> None:
        """Mark where a row of stitches takes hold."""
        diamonds = [_diamond(self.frame.at(*point), _KNOT / 2) for point in points]
        self.page.add(Shape(gid, together(diamonds), fill=role))

    def guard(self, centre: Point, half_width: float, half_height: float) -> None:
        """Keep texts off a symbol, and leaders off its middle (all on the page)."""
        x, y = centre
        low, high = (x - half_width, y - half_height), (x + half_width, y + half_height)
        self.raster.take_box(low, high)
        self.raster.centres[self.raster.cells(np.array([centre]))] = True

    def dimensions(self, wanted: Iterable[Measure]) -> None:
        """Draw dimensions, which are given on the page; texts find their places when all lines lie
        there.

        A text for which there is no spot becomes a label with a leader to its line.
        """
        todo = [(gid, dimension, text, self._ink(dimension)) for gid, dimension, text in wanted]
        for _, _, _, cells in todo:
            self.raster.charge(cells, OVER_DIMENSION)
            self.raster.draw(cells, _ACROSS_DIMENSION)
        for gid, dimension, text, cells in todo:
            self.raster.charge(cells, -OVER_DIMENSION)
            placed = place_text(self.raster, f"{gid}-text", dimension.spots, text)
            self.raster.charge(cells, OVER_DIMENSION)
            strokes = [*dimension.extensions, *dimension.lines]
            if placed is not None and placed[1] is not None:
                strokes.append(placed[1])
                under = self.raster.cells(dense(placed[1]))
                self.raster.charge(under, OVER_DIMENSION)
                self.raster.draw(under, _ACROSS_DIMENSION)
            ink = triangles(dimension.arrows)
            if strokes:
                ink = together([segments(strokes), ink])
            if dimension.arc is not None:
                self.page.add(Shape(f"{gid}-arc", dimension.arc, "muted", THIN))
            self.page.add(Shape(gid, ink, "muted", THIN, "muted"))
            if placed is not None:
                self.page.add(placed[0])
            else:
                self.label(Label(f"{gid}-text", (text,), _along(dimension)))

    def _ink(self, dimension: Dimension) -> Cells:
        runs = [dense(segment) for segment in (*dimension.extensions, *dimension.lines)]
        if dimension.arc is not None:
            runs += [dense(run) for run in flattened(dimension.arc)]
        return self.raster.cells(np.vstack(runs))

    def name(self, label: Label, places: Iterable[Point]) -> None:
        """Set a one-line text centred on the first free one of some places (on the page), which
        show by themselves what it names; where none is free, as a label with a leader.
        """
        spots = tuple(Spot(x, y, 0.0, cost=rank) for rank, (x, y) in enumerate(places))
        placed = place_text(self.raster, label.gid, spots, label.lines[0], label.role)
        if placed is None:
            self.label(label)
        else:
            self.page.add(placed[0])

    def arrow(self, gid: str, start: Point, end: Point, role: Role) -> None:
        """A broad arrow between two points of the page, which labels rather avoid."""
        tail, tip = np.array(start), np.array(end)
        along = (tip - tail) / np.hypot(*(tip - tail))
        across = np.array([-along[1], along[0]])
        neck = tip - _HEAD_LENGTH * along
        shaft, half = _SHAFT / 2 * across, _HEAD_WIDTH / 2 * across
        points = np.array(
            [tail - shaft, neck - shaft, neck - half, tip, neck + half, neck + shaft, tail + shaft]
        )
        self.page.add(Shape(gid, polyline(points, closed=True), fill=role))
        self.raster.take(self.raster.cells(dense(points)))
        cells = self.raster.cells(dense([start, end]))
        self.raster.take(cells)
        self.raster.draw(cells, _ACROSS_DIMENSION)

    def label(self, label: Label) -> None:
        """Place a label, which is given on the page, with its leader."""
        writings, leader = place_label(self.raster, label)
        self.page.add(*writings)
        if leader is not None:
            self._leaders.append(leader)
            if label.dot:
                self._dots.append(_diamond(leader[1], _DOT))

    def finish(self) -> None:
        """Draw what comes last: all leaders, in one path, and gaps in faint lines under texts."""
        self._open_gaps()
        if self._leaders:
            ink = [segments(np.round(self._leaders, 2)), *self._dots]
            self.page.add(Shape("leaders", together(ink), "muted", THIN, "muted"))

    def _open_gaps(self) -> None:
        """Interrupt faint lines where texts lie over them."""
        items = self.page.items
        texts = [item for item in items if isinstance(item, Writing)]
        for index in reversed(range(len(items))):
            item = items[index]
            if isinstance(item, Shape) and item.gid in self._faint:
                left = with_gaps(self._faint[item.gid], texts)
                # A scrap of a line that lies under a text as a whole is left out.
                items[index : index + 1] = [replace(item, trace=_schematic(left))] if left else []

    def write(self, *writings: Writing) -> None:
        """Set texts where they are told to stand, which then is taken."""
        for writing in writings:
            take_writing(self.raster, writing)
            self.page.add(writing)

    def clipped(self, points: Array, top: float) -> list[Array]:
        """The parts on the page of a line through points of the plan, inside the field and below
        a height.
        """
        line = self.frame.page(points)
        inside = np.all((line >= self.low) & (line <= (self.high[0], top)), axis=1)
        edges = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]])))
        return [line[start:stop] for start, stop in edges.reshape(-1, 2) if stop - start > 1]

    def faint(self, gid: str, runs: Sequence[Array], line: Line) -> None:
        """Draw schematic anatomy, given on the page, as one path."""
        if not runs:
            return
        self._faint[gid] = runs
        self.page.add(Shape(gid, _schematic(runs), "faint", line))
        for run in runs:
            self.raster.charge(self.raster.cells(dense(run)), OVER_ANATOMY)

    def paint(self, shape: Shape, cost: float | None) -> None:
        """Draw a shape that is given on the page, on which a label pays so much for each mm2; none
        may lie there where it is None.
        """
        if self._fading and shape.line is not None:
            thinner = replace(shape.line, width=max(THIN.width, shape.line.width / 2))
            shape = replace(shape, stroke="faint", line=thinner)
        self.page.add(shape)
        for run in flattened(shape.trace):
            cells = self.raster.cells(dense(run))
            self.raster.charge(cells, TAKEN if cost is None else cost)
            if cost is None or cost >= OVER_LINE:
                self.raster.draw(cells, _ACROSS_LINE)


def _schematic(runs: Sequence[Array]) -> Trace:
    """Schematic lines as one path: hundredths are enough for them, and keep the file small."""
    return together([polyline(np.round(run, 2)) for run in runs])


def _diamond(centre: Point, half: float) -> Trace:
    """A square on its corner, from whose centre the corners lie so far."""
    x, y = centre
    return polyline([(x - half, y), (x, y - half), (x + half, y), (x, y + half)], closed=True)


def _along(dimension: Dimension) -> tuple[Point, ...]:
    """Points of a dimension line to which a leader may lead."""
    if dimension.arc is not None:
        points = flattened(dimension.arc)[0]
        middle = points[len(points) // 2]
        return ((float(middle[0]), float(middle[1])),)
    (x0, y0), (x1, y1) = dimension.lines[0]
    shares = (0.5, 0.4, 0.6, 0.3, 0.7)
    return tuple((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in shares)
