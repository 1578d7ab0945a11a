"""Dimensions after ISO 129-1, as pure geometry in mm on the page (y up, angles counter-clockwise).

A dimension consists of extension lines (a gap at the object, an overshoot past the dimension line),
the dimension line, filled arrowheads (outside, pointing inwards, where the length is too short for
them) and a text above its line, readable from the bottom or from the right. Where the text does not
fit between the arrows the line is prolonged under it. Which of the possible places the text takes
is the caller's choice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from offmidline.figures.page import spots as spots_at
from offmidline.figures.page.drawing import MOVE, Array, Point, Trace, hermite
from offmidline.figures.page.spots import OVERSHOOT, Segment, Spot, as_point, unit

GAP: Final = 0.8
ARROW_LENGTH: Final = 2.6
ARROW_HALF_WIDTH: Final = 0.55
# What an arrow outside keeps of line behind it.
TAIL: Final = 2.4
# Lengths below this are none.
_NOTHING: Final = 1e-9

Triangle = tuple[Point, Point, Point]


@dataclass(frozen=True)
class Dimension:
    """A drawn dimension without its text; ``spots`` are the places for the text, the best first."""

    lines: tuple[Segment, ...]
    extensions: tuple[Segment, ...]
    arrows: tuple[Triangle, ...]
    spots: tuple[Spot, ...]
    arc: Trace | None = None


@dataclass(frozen=True)
class Choices:
    """How a linear dimension is drawn.

    Attributes:
        extend: whether an extension line is drawn at the first and at the second point. A dimension
            line that begins on a line of the object needs none.
        outside: whether the text may stand beyond the first and beyond the second point.
        beside: whether the text may stand level beside a steep line, which reads more easily.
        raised: whether a text wider than the length may stand above the ends of the extension
            lines.
    """

    extend: tuple[bool, bool] = (True, True)
    outside: tuple[bool, bool] = (True, True)
    beside: bool = False
    raised: bool = False

    @property
    def turned(self) -> Choices:
        """The same with the two points exchanged."""
        return replace(self, extend=self.extend[::-1], outside=self.outside[::-1])


PLAIN: Final = Choices()


def fits_inside(length: float) -> bool:
    """Whether a length (mm) has room for both arrowheads and some line between them."""
    return length >= 3 * ARROW_LENGTH


def linear(
    first: Point,
    second: Point,
    text_width: float,
    *,
    direction_deg: float | None = None,
    through: Point | None = None,
    choices: Choices = PLAIN,
) -> Dimension:
    """The distance of two points, measured along a direction.

    Args:
        first, second: the points measured.
        text_width: width of the text that will be set.
        direction_deg: direction of the dimension line; along the two points where not given.
        through: a point on the dimension line; ``first`` where not given.
        choices: extension lines, and where else the text may stand.

    Raises:
        ValueError: where the two points do not differ along the direction.
    """
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    if direction_deg is None:
        direction_deg = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    along = unit(direction_deg)
    across = np.array([-along[1], along[0]])
    base = a if through is None else np.asarray(through, dtype=float)
    start = a + across * float(np.dot(base - a, across))
    end = b + across * float(np.dot(base - b, across))
    run = float(np.dot(end - start, along))
    if abs(run) < _NOTHING:
        raise ValueError("the two points of a dimension must differ along it")
    if run < 0:
        start, end, a, b, run = end, start, b, a, -run
        choices = choices.turned
    extensions = tuple(
        segment
        for wanted, point, foot in ((choices.extend[0], a, start), (choices.extend[1], b, end))
        if wanted and (segment := _extension(point, foot)) is not None
    )
    lines, arrows = _line_and_arrows(start, end, along, fits_inside(run))
    outer = 0.0 if fits_inside(run) else ARROW_LENGTH + TAIL
    spots = spots_at.between(start, end, direction_deg, text_width)
    if choices.raised:
        spots += spots_at.raised(start, end, direction_deg, text_width)
    spots += spots_at.beyond(start, end, direction_deg, text_width, outer, choices.outside)
    if choices.beside:
        level = spots_at.beside(start, end, text_width)
        spots = (*spots_at.clear_of(extensions, level, text_width), *spots)
    return Dimension(lines, extensions, arrows, spots)


def angular(
    vertex: Point, start_deg: float, end_deg: float, radius: float, text_width: float
) -> Dimension:
    """The angle from one direction to another, counter-clockwise, as an arc round its vertex."""
    if end_deg <= start_deg:
        raise ValueError("an angle runs counter-clockwise from its start to its end")
    centre = np.asarray(vertex, dtype=float)
    sweep = end_deg - start_deg
    # An arrowhead sits on the chord of its own length, so that it points along the arc.
    turn = math.degrees(2 * math.asin(min(1.0, ARROW_LENGTH / (2 * radius))))
    inside = sweep >= 3 * turn
    arrows = []
    for angle, way in ((start_deg, 1.0), (end_deg, -1.0)):
        tip = centre + radius * unit(angle)
        tail = centre + radius * unit(angle + (way if inside else -way) * turn)
        arrows.append(_arrow(tip, (tip - tail) / ARROW_LENGTH))
    reach = 0.0 if inside else 2 * turn
    angles = np.radians(np.linspace(start_deg - reach, end_deg + reach, 9))
    step = angles[1] - angles[0]
    points = centre + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    tangents = radius * step * np.column_stack([-np.sin(angles), np.cos(angles)])
    return Dimension(
        lines=(),
        extensions=(),
        arrows=tuple(arrows),
        spots=spots_at.along_arc(centre, start_deg, end_deg, radius, text_width),
        arc=hermite(points, tangents),
    )


def radial(centre: Point, radius: float, direction_deg: float, text_width: float) -> Dimension:
    """The radius of a circle: a line from its centre to the circle with one arrowhead there."""
    along = unit(direction_deg)
    start = np.asarray(centre, dtype=float)
    tip = start + radius * along
    return Dimension(
        lines=((as_point(start), as_point(tip)),),
        extensions=(),
        arrows=(_arrow(tip, along),),
        spots=spots_at.between(start, tip, direction_deg, text_width)
        + spots_at.beyond(start, tip, direction_deg, text_width, 0.0, (False, True)),
    )


def _line_and_arrows(
    start: Array, end: Array, along: Array, inside: bool
) -> tuple[tuple[Segment, ...], tuple[Triangle, ...]]:
    if inside:
        return (
            ((as_point(start), as_point(end)),),
            (_arrow(start, -along), _arrow(end, along)),
        )
    out = (ARROW_LENGTH + TAIL) * along
    return (
        ((as_point(start - out), as_point(end + out)),),
        (_arrow(start, along), _arrow(end, -along)),
    )


def _extension(point: Array, foot: Array) -> Segment | None:
    """From the gap at the object to the overshoot past the dimension line; none where they are
    too near.
    """
    run = foot - point
    length = float(np.hypot(*run))
    if length <= GAP:
        return None
    way = run / length
    return as_point(point + GAP * way), as_point(foot + OVERSHOOT * way)


def _arrow(tip: Array, way: Array) -> Triangle:
    """A filled arrowhead with its tip at a point, pointing along a unit vector."""
    across = ARROW_HALF_WIDTH * np.array([-way[1], way[0]])
    back = tip - ARROW_LENGTH * way
    return as_point(tip), as_point(back + across), as_point(back - across)


def triangles(arrows: Sequence[Triangle]) -> Trace:
    """Arrowheads as one path to be filled."""
    points = np.asarray(arrows, dtype=float).reshape(-1, 3, 2)
    closed = np.concatenate([points, points[:, :1]], axis=1).reshape(-1, 2)
    return Trace(closed, (MOVE, 2, 2, 79) * len(arrows))
