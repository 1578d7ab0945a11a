"""Roots of many functions of one unknown at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from offmidline.geometry.outline import Array

_STEPS = 60


def bracketed_root(
    function: Callable[[Array], Array], low: Array, high: Array, tolerance: float
) -> Array:
    """Root of a function in each interval, element by element (regula falsi, Illinois variant).

    The function rises through zero, from negative at ``low`` to not negative at ``high``; where
    both ends have the same sign, the end nearer to zero is returned. A root is good when the
    function or the interval is smaller than the tolerance.
    """
    f_low, f_high = function(low), function(high)
    crossing = (f_low < 0) & (f_high >= 0)
    nearer = np.where(np.abs(f_low) <= np.abs(f_high), low, high)
    middle, value, side = high, f_high, np.zeros_like(f_low)
    for _ in range(_STEPS):
        if np.all(~crossing | (np.abs(value) < tolerance) | (high - low < tolerance)):
            break
        fall = np.where(crossing, f_high - f_low, 1.0)
        middle = np.where(crossing, high - f_high * (high - low) / fall, low)
        value = function(middle)
        below = value < 0
        # An end that stays put twice in a row is given half its weight, so that it moves.
        f_high = np.where(below & (side < 0), f_high / 2, f_high)
        f_low = np.where(~below & (side > 0), f_low / 2, f_low)
        side = np.where(below, -1.0, 1.0)
        low, f_low = np.where(below, middle, low), np.where(below, value, f_low)
        high, f_high = np.where(below, high, middle), np.where(below, f_high, value)
    root = np.where(np.abs(value) < tolerance, middle, high)
    return np.asarray(np.where(crossing, root, nearer))
