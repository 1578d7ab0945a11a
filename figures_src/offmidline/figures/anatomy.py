"""Landmarks that figures show without measuring them: schematic, at the scale of the drawing.

Coordinates in the plan's frame, mm; the two halves are mirror images. No source: the shapes only
say where one is, they carry no dimension, and their lines are the faintest of a figure.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from offmidline.figures.drawing import Array, Trace, segments, smooth

# The tip of the coccyx lies a few centimetres cranial of the verge; schematic.
COCCYX_TIP: Final = 42.0
VERGE_HALF_WIDTH: Final = 4.0
VERGE_HALF_HEIGHT: Final = 5.5
_FOLDS: Final = 10

# Border of the cleft: distance from the midline at levels cranial of the verge.
_CLEFT: Final = np.array(
    [
        (24.0, -40.0),
        (13.0, -22.0),
        (10.0, 0.0),
        (11.5, 25.0),
        (13.0, 55.0),
        (11.0, 85.0),
        (6.5, 108.0),
        (0.0, 124.0),
    ]
)
# From the end of the cleft the contour of the buttock sweeps outwards.
_BUTTOCK: Final = np.array(
    [(0.0, 124.0), (12.0, 141.0), (35.0, 156.0), (70.0, 164.0), (115.0, 156.0), (150.0, 128.0)]
)
_COCCYX: Final = np.array(
    [
        (-9.0, 66.0),
        (-6.0, 52.0),
        (-2.8, 44.2),
        (0.0, COCCYX_TIP),
        (2.8, 44.2),
        (6.0, 52.0),
        (9.0, 66.0),
    ]
)


def cleft(low: float, half: int) -> Array:
    """The border of the cleft on one side (-1 or 1), from a level (mm) upwards, as points."""
    inside = _CLEFT[_CLEFT[:, 1] >= low]
    return inside * (half, 1)


def buttock(half: int) -> Array:
    """The contour of a buttock on one side (-1 or 1) as points, from the end of the cleft
    outwards.
    """
    return _BUTTOCK * (half, 1)


def coccyx() -> Trace:
    """The end of the coccyx, which is felt and not seen."""
    return smooth(_COCCYX)


def verge_folds() -> Trace:
    """The folds that run into the anal verge."""
    angles = np.linspace(0, 2 * np.pi, _FOLDS, endpoint=False) + np.pi / _FOLDS
    unit = np.column_stack([np.cos(angles), np.sin(angles)])
    size = np.array([VERGE_HALF_WIDTH, VERGE_HALF_HEIGHT])
    pairs = [(tuple(0.35 * size * way), tuple(0.8 * size * way)) for way in unit]
    return segments(pairs)
