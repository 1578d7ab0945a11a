"""What one closed line contains and another does not (mm)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import shapely

from offmidline.geometry.outline import Array

# Thinnest piece (mm) that is a difference and not noise: rings of one curve with unlike points
# leave slivers of a few micrometres between them.
SLIVER = 0.01


def only_in(one: Array, other: Array) -> list[Array]:
    """The area inside ``one`` and not inside ``other`` as rings, each (n, 2), mm, largest first.

    A ring runs counter-clockwise and its first point is not repeated, as in ``Outline.ring``. No
    ring has a hole: a piece with a hole is cut across through it. So the rings draw right singly
    or as one path, under the non-zero and the even-odd rule alike; stroked, they would show the
    cut. Pieces nowhere thicker than ``SLIVER`` are dropped.

    Raises:
        ValueError: where a ring has fewer than three points or crosses itself.
    """
    left = shapely.difference(_polygon(one), _polygon(other))
    whole = (piece for area in _polygons(left) for piece in _without_holes(area))
    pieces = [piece for piece in whole if not piece.buffer(-SLIVER / 2).is_empty]
    pieces.sort(key=lambda piece: -piece.area)
    return [_ring(piece) for piece in pieces]


def _polygon(ring: Array) -> shapely.Polygon:
    polygon = shapely.Polygon(ring)
    if not polygon.is_valid:
        raise ValueError("a ring must not cross itself")
    return polygon


def _polygons(shape: shapely.Geometry) -> Iterator[shapely.Polygon]:
    """The polygons of a result; points and lines that only touch are left out."""
    parts: Iterable[shapely.Geometry] = shapely.get_parts(shape)
    return (part for part in parts if isinstance(part, shapely.Polygon))


def _without_holes(area: shapely.Polygon) -> Iterator[shapely.Polygon]:
    """An area in pieces without a hole: cut at the level of a hole's middle, until none is left."""
    if not area.interiors:
        yield area
        return
    left, low, right, high = area.bounds
    _, hole_low, _, hole_high = area.interiors[0].bounds
    level = (hole_low + hole_high) / 2
    for half in (shapely.box(left, low, right, level), shapely.box(left, level, right, high)):
        for piece in _polygons(shapely.intersection(area, half)):
            yield from _without_holes(piece)


def _ring(piece: shapely.Polygon) -> Array:
    counter_clockwise = shapely.orient_polygons(piece)
    return np.asarray(counter_clockwise.exterior.coords)[:-1]
