"""Dimensions with their names and texts, as a board draws them (mm on the page)."""

from __future__ import annotations

from typing import NamedTuple

from offmidline.figures.dimension import PLAIN, Choices, Dimension, angular, linear, radial
from offmidline.figures.drawing import Point
from offmidline.figures.metrics import width
from offmidline.figures.style import TEXT_SIZE


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


def straight(name: str, text: str, ends: tuple[Point, Point], choices: Choices) -> Measure:
    """The distance of two points along the line between them."""
    drawn = linear(*ends, width(text, TEXT_SIZE), choices=choices)
    return Measure(f"dimension-{name}", drawn, text)


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
