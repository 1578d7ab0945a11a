"""The root finder that the fit rests on."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from tests.strategies import examples

from offmidline.geometry.roots import bracketed_root


def test_many_roots_at_once():
    """Square roots of several numbers are found side by side, each in its own interval."""
    squares = np.array([0.25, 2.0, 9.0, 1e4])
    found = bracketed_root(lambda x: x * x - squares, np.zeros(4), squares + 1, 1e-12)
    assert found == pytest.approx([0.5, 2**0.5, 3.0, 100.0])


def test_same_sign_at_both_ends():
    """Where there is no crossing, the end nearer to zero is returned."""
    low, high = np.array([1.0, -3.0]), np.array([2.0, -1.0])
    assert bracketed_root(lambda x: x, low, high, 1e-9) == pytest.approx([1.0, -1.0])


def test_root_at_an_end():
    """A function that is zero at the upper end has its root there."""
    assert bracketed_root(lambda x: x - 2.0, np.array([0.0]), np.array([2.0]), 1e-9) == 2.0


@given(st.floats(-3, 3), st.floats(0.1, 40))
@examples(60)
def test_against_brentq(shift, steepness):
    """A steep step, on which plain regula falsi creeps, is solved like by Brent's method
    [scipy-docs].
    """

    def step(x: np.ndarray | float) -> np.ndarray:
        return np.asarray(np.arctan(steepness * (x - shift)) + 0.3)

    expected = brentq(lambda x: float(step(x)), -12, 12, xtol=1e-12)
    found = bracketed_root(step, np.array([-12.0]), np.array([12.0]), 1e-10)
    assert float(found[0]) == pytest.approx(expected, abs=1e-8)
