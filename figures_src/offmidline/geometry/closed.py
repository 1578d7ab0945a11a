"""The closed wound: where points at equal shares of its length lie (mm).

Closed, the wound runs along the axis and is pushed out at both apexes along the axis's tangents;
its length is the scar's.
"""

from __future__ import annotations

import numpy as np

from offmidline.geometry.outline import Array, Outline

_NEWTON_STEPS = 8
# A slope below this bends the axis by less than any drawing or number tells.
_STRAIGHT = 1e-9


def wound_points(outline: Outline, fractions: Array) -> tuple[Array, Array]:
    """Points of the closed wound at fractions (0 caudal end, 1 cranial end) of its length, and the
    unit vectors along it there, pointing cranially; both of shape (n, 2), mm. Source: derived.
    """
    slope, half = outline.axis_slope_at_caudal_apex, outline.half_length
    out, bent = outline.push_out, outline.axis_length - half
    run = np.asarray(fractions, dtype=float) * (outline.axis_length + 2 * out)
    # How far the axis is followed down from the widest level, and straight on beyond the apex.
    below = np.clip(out + bent - run, 0.0, bent)
    beyond = np.maximum(0.0, out - run)
    above = np.maximum(0.0, run - out - bent)
    u = _share(below / half, slope)
    along = np.column_stack([-slope * u, np.ones_like(u)]) / np.hypot(1.0, slope * u)[:, None]
    x = outline.offset + outline.caudal_shift * u * u
    y = outline.widest_level - half * u + above
    return np.column_stack([x, y]) - along * beyond[:, None], along


def _share(lengths: Array, slope: float) -> Array:
    """The shares u of the caudal half at which the bent axis, in half-lengths, is so long:
    ``(u sqrt(1 + (s u)^2) + asinh(s u) / s) / 2``.
    """
    u = np.array(lengths, dtype=float)
    if abs(slope) < _STRAIGHT:
        return u
    for _ in range(_NEWTON_STEPS):
        speed = np.hypot(1.0, slope * u)
        u -= ((u * speed + np.arcsinh(slope * u) / slope) / 2 - lengths) / speed
    return np.asarray(np.clip(u, 0.0, 1.0))


def stitch_places(outline: Outline, stitches: int) -> tuple[Array, Array]:
    """Where a row of stitches crosses the closed wound, as ``wound_points``, caudal to cranial."""
    return wound_points(outline, np.arange(1, stitches + 1) / (stitches + 1))
