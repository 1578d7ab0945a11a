"""A marking photographed at a slant: what looks how long, and how four marks put it right (mm).

The camera aims at a point of the marked plane and is tilted about the body's long axis; see
``view`` for the projection, the homography and their sources. Off a tilt of 0 lateral lengths look
shorter, which is why none may be read off such a picture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.geometry.outline import Array, Outline
from offmidline.geometry.view import apply_homography, homography, pinhole

# From how far (mm) and at which slants (degrees) a marking is shown; common practice, no source.
CAMERA_DISTANCE: Final = 500.0
TILTS_DEG: Final = (0.0, 30.0, 45.0)
# Marks stand at whole centimetres, clear of the marked line; common practice, no source.
_MARK_STEP = 10.0
_MARK_CLEARANCE = 5.0
# A camera that looks along the skin sees a line.
_GRAZING_DEG = 90.0


@dataclass(frozen=True)
class Camera:
    """A pinhole camera that looks at a point of the marked plane.

    Attributes:
        tilt_deg: about the body's long axis; at a positive tilt the flap's side is farther away.
        distance: from the camera to the point that it aims at, mm.
        aim: that point, (x, y) in mm.

    Raises:
        ValueError: where the camera does not stand before the plane.
    """

    tilt_deg: float
    distance: float
    aim: tuple[float, float]

    def __post_init__(self) -> None:
        if not self.distance > 0:
            raise ValueError("the camera's distance must be above 0 mm")
        if not abs(self.tilt_deg) < _GRAZING_DEG:
            raise ValueError("a camera is tilted by less than 90 degrees to either side")

    def see(self, points: Array) -> Array:
        """The picture of points (n, 2) of the plane, (n, 2), mm from the picture of the aim.

        To scale at the aim's distance: the untilted picture shows true lengths.

        Raises:
            ValueError: where a point lies at or behind the camera.
        """
        return pinhole(np.asarray(points, dtype=float) - self.aim, self.tilt_deg, self.distance)


@dataclass(frozen=True)
class Apparent:
    """What a picture seems to show at the widest level, mm.

    Attributes:
        width: between the pictures of the two edges.
        offset: between the pictures of the midline and of the new midline.
    """

    width: float
    offset: float


def apparent(outline: Outline, camera: Camera) -> Apparent:
    """Width and offset as a camera shows them, mm.

    Raises:
        ValueError: where a point that is measured lies at or behind the camera.
    """
    return _apparent(camera.see(_measured_points(outline)))


def put_right(outline: Outline, camera: Camera) -> Apparent:
    """Width and offset in a camera's picture rectified by the known points, mm: the true ones.

    Raises:
        ValueError: where a point lies at or behind the camera.
    """
    marks, points = known_points(outline), _measured_points(outline)
    return _apparent(rectified(camera.see(points), camera.see(marks), marks))


def shortened_percent(seen: float, true: float) -> float:
    """By how many percent a length looks shorter than it is; raises ValueError where it is none."""
    if not true > 0:
        raise ValueError("only a length above 0 can look shorter")
    return (1 - seen / true) * 100


def _measured_points(outline: Outline) -> Array:
    """At the widest level: the two edges, the midline and the new midline, (4, 2), mm."""
    x, half = outline.offset, outline.half_width
    lateral = np.array([x - half, x + half, 0.0, x])
    return np.column_stack([lateral, np.full(len(lateral), outline.widest_level)])


def _apparent(seen: Array) -> Apparent:
    medial_edge, lateral_edge, midline, new_midline = seen
    return Apparent(
        width=math.dist(medial_edge, lateral_edge), offset=math.dist(midline, new_midline)
    )


def known_points(outline: Outline) -> Array:
    """Four marks on the skin, the corners of a rectangle round the outline, (4, 2), mm.

    Counter-clockwise from the medial caudal corner; at whole centimetres, so that anybody can set
    them out, and clear of the line.
    """
    ring = outline.ring()
    left, low = np.floor((ring.min(axis=0) - _MARK_CLEARANCE) / _MARK_STEP) * _MARK_STEP
    right, high = np.ceil((ring.max(axis=0) + _MARK_CLEARANCE) / _MARK_STEP) * _MARK_STEP
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def rectified(seen: Array, seen_marks: Array, true_marks: Array) -> Array:
    """Points (n, 2) of a picture brought back to the plane by four known marks, (n, 2), mm.

    Raises:
        ValueError: with fewer than four marks, or where three of four lie on a line.
    """
    return apply_homography(homography(seen_marks, true_marks), seen)
