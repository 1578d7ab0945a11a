"""The axes of a small plot: ranges, round ticks, and where they lie on the page.

The frame of a plot has another scale for x than for y. Where y is the level, a plot can share scale
and origin with a surface beside it. Lengths in mm on the page, values in the axes' units.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from offmidline.figures.page.drawing import Anchor, Frame, Point
from offmidline.figures.page.metrics import ASCENT, DESCENT, width, wrap
from offmidline.figures.page.sheet import Block
from offmidline.figures.page.style import SMALL_SIZE
from offmidline.figures.words import number
from offmidline.records.base import Side

Which = Literal["x", "y"]

TICK: Final = 1.2
TICK_GAP: Final = 0.6
# Ticks closer together than this would be noise, and texts closer than that would read as one.
_LEAST_STEP: Final[dict[Which, float]] = {"x": 8.0, "y": 7.0}
_TEXTS_APART: Final = 2.4
_TEXT_HEIGHT: Final = SMALL_SIZE * (ASCENT + DESCENT)
# From the middle of a digit to its baseline.
HALF_DIGIT: Final = 0.365 * SMALL_SIZE
# Round numbers are these, times a power of ten.
_ROUND: Final = (1, 2, 5)
# What of a step a value may lie beyond an end of its axis and still count as lying on it.
_ON_END: Final = 1e-9


@dataclass(frozen=True)
class Tick:
    """A round value on an axis, and how it is written."""

    value: float
    text: str

    @property
    def width(self) -> float:
        """Width of its text."""
        return width(self.text, SMALL_SIZE)


@dataclass(frozen=True)
class Axis:
    """One axis.

    Attributes:
        low, high: the values at its two ends.
        name: what it tells, with the unit; empty where that is said elsewhere.
        texts: whether its ticks carry their values.
        ticked: whether it has ticks: one whose places mean nothing has none.

    Raises:
        ValueError: where the ends are not in order.
    """

    low: float
    high: float
    name: str = ""
    texts: bool = True
    ticked: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.span < math.inf:
            raise ValueError("the low end of an axis must lie below its high end")

    @property
    def span(self) -> float:
        """From end to end, in units."""
        return self.high - self.low

    def ticks(self, length: float, which: Which) -> tuple[Tick, ...]:
        """The ticks of the axis at a length (mm): as close together as can be read."""
        if not self.ticked:
            return ()
        exponent = math.floor(math.log10(self.span * _LEAST_STEP[which] / length))
        while True:
            for factor in _ROUND:
                found = self._multiples(factor, exponent)
                step = factor * 10.0**exponent * length / self.span
                widest = max((tick.width for tick in found), default=0.0) if self.texts else 0.0
                needed = widest + _TEXTS_APART if which == "x" and len(found) > 1 else 0.0
                if step >= max(_LEAST_STEP[which], needed):
                    return found
            exponent += 1

    def _multiples(self, factor: int, exponent: int) -> tuple[Tick, ...]:
        """The multiples of a factor times ten to an exponent that lie on the axis."""
        step = factor * 10.0**exponent
        first = math.ceil(self.low / step - _ON_END)
        last = math.floor(self.high / step + _ON_END)
        # A quotient of whole numbers is the float nearest to the decimal that is written.
        whole, shift = (factor * 10**exponent, 1) if exponent >= 0 else (factor, 10**-exponent)
        values = [count * whole / shift for count in range(first, last + 1)]
        return tuple(Tick(value, number(value, max(0, -exponent))) for value in values)


@dataclass(frozen=True)
class Axes:
    """Two axes and the frame in which they lie on the page."""

    frame: Frame
    x: Axis
    y: Axis

    @property
    def low(self) -> Point:
        """The lower left corner of the area between the axes."""
        (x0, y0), (x1, y1) = self._ends
        return min(x0, x1), min(y0, y1)

    @property
    def high(self) -> Point:
        """The upper right corner of the area between the axes."""
        (x0, y0), (x1, y1) = self._ends
        return max(x0, x1), max(y0, y1)

    @property
    def _ends(self) -> tuple[Point, Point]:
        return self.frame.at(self.x.low, self.y.low), self.frame.at(self.x.high, self.y.high)


def axes(low: Point, size: Point, x: Axis, y: Axis, *, side: Side = "right") -> Axes:
    """Axes between which lies an area with this lower left corner and this width and height.

    On the left side x counts to the left, and the y axis stands on the right.
    """
    across, up = size[0] / x.span, size[1] / y.span
    left = low[0] - across * x.low if side == "right" else low[0] + size[0] + across * x.low
    return Axes(Frame(up, left, low[1] - up * y.low, side, across=across), x, y)


def axes_beside(frame: Frame, left: float, room: float, x: Axis, y: Axis) -> Axes:
    """Axes of a width, from an x of the page, whose y has the scale and origin of another frame."""
    across = room / x.span
    return Axes(Frame(frame.scale, left - across * x.low, frame.y, "right", across=across), x, y)


def below(x: Axis, room: float) -> float:
    """What ticks, texts and name of an x axis take below it, at a width for the name."""
    texts = TICK_GAP + _TEXT_HEIGHT if x.texts else 0.0
    return TICK + texts + name(x, "x", room).height


def above(y: Axis, room: float) -> float:
    """What the highest text and the name of a y axis take above it, at a width for the name."""
    return HALF_DIGIT + name(y, "y", room).height


def beside(y: Axis, length: float) -> float:
    """What ticks and texts of a y axis of a length (mm) take beside it."""
    widths = [tick.width for tick in y.ticks(length, "y")] if y.texts else []
    return TICK + (TICK_GAP + max(widths) if widths else 0.0)


def name(axis: Axis, which: Which, room: float, anchor: Anchor = "start") -> Block:
    """The name of an axis, broken to a width."""
    lines = wrap(axis.name, room, SMALL_SIZE) if axis.name else ()
    return Block(f"name-{which}", lines, SMALL_SIZE, anchor=anchor)
