"""Dimensions with their names and texts, as a board draws them (mm on the page)."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from offmidline.figures.page.dimension import PLAIN, Choices, Dimension, angular, linear, radial
from offmidline.figures.page.drawing import Point
from offmidline.figures.page.metrics import width
from offmidline.figures.page.spots import LIFT, Spot
from offmidline.figures.page.style import TEXT_SIZE

# How far (mm) the text of a level may stand beyond where it would stand best.
_MARK_STEPS: Final = (0.0, 3.0, 6.0, 10.0, 14.0)


class Measure(NamedTuple):
    """A dimension and what it says; ``gid`` names it in the published file."""

    gid: str
    dimension: Dimension
    text: str


def level(
    name: str, text: str, ends: tuple[Point, Point], y: float, choices: Choices = PLAIN
) -> Measure:
    """The distance of two points across the page, measured at a height."""
    room = width(text, TEXT_SIZE)
    drawn = linear(*ends, room, direction_deg=0.0, through=(0.0, y), choices=choices)
    return Measure(f"dimension-{name}", drawn, text)


def upright(
    name: str, text: str, ends: tuple[Point, Point], x: float, choices: Choices = PLAIN
) -> Measure:
    """The distance of two points up the page, measured at an x."""
    room = width(text, TEXT_SIZE)
    drawn = linear(*ends, room, direction_deg=90.0, through=(x, 0.0), choices=choices)
    return Measure(f"dimension-{name}", drawn, text)


def straight(
    name: str, text: str, ends: tuple[Point, Point], choices: Choices, aside: float = 0.0
) -> Measure:
    """The distance of two points along the line between them, or so far to the left of it."""
    (x0, y0), (x1, y1) = ends
    length = math.hypot(x1 - x0, y1 - y0)
    through = (x0 - aside * (y1 - y0) / length, y0 + aside * (x1 - x0) / length)
    drawn = linear(*ends, width(text, TEXT_SIZE), through=through, choices=choices)
    return Measure(f"dimension-{name}", drawn, text)


def level_mark(name: str, text: str, start: Point, x: float, way: float) -> Measure:
    """A level of a point, told on a line that leads from it across the page to an x and on under
    the text; ``way`` is 1 or -1, to the right or to the left.
    """
    room, y = width(text, TEXT_SIZE), start[1]
    spots = tuple(
        Spot(
            x + way * (away + room / 2),
            y + LIFT,
            0.0,
            2 * away,
            ((x, y), (x + way * (away + room), y)),
        )
        for away in _MARK_STEPS
    )
    return Measure(f"dimension-{name}", Dimension(((start, (x, y)),), (), (), spots), text)


def angle(
    name: str, text: str, vertex: Point, directions: tuple[float, float], radius: float
) -> Measure:
    """The angle between two directions (degrees), counter-clockwise, on an arc round their
    vertex.
    """
    drawn = angular(vertex, *directions, radius, width(text, TEXT_SIZE))
    return Measure(f"dimension-{name}", drawn, text)


def round_about(
    name: str, text: str, centre: Point, radius: float, direction_deg: float
) -> Measure:
    """The radius of a circle, drawn in a direction (degrees)."""
    drawn = radial(centre, radius, direction_deg, width(text, TEXT_SIZE))
    return Measure(f"dimension-{name}", drawn, text)
