"""Hatching: parallel lines across an area, by which it is told from another without colour."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from offmidline.figures.page.drawing import Array


def hatch(rings: Sequence[Array], spacing: float, *, rising: bool = True) -> Array:
    """Lines under 45 degrees through what an odd number of rings contains, shape (n, 2, 2).

    Lines of equal spacing (in the rings' unit, measured along x) lie on one grid, whatever the
    rings, so that areas that meet continue each other. ``rising`` lines go up where x grows.
    """
    if not rings:
        return np.empty((0, 2, 2))
    starts = np.vstack([np.asarray(ring, dtype=float) for ring in rings])
    ends = np.vstack([np.roll(np.asarray(ring, dtype=float), -1, axis=0) for ring in rings])
    slope = -1.0 if rising else 1.0
    # On each line x + slope * y is the same.
    one, other = (points[:, 0] + slope * points[:, 1] for points in (starts, ends))
    low, high = one.min() / spacing, one.max() / spacing
    levels = np.arange(np.floor(low) + 1, high)[:, None] * spacing
    crossed = (one > levels) != (other > levels)
    which, edge = np.nonzero(crossed)
    share = (levels[which, 0] - one[edge]) / (other[edge] - one[edge])
    points = starts[edge] + (ends[edge] - starts[edge]) * share[:, None]
    lines: Array = points[np.lexsort((points[:, 0], which))].reshape(-1, 2, 2)
    return lines
