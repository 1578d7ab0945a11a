"""Oblique views of a flat marking, and their rectification (mm, degrees).

The camera's axis is tilted about the body's long axis (y), so lateral lengths are foreshortened.
Conventions and check numbers: a point (X, Y) of the marked plane in the camera's frame lies at (X
cos t, Y, d + X sin t). Perspective projection after the pinhole model; rectification by the
homography of four known points, solved by the normalised direct linear transform
[hartley-zisserman, from memory].
"""

from __future__ import annotations

import math

import numpy as np

from offmidline.geometry.outline import Array

_POINTS_NEEDED = 4
# A homography has nine entries and a free scale.
_UNKNOWNS = 8
# Ratio of singular values below which the points leave more than one homography.
_SINGULAR = 1e-9


def orthographic(points: Array, tilt_deg: float) -> Array:
    """Points (n, 2) seen from far away through a camera tilted about the long axis, (n, 2), mm."""
    points = np.asarray(points, dtype=float)
    return np.asarray(points * np.array([math.cos(math.radians(tilt_deg)), 1.0]))


def pinhole(points: Array, tilt_deg: float, distance: float, focal: float | None = None) -> Array:
    """Points (n, 2) seen from ``distance`` mm through a tilted pinhole camera, (n, 2).

    With the default focal length, equal to the distance, the untilted view is to scale in mm.

    Raises:
        ValueError: where a point lies at or behind the camera.
    """
    points = np.asarray(points, dtype=float)
    tilt = math.radians(tilt_deg)
    depth = distance + points[:, 0] * math.sin(tilt)
    if np.any(depth <= 0):
        raise ValueError("every point must lie in front of the camera")
    scale = (distance if focal is None else focal) / depth
    return np.column_stack([points[:, 0] * math.cos(tilt) * scale, points[:, 1] * scale])


def homography(source: Array, target: Array) -> Array:
    """The 3 x 3 matrix that takes ``source`` points to ``target`` points (each (n, 2), n >= 4).

    Scaled so that its last entry is 1. Exact for four points, least squares for more.

    Raises:
        ValueError: with fewer than four points, or where three of four lie on a line.
    """
    source, target = np.asarray(source, dtype=float), np.asarray(target, dtype=float)
    if source.shape != target.shape or len(source) < _POINTS_NEEDED:
        raise ValueError("a homography needs at least four pairs of points")
    from_source, scaled_source = _normalise(source)
    from_target, scaled_target = _normalise(target)
    rows = []
    for (x, y), (u, v) in zip(scaled_source, scaled_target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    _, singular, right = np.linalg.svd(np.array(rows))
    scaled = right[-1].reshape(3, 3)
    # Three points on a line leave a second answer, or only one that flattens the plane.
    several = singular[_UNKNOWNS - 1] < _SINGULAR * singular[0]
    if several or abs(np.linalg.det(scaled)) < _SINGULAR:
        raise ValueError("no three of the four points may lie on a line")
    matrix = np.linalg.inv(from_target) @ scaled @ from_source
    return np.asarray(matrix / matrix[2, 2])


def apply_homography(matrix: Array, points: Array) -> Array:
    """Points (n, 2) moved by a homography, (n, 2)."""
    points = np.asarray(points, dtype=float)
    lifted = np.column_stack([points, np.ones(len(points))]) @ np.asarray(matrix).T
    return np.asarray(lifted[:, :2] / lifted[:, 2:])


def _normalise(points: Array) -> tuple[Array, Array]:
    """Similarity that centres the points at mean distance sqrt(2), and the points so moved."""
    centre = points.mean(axis=0)
    spread = float(np.hypot(*(points - centre).T).mean())
    if spread == 0:
        raise ValueError("the points must not all be the same")
    scale = math.sqrt(2) / spread
    matrix = np.array([[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]])
    return matrix, (points - centre) * scale
