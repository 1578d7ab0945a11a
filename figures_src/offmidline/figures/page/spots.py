"""Where the text of a dimension may stand, the best places first (mm on the page, angles in
degrees).

A text stands above its line and reads from the bottom or from the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Array, Point
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.style import TEXT_SIZE

Segment = tuple[Point, Point]

# How far an extension line passes its dimension line.
OVERSHOOT: Final = 1.4
# Baseline of the text above its line.
LIFT: Final = 1.65
# Between the arrow outside, or the extension line, and a text beside it.
TEXT_GAP: Final = 1.2
# What a text beside a line is moved away for each mm to a side that the line takes in its run, mm.
_LEANS: Final = 2.5
# What a text beyond the line's end pays before its distance.
_BEYOND: Final = 5.0
# An angle this far beyond upright still reads from the right.
_NOTHING: Final = 1e-9


@dataclass(frozen=True)
class Spot:
    """A place for a dimension's text: the middle of its baseline, its angle, what it costs (mm),
    and the line drawn under it.
    """

    x: float
    y: float
    angle: float
    cost: float = 0.0
    under: Segment | None = None


def readable(angle_deg: float) -> float:
    """The angle at which a text along a line is not upside down: above -90 and up to 90 degrees."""
    turned = angle_deg % 180.0
    return turned - 180.0 if turned > 90.0 + _NOTHING else turned


def between(start: Array, end: Array, direction_deg: float, text_width: float) -> tuple[Spot, ...]:
    """Above the line between its arrows: in the middle, then at an end, then anywhere."""
    along = unit(direction_deg)
    angle = readable(direction_deg)
    lift = LIFT * unit(angle + 90)
    slack = float(np.hypot(*(end - start))) - text_width
    if slack < 0:
        return ()
    return tuple(
        Spot(*as_point(start + along * (text_width / 2 + share * slack) + lift), angle, rank)
        for rank, share in enumerate((0.5, 0.03, 0.97, 0.25, 0.75, 0.12, 0.88, 0.37, 0.63))
    )


def raised(start: Array, end: Array, direction_deg: float, text_width: float) -> tuple[Spot, ...]:
    """Above the line and what the extension lines overshoot: flush with either end, or centred."""
    along = unit(direction_deg)
    angle = readable(direction_deg)
    lift = (LIFT + OVERSHOOT) * unit(angle + 90)
    half = along * text_width / 2
    middles = (start + half, end - half, (start + end) / 2)
    return tuple(Spot(*as_point(middle + lift), angle, _BEYOND + 1) for middle in middles)


def beyond(
    start: Array,
    end: Array,
    direction_deg: float,
    text_width: float,
    outer: float,
    ends: tuple[bool, bool],
) -> tuple[Spot, ...]:
    """Beyond either end of the line, which is prolonged under the text; near, then further away."""
    along = unit(direction_deg)
    angle = readable(direction_deg)
    lift = LIFT * unit(angle + 90)
    spots = []
    for extra in (0.0, 3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 24.0, 30.0):
        for allowed, origin, way in ((ends[0], start, -along), (ends[1], end, along)):
            if not allowed:
                continue
            edge = origin + way * (outer + extra + TEXT_GAP)
            middle = edge + way * text_width / 2
            under = (as_point(origin), as_point(edge + way * text_width))
            spots.append(Spot(*as_point(middle + lift), angle, _BEYOND + extra / 2, under))
    return tuple(spots)


def beside(start: Array, end: Array, text_width: float) -> tuple[Spot, ...]:
    """Level texts to the left and to the right of a steep line, at its middle and at its ends."""
    run = np.abs(end - start)
    # Clear of the ends of extension lines, which pass the dimension line, and of a line that leans.
    away = OVERSHOOT + 0.4 + _LEANS * float(run[0] / np.hypot(*run)) + text_width / 2
    return tuple(
        Spot(float(x) + way * away, float(y) - LIFT, 0.0, rank)
        for rank, share in enumerate((0.5, 0.2, 0.8, 0.0, 1.0))
        for x, y in [start + share * (end - start)]
        for way in (1.0, -1.0)
    )


def clear_of(
    segments: Sequence[Segment], spots: Iterable[Spot], text_width: float
) -> tuple[Spot, ...]:
    """Those of some level spots whose text keeps off the boxes round some lines."""

    def meets(spot: Spot, segment: Segment) -> bool:
        (x0, y0), (x1, y1) = segment
        below, above = spot.y - DESCENT * TEXT_SIZE, spot.y + ASCENT * TEXT_SIZE
        return (
            min(x0, x1) < spot.x + text_width / 2
            and max(x0, x1) > spot.x - text_width / 2
            and min(y0, y1) < above
            and max(y0, y1) > below
        )

    return tuple(spot for spot in spots if not any(meets(spot, segment) for segment in segments))


def along_arc(
    centre: Array, start_deg: float, end_deg: float, radius: float, text_width: float
) -> tuple[Spot, ...]:
    """Level texts just outside the arc, from its middle towards its ends, then further out."""
    spots = []
    middle = (start_deg + end_deg) / 2
    half = (end_deg - start_deg) / 2
    for far in (0.0, 2.0, 5.0, 9.0):
        for share in (0.0, -0.6, 0.6):
            direction = unit(middle + share * half)
            # The text's box must clear the arc whichever side of it faces the vertex.
            room = (
                radius + far + TEXT_GAP + abs(direction[0]) * text_width / 2 + abs(direction[1]) * 2
            )
            x, y = centre + room * direction
            spots.append(Spot(float(x), float(y) - LIFT, 0.0, far + abs(share)))
    return tuple(spots)


def unit(angle_deg: float) -> Array:
    """The unit vector in a direction."""
    angle = math.radians(angle_deg)
    return np.array([math.cos(angle), math.sin(angle)])


def as_point(array: Array) -> Point:
    """A point of plain floats."""
    return float(array[0]), float(array[1])
