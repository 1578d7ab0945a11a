"""Landmarks that figures show without measuring them: schematic, at the scale of the drawing.

Coordinates in the plan's frame, mm; the two halves are mirror images. No source: the shapes only
say where one is, they carry no dimension, and their lines are the faintest of a figure.
"""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Array, Trace, flattened, segments, smooth

# The tip of the coccyx lies a few centimetres cranial of the verge; schematic.
COCCYX_TIP: Final = 42.0
VERGE_HALF_WIDTH: Final = 4.0
VERGE_HALF_HEIGHT: Final = 5.5
_FOLDS: Final = 10

# Walls of the cleft: distance from the midline at levels cranial of the verge. They begin beside
# the verge and draw together cranially, where the cleft becomes shallow.
_CLEFT: Final = np.array(
    [
        (16.0, -10.0),
        (13.0, -5.5),
        (11.2, 0.0),
        (9.8, 14.0),
        (9.2, 40.0),
        (8.0, 70.0),
        (5.8, 92.0),
        (3.2, 108.0),
    ]
)
# From above the cleft the contour of the buttock sweeps outwards; the two never meet.
_BUTTOCK: Final = np.array(
    [(9.0, 116.0), (16.0, 134.0), (34.0, 150.0), (64.0, 158.0), (104.0, 152.0), (140.0, 128.0)]
)
# A wall of the cleft fades out over this length, in dashes that become shorter.
_FADING: Final = 30.0
_DASHES: Final = ((0.12, 0.38), (0.5, 0.68), (0.8, 0.9))
# Where a leader may point at the tip: a pit may lie over its very end.
COCCYX_ANCHORS: Final = ((0.0, COCCYX_TIP), (-2.7, 44.2), (2.7, 44.2))
_COCCYX: Final = np.array(
    [
        (-7.5, 64.0),
        (-5.4, 52.0),
        COCCYX_ANCHORS[1],
        COCCYX_ANCHORS[0],
        COCCYX_ANCHORS[2],
        (5.4, 52.0),
        (7.5, 64.0),
    ]
)


@cache
def cleft(half: int) -> tuple[Array, ...]:
    """A wall of the cleft on one side (-1 or 1) as runs of points: they end in shortening dashes,
    as the cleft fades out.
    """
    wall = flattened(smooth(_CLEFT * (half, 1)))[0]
    levels = wall[:, 1]
    fades = float(levels[-1]) - _FADING
    ends = [(fades + start * _FADING, fades + stop * _FADING) for start, stop in _DASHES]
    return tuple(_between(wall, low, high) for low, high in [(float(levels[0]), fades), *ends])


def buttock(half: int) -> Array:
    """The contour of a buttock on one side (-1 or 1) as points, from above the cleft outwards."""
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


def _between(wall: Array, low: float, high: float) -> Array:
    """The part of a rising line between two levels."""
    levels = wall[:, 1]
    inside = wall[(levels > low) & (levels < high)]
    ends = [(float(np.interp(level, levels, wall[:, 0])), level) for level in (low, high)]
    return np.vstack([ends[:1], inside, ends[1:]])
