"""A small plot on a page or a panel: axes with their ticks, curves, areas, guide lines and bars.

A plot is a group of the drawing with a frame of its own, drawn onto a board, so that labels keep
off its texts. ``axes`` makes its axes: within a rectangle, or beside a surface whose levels it
shares. Lengths in mm on the page, values in the axes' units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.page import drawing
from offmidline.figures.page.axes import (
    HALF_DIGIT,
    TICK,
    TICK_GAP,
    Axes,
    Which,
    above,
    below,
    name,
)
from offmidline.figures.page.board import OVER_ANATOMY, OVER_LINE, Board
from offmidline.figures.page.drawing import (
    Anchor,
    Array,
    Drawing,
    Group,
    Point,
    Shape,
    Trace,
    Writing,
    joined,
    polyline,
    segments,
    together,
)
from offmidline.figures.page.metrics import ASCENT, width
from offmidline.figures.page.style import SMALL_SIZE, SYMBOL, THIN, Line, Role

# Which of a point's coordinates ends on an axis.
_VALUE: Final[dict[Which, int]] = {"x": 1, "y": 0}


@dataclass(frozen=True)
class Plot:
    """A board with axes, on which values are drawn; points are given in the axes' units."""

    board: Board
    axes: Axes

    def draw_axes(self) -> None:
        """The two axis lines with their ticks, texts and names."""
        frame, x, y = self.axes.frame, self.axes.x, self.axes.y
        (left, bottom), (right, top) = self.axes.low, self.axes.high
        start, out = frame.at(x.low, y.low)[0], -frame.sign
        strokes = [((left, bottom), (right, bottom)), ((start, bottom), (start, top))]
        texts: list[Writing] = []
        baseline = bottom - TICK - TICK_GAP - ASCENT * SMALL_SIZE
        for index, tick in enumerate(x.ticks(right - left, "x")):
            place = frame.at(tick.value, y.low)[0]
            strokes.append(((place, bottom), (place, bottom - TICK)))
            texts.append(_text(f"tick-x-{index + 1}", tick.text, (place, baseline), "middle"))
        texts = texts if x.texts else []
        outer: Anchor = "end" if out < 0 else "start"
        beyond = start + out * (TICK + TICK_GAP)
        for index, tick in enumerate(y.ticks(top - bottom, "y")):
            place = frame.at(x.low, tick.value)[1]
            strokes.append(((start, place), (start + out * TICK, place)))
            if y.texts:
                at = (beyond, place - HALF_DIGIT)
                texts.append(_text(f"tick-y-{index + 1}", tick.text, at, outer))
        self.board.paint(Shape("axes", segments(strokes), "muted", THIN), OVER_LINE)
        self.board.write(*texts, *self._names())

    def _names(self) -> list[Writing]:
        """The name of x centred below its axis, that of y above its axis, from the outer edge."""
        (low, _), (high, _) = self.board.low, self.board.high
        (left, bottom), (right, top) = self.axes.low, self.axes.high
        room, side = high - low, self.axes.frame.side
        across = name(self.axes.x, "x", room, "middle")
        half = max((width(line, SMALL_SIZE) for line in across.lines), default=0.0) / 2
        middle = min(max((left + right) / 2, low + half), high - half)
        up = name(self.axes.y, "y", room, "start" if side == "right" else "end")
        return [
            *across.writings(bottom - below(self.axes.x, room) + across.height, middle),
            *up.writings(top + above(self.axes.y, room), low if side == "right" else high),
        ]

    def curve(
        self, gid: str, points: Array, role: Role, line: Line, *, smooth: bool = False
    ) -> None:
        """A curve through points (n, 2), straight from one to the next or smooth."""
        self.board.line(gid, _run(points, smooth=smooth), role, line)

    def area(
        self, gid: str, points: Array, fill: Role, *, to: Which = "x", smooth: bool = False
    ) -> None:
        """The area between a curve and the zero of one of the axes: of y, down to x, or of x, out
        to y.
        """
        ends = np.array(points[[-1, 0]], dtype=float)
        ends[:, _VALUE[to]] = self._base(to)
        run = _run(points, smooth=smooth)
        back = polyline(np.vstack([points[-1:], ends]))
        self.board.area(gid, joined(run, back, closed=True), fill)

    def guides(self, gid: str, values: Sequence[float], which: Which = "y") -> None:
        """Faint lines across the plot at values of an axis: of y level, of x upright."""
        x, y = self.axes.x, self.axes.y
        pairs = [
            ((x.low, value), (x.high, value)) if which == "y" else ((value, y.low), (value, y.high))
            for value in values
        ]
        self.board.line(gid, segments(pairs), "faint", THIN, cost=OVER_ANATOMY)

    def bars(
        self,
        gid: str,
        points: Array,
        thickness: float,
        paint: tuple[Role, Role],
        *,
        to: Which = "x",
    ) -> None:
        """Bars that end at points (n, 2) and stand on the zero of y, or lie from that of x.

        ``paint`` is the colour of their borders and of their areas.
        """
        value = _VALUE[to]
        half = thickness / 2
        corners = np.repeat(np.asarray(points, dtype=float)[:, None], 4, axis=1)
        corners[:, :2, value] = self._base(to)
        corners[:, :, 1 - value] += (-half, half, half, -half)
        bars = together([polyline(bar, closed=True) for bar in corners])
        self.board.edge(gid, bars, paint[0], SYMBOL, fill=paint[1])

    def _base(self, to: Which) -> float:
        """The zero on which values stand, or the axis' end next to it."""
        axis = self.axes.y if to == "x" else self.axes.x
        return min(max(0.0, axis.low), axis.high)


def open_plot(page: Drawing, gid: str, axes: Axes, low: Point, high: Point) -> Plot:
    """A plot as a group of a drawing, with the rectangle of the page that is its own."""
    group = Group(gid, axes.frame)
    page.add(group)
    return Plot(Board(group, axes.frame, low, high), axes)


def _run(points: Array, *, smooth: bool) -> Trace:
    return drawing.smooth(points) if smooth else polyline(points)


def _text(gid: str, text: str, at: Point, anchor: Anchor) -> Writing:
    return Writing(gid, text, *at, SMALL_SIZE, "muted", anchor)
