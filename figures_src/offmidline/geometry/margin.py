"""Signed distance from points and discs to an outline, in mm, positive inside.

``Polygon.distance`` of a library is 0 for every point inside and a polygon only approaches the
curve, so the nearest point is found on the curve itself: in closed form on the cranial arc, by
Newton's method on the bent caudal half, started from the best of a dense sample.
"""

from __future__ import annotations

import numpy as np

from offmidline.geometry.outline import EDGE_SIGN, Array, Edge, Outline

_SAMPLES = 65
_NEWTON_STEPS = 8


def signed_distance(outline: Outline, points: Array) -> Array:
    """Distance of each point, shape (n, 2) in mm, to the outline, shape (n,): positive inside."""
    points = np.atleast_2d(np.asarray(points, dtype=float))
    nearest = np.minimum(
        _distance_to_edge(outline, "medial", points), _distance_to_edge(outline, "lateral", points)
    )
    x, y = points[:, 0], points[:, 1]
    inside = (
        (y > outline.caudal_apex)
        & (y < outline.cranial_apex)
        & (x > outline.edge_x("medial", y))
        & (x < outline.edge_x("lateral", y))
    )
    return np.asarray(np.where(inside, nearest, -nearest))


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


def verge_clearance(outline: Outline) -> float:
    """Shortest distance from the outline to the centre of the anal verge (0, 0), mm; negative
    inside.
    """
    return -float(signed_distance(outline, np.zeros((1, 2)))[0])


def _distance_to_edge(outline: Outline, edge: Edge, points: Array) -> Array:
    return np.minimum(
        _distance_to_cranial_arc(outline, edge, points),
        _distance_to_caudal_half(outline, edge, points),
    )


def _distance_to_cranial_arc(outline: Outline, edge: Edge, points: Array) -> Array:
    sign = EDGE_SIGN[edge]
    centre_x = outline.offset + sign * (outline.half_width - outline.radius)
    phi = np.arctan2(points[:, 1] - outline.widest_level, sign * (points[:, 0] - centre_x))
    x, y = outline.edge_point(edge, np.clip(phi, 0.0, outline.alpha))
    # Clamping picks the nearer end only where phi lies within half a turn of it; compare both ends.
    end_x, end_y = outline.edge_point(edge, np.array([0.0, outline.alpha]))
    to_ends = np.hypot(points[:, :1] - end_x, points[:, 1:] - end_y).min(axis=1)
    on_arc = np.hypot(points[:, 0] - x, points[:, 1] - y)
    return np.asarray(np.minimum(on_arc, to_ends))


def _distance_to_caudal_half(outline: Outline, edge: Edge, points: Array) -> Array:
    grid = np.linspace(-outline.alpha, 0.0, _SAMPLES)
    x, y = outline.edge_point(edge, grid)
    sampled = np.hypot(points[:, :1] - x, points[:, 1:] - y)
    best = sampled.argmin(axis=1)
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
    x, y = outline.edge_point(edge, phi)
    refined = np.hypot(points[:, 0] - x, points[:, 1] - y)
    return np.asarray(np.minimum(refined, sampled.min(axis=1)))


def _edge_second_derivative(outline: Outline, edge: Edge, phi: Array) -> tuple[Array, Array]:
    bend = 2 * outline.caudal_shift * (outline.radius / outline.half_length) ** 2
    x = bend * np.cos(2 * phi) - EDGE_SIGN[edge] * outline.radius * np.cos(phi)
    return x, -outline.radius * np.sin(phi)
