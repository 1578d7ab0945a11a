"""Signed distance from points and discs to an outline, in mm, positive inside.

``Polygon.distance`` of a library is 0 for every point inside and a polygon only approaches the
curve, so the nearest point is found on the curve itself: in closed form on the cranial arc, by
Newton's method on the bent caudal half, started from the best of a dense sample.
"""

from __future__ import annotations

import numpy as np
import shapely

from offmidline.geometry.outline import EDGE_SIGN, Array, Edge, Outline

Point = tuple[float, float]

_SAMPLES = 65
_NEWTON_STEPS = 5
# Points of an edge, and of a quarter of a circle, between which the line around an outline runs
# straight, and how far (mm) it may then be simplified.
_RING_POINTS = 64
_CLOSE_ENOUGH = 0.03


def nearest_points(outline: Outline, points: Array) -> Array:
    """The outline's nearest point to each of the points, both of shape (n, 2), mm."""
    points = np.atleast_2d(np.asarray(points, dtype=float))
    found = [
        candidate
        for edge in EDGE_SIGN
        for candidate in (
            *_on_cranial_arc(outline, edge, points),
            *_on_caudal_half(outline, edge, points),
        )
    ]
    candidates = np.stack(found)
    nearest = np.hypot(*np.moveaxis(candidates - points, -1, 0)).argmin(axis=0)
    return np.asarray(candidates[nearest, np.arange(len(points))])


def signed_distance(outline: Outline, points: Array) -> Array:
    """Distance of each point, shape (n, 2) in mm, to the outline, shape (n,): positive inside."""
    points = np.atleast_2d(np.asarray(points, dtype=float))
    distance = np.hypot(*(nearest_points(outline, points) - points).T)
    x, y = points[:, 0], points[:, 1]
    inside = (
        (y > outline.caudal_apex)
        & (y < outline.cranial_apex)
        & (x > outline.edge_x("medial", y))
        & (x < outline.edge_x("lateral", y))
    )
    return np.asarray(np.where(inside, distance, -distance))


def disc_margin(outline: Outline, x: float, y: float, diameter: float) -> float:
    """Margin of a disc, mm: signed distance from its rim to the outline.

    The rim's least favourable point counts, so a disc that is cut through has a negative margin.
    """
    return float(signed_distance(outline, np.array([[x, y]]))[0]) - diameter / 2


def disc_gap(outline: Outline, x: float, y: float, diameter: float) -> float:
    """Distance from the outline to the nearest point of a disc's rim outside it, mm.

    Negative where the outline cuts through the disc or encloses it.
    """
    return -float(signed_distance(outline, np.array([[x, y]]))[0]) - diameter / 2


def gap_ends(outline: Outline, x: float, y: float, diameter: float) -> tuple[Point, Point]:
    """Between which points (x, y) the gap of a disc is measured, mm: on the outline, on the rim.

    Meant for a disc whose centre lies off the outline; one on it has no direction to its gap.
    """
    near = nearest_points(outline, np.array([[x, y]]))[0]
    way = (x, y) - near
    distance = float(np.hypot(*way))
    share = 1 - diameter / 2 / distance if distance else 0.0
    rim = near + share * way
    return (float(near[0]), float(near[1])), (float(rim[0]), float(rim[1]))


def within_reach(outline: Outline, distance: float) -> Array:
    """The closed line at a distance (mm) outside an outline, shape (n, 2): what comes up to it lies
    no further away. It keeps to within 0.05 mm of the true one.
    """
    grown = shapely.Polygon(outline.ring(_RING_POINTS)).buffer(distance, quad_segs=_RING_POINTS)
    return shapely.get_coordinates(grown.simplify(_CLOSE_ENOUGH))[:-1]


def nearest_to_verge(outline: Outline) -> tuple[float, float]:
    """The outline's nearest point (x, y) to the centre of the anal verge, mm."""
    x, y = nearest_points(outline, np.zeros((1, 2)))[0]
    return float(x), float(y)


def verge_clearance(outline: Outline) -> float:
    """Shortest distance from the outline to the centre of the anal verge (0, 0), mm; negative
    inside.
    """
    return -float(signed_distance(outline, np.zeros((1, 2)))[0])


def _on_cranial_arc(outline: Outline, edge: Edge, points: Array) -> tuple[Array, Array, Array]:
    """The foot of the perpendicular on the arc, and the arc's two ends, for each point."""
    sign = EDGE_SIGN[edge]
    centre_x = outline.offset + sign * (outline.half_width - outline.radius)
    phi = np.arctan2(points[:, 1] - outline.widest_level, sign * (points[:, 0] - centre_x))
    foot = np.column_stack(outline.edge_point(edge, np.clip(phi, 0.0, outline.alpha)))
    # Clamping finds the nearer end only where phi lies within half a turn of it: keep both ends.
    ends = np.column_stack(outline.edge_point(edge, np.array([0.0, outline.alpha])))
    return foot, np.broadcast_to(ends[0], foot.shape), np.broadcast_to(ends[1], foot.shape)


def _on_caudal_half(outline: Outline, edge: Edge, points: Array) -> tuple[Array, Array]:
    """The nearest sample of the caudal half, and the point that Newton's method makes of it."""
    grid = np.linspace(-outline.alpha, 0.0, _SAMPLES)
    x, y = outline.edge_point(edge, grid)
    best = np.hypot(points[:, :1] - x, points[:, 1:] - y).argmin(axis=1)
    low = grid[np.maximum(best - 1, 0)]
    high = grid[np.minimum(best + 1, _SAMPLES - 1)]
    phi = grid[best]
    for _ in range(_NEWTON_STEPS):
        x, y = outline.edge_point(edge, phi)
        dx, dy = outline.edge_tangent(edge, phi)
        ddx, ddy = _edge_second_derivative(outline, edge, phi)
        slope = (x - points[:, 0]) * dx + (y - points[:, 1]) * dy
        bend = dx * dx + dy * dy + (x - points[:, 0]) * ddx + (y - points[:, 1]) * ddy
        step = np.where(bend > 0, slope / np.where(bend > 0, bend, 1.0), 0.0)
        phi = np.clip(phi - step, low, high)
    sampled = np.column_stack(outline.edge_point(edge, grid[best]))
    return sampled, np.column_stack(outline.edge_point(edge, phi))


def _edge_second_derivative(outline: Outline, edge: Edge, phi: Array) -> tuple[Array, Array]:
    bend = 2 * outline.caudal_shift * (outline.radius / outline.half_length) ** 2
    x = bend * np.cos(2 * phi) - EDGE_SIGN[edge] * outline.radius * np.cos(phi)
    return x, -outline.radius * np.sin(phi)
