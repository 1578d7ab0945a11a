"""The convex comparison bound: no convex outline symmetric about the axis can be smaller.

Convex hull of the two apexes and the margin discs, together with their mirror images in the
straight line through the apexes. It matches the tangent-to-circle idea of [goldberg-2004]; drawn
beside the marking, not used as one: its edges are not arcs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from offmidline.geometry.fit import Disc
from offmidline.geometry.outline import Array, Outline

# Segments of a quarter circle: the disc's area is then short by 0.01 %.
_QUARTER_SEGMENTS = 64


def convex_bound(outline: Outline, discs: Sequence[Disc]) -> shapely.Polygon:
    """The hull (mm) of apexes and discs, mirrored in the line through the apexes."""
    apexes = np.array([outline.cranial_point, outline.caudal_point])
    shapes = [
        shapely.Point(disc.x, disc.y).buffer(disc.radius, quad_segs=_QUARTER_SEGMENTS)
        for disc in discs
    ]
    points = np.vstack([apexes, *(shapely.get_coordinates(shape) for shape in shapes)])
    cloud = np.vstack([points, _mirrored(points, apexes)])
    return shapely.Polygon(shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(cloud))))


def _mirrored(points: Array, axis: Array) -> Array:
    direction = axis[1] - axis[0]
    direction = direction / math.hypot(*direction)
    relative = points - axis[0]
    along = (relative @ direction)[:, None] * direction
    return np.asarray(axis[0] + 2 * along - relative)
