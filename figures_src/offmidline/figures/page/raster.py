"""What lies where on a page, in cells of 1 mm: where no text may go, and where it rather should
not.

Sums over boxes come from one summed-area table, so that thousands of places are judged at once.
Lengths in mm on the page, y up; what lies outside the field is ignored when it is marked, and no
place for a text.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from offmidline.figures.page.drawing import Array, Point

Flags = NDArray[np.bool_]
Cells = tuple[NDArray[np.intp], NDArray[np.intp]]

# What a cell costs on which no text may lie: more than any sum of others.
TAKEN: Final = 1e6
# Points along a line lie closer together than this, mm, so that hardly a cell under it is missed.
_STEP: Final = 0.45

# A leader that ends so near a symbol's centre leads to it, mm.
_AT_END: Final = 1.5

# What a leader pays for crossing another one, mm of leader.
_CROSSING: Final = 20.0


class Raster:
    """The cells of a field of the page.

    ``cost``: what a text pays for lying here, ``TAKEN`` where it must not. ``closed``: no leader
    may run here. ``centres``: nor here, unless it ends here. ``leaders``: a leader runs here
    already. ``ink``: what a leader pays for running over the line that lies here.
    """

    def __init__(self, low: Point, high: Point) -> None:
        """An empty field between two corners, cut to whole cells."""
        self.left, self.bottom = (float(math.ceil(value)) for value in low)
        self.columns = math.floor(high[0] - self.left)
        self.rows = math.floor(high[1] - self.bottom)
        size = (self.rows, self.columns)
        self.cost = np.zeros(size)
        self.closed = np.zeros(size, dtype=bool)
        self.centres = np.zeros(size, dtype=bool)
        self.leaders = np.zeros(size, dtype=bool)
        self.ink = np.zeros(size)
        self._table: Array | None = None

    def cells(self, points: Array) -> Cells:
        """Rows and columns of the cells under points, shape (..., 2)."""
        x = np.floor(points[..., 0] - self.left).astype(np.intp)
        y = np.floor(points[..., 1] - self.bottom).astype(np.intp)
        inside = (x >= 0) & (x < self.columns) & (y >= 0) & (y < self.rows)
        return y[inside], x[inside]

    def charge(self, cells: Cells, cost: float) -> None:
        """Make some cells dearer, each once however often it is named; a negative cost takes it
        back.
        """
        self.cost[cells] += cost
        self._table = None

    def draw(self, cells: Cells, price: float) -> None:
        """A line lies in some cells, which a leader rather does not cross."""
        self.ink[cells] = np.maximum(self.ink[cells], price)

    def crossed(self, starts: Array, ends: Array) -> tuple[Array, Flags]:
        """What each leader, given by its two ends, pays for what it crosses, and whether it runs
        where it must not.
        """
        runs = ends - starts
        lengths = np.sqrt((runs * runs).sum(axis=1))
        along = np.arange(math.ceil(float(lengths.max(initial=0.0)) / _STEP) + 1) * _STEP
        share = np.minimum(along / np.maximum(lengths, _STEP)[:, None], 1.0)
        x = np.floor(starts[:, :1] + runs[:, :1] * share - self.left).astype(np.intp)
        y = np.floor(starts[:, 1:] + runs[:, 1:] * share - self.bottom).astype(np.intp)
        inside = (x >= 0) & (x < self.columns) & (y >= 0) & (y < self.rows)
        inside &= along < lengths[:, None] + _STEP
        x[~inside] = y[~inside] = 0
        ink = np.where(inside, self.ink[y, x], 0.0).sum(axis=1)
        met = (inside & self.leaders[y, x]).any(axis=1)
        ahead = along < lengths[:, None] - _AT_END
        closed = self.closed[y, x] | (self.centres[y, x] & ahead)
        return ink + _CROSSING * met, (inside & closed).any(axis=1)

    def take(self, cells: Cells) -> None:
        """Allow no text in some cells."""
        self.charge(cells, TAKEN)

    def take_box(self, low: Point, high: Point) -> None:
        """Allow no text in the cells that a rectangle touches."""
        self.cost[self.window(low, high)] += TAKEN
        self._table = None

    def blocks(self, cells: Cells) -> bool:
        """Whether no line may run through some cells."""
        return bool((self.closed[cells] | self.centres[cells]).any())

    def close_box(self, low: Point | Array, high: Point | Array) -> None:
        """Allow no leader in the cells that a rectangle touches."""
        self.closed[self.window(low, high)] = True

    def costs(self, points: Array) -> Array:
        """Sum of the costs under points, shape (places, points, 2); at least ``TAKEN`` where one
        is outside.
        """
        x = np.floor(points[..., 0] - self.left).astype(np.intp)
        y = np.floor(points[..., 1] - self.bottom).astype(np.intp)
        outside = (x < 0) | (x >= self.columns) | (y < 0) | (y >= self.rows)
        x[outside] = y[outside] = 0
        sums: Array = np.where(outside, TAKEN, self.cost[y, x]).sum(axis=-1)
        return sums

    def column_costs(self, left: float, width: float, height: float) -> tuple[Array, Array]:
        """Cost and bottom of boxes of one size and left side, a row apart."""
        x0, x1 = math.floor(left - self.left), math.ceil(left + width - self.left)
        up = math.ceil(height)
        if x0 < 0 or x1 > self.columns or up > self.rows:
            return np.empty(0), np.empty(0)
        table = self._sums()
        strip = table[:, x1] - table[:, x0]
        costs = strip[up:] - strip[:-up]
        return costs, self.bottom + np.arange(float(len(costs)))

    def grid_costs(
        self, width: float, height: float, window: tuple[slice, slice], step: int
    ) -> tuple[Array, Array, Array]:
        """Cost, left and bottom of boxes of one size whose corners lie in a window, some cells
        apart.
        """
        across, up = math.ceil(width), math.ceil(height)
        rows = np.arange(window[0].start, min(window[0].stop, self.rows - up + 1), step)
        columns = np.arange(window[1].start, min(window[1].stop, self.columns - across + 1), step)
        if not len(rows) or not len(columns):
            return np.empty(0), np.empty(0), np.empty(0)
        table = self._sums()
        low, high = table[rows], table[rows + up]
        costs = (high[:, columns + across] - high[:, columns]) - (
            low[:, columns + across] - low[:, columns]
        )
        return (
            costs.ravel(),
            np.tile(self.left + columns, len(rows)),
            np.repeat(self.bottom + rows, len(columns)),
        )

    def _sums(self) -> Array:
        if self._table is None:
            self._table = np.zeros((self.rows + 1, self.columns + 1))
            self.cost.cumsum(axis=0).cumsum(axis=1, out=self._table[1:, 1:])
        return self._table

    def window(self, low: Point | Array, high: Point | Array) -> tuple[slice, slice]:
        """Rows and columns of the cells that a rectangle touches; its sides may lie at infinity."""
        x0 = math.floor(min(max(low[0] - self.left, 0), self.columns))
        y0 = math.floor(min(max(low[1] - self.bottom, 0), self.rows))
        x1 = math.ceil(min(max(high[0] - self.left, 0), self.columns))
        y1 = math.ceil(min(max(high[1] - self.bottom, 0), self.rows))
        return slice(y0, y1), slice(x0, x1)


def dense(points: Sequence[Point] | Array) -> Array:
    """Points along straight lines, closer together than cells."""
    array = np.asarray(points, dtype=float)
    steps = array[1:] - array[:-1]
    lengths = np.sqrt((steps * steps).sum(axis=1))
    counts = np.maximum(1, np.ceil(lengths / _STEP)).astype(int)
    which = np.repeat(np.arange(len(counts)), counts)
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    share = (np.arange(len(which)) - starts[which]) / counts[which]
    return np.concatenate([array[which] + steps[which] * share[:, None], array[-1:]])
