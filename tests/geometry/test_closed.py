"""The closed wound against arc lengths by quadrature and against the scar's own numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from scipy.integrate import quad
from tests.geometry.oracles import bent
from tests.strategies import examples, outlines

from offmidline.geometry.closed import stitch_places, wound_points
from offmidline.geometry.outline import Outline

FRACTIONS = np.linspace(0.0, 1.0, 41)


@given(outlines())
@examples(40)
def test_ends_are_those_of_the_scar(outline: Outline):
    """The wound begins and ends where the axis, prolonged by the push-out, does."""
    points, _ = wound_points(outline, np.array([0.0, 1.0]))
    cranial, caudal = outline.scar_ends
    assert points[1] == pytest.approx(cranial, abs=1e-9)
    assert points[0] == pytest.approx(caudal, abs=1e-9)


@given(outlines())
@examples(40)
def test_points_lie_at_equal_shares_of_its_length(outline: Outline):
    """Between neighbours lies one fortieth of the scar's length, by quadrature of the axis
    [derived].
    """
    points, _ = wound_points(outline, FRACTIONS)
    slope, half = outline.axis_slope_at_caudal_apex, outline.half_length

    def run(low: float, high: float) -> float:
        """Length of the wound between two levels."""

        def speed(y: float) -> float:
            u = min(1.0, max(0.0, (outline.widest_level - y) / half))
            return float(np.hypot(1.0, slope * u))

        kinks = [y for y in (outline.caudal_apex, outline.widest_level) if low < y < high]
        return float(quad(speed, low, high, points=kinks or None)[0])

    wound = outline.axis_length + 2 * outline.push_out
    pieces = [run(low, high) for low, high in zip(points[:-1, 1], points[1:, 1], strict=True)]
    assert pieces == pytest.approx([wound / 40] * 40, rel=1e-7, abs=1e-7)


@given(outlines())
@examples(40)
def test_points_lie_on_the_axis_between_the_apexes(outline: Outline):
    """Where the outline is, the wound is its axis, and runs along it."""
    points, along = wound_points(outline, FRACTIONS)
    inside = (points[:, 1] >= outline.caudal_apex) & (points[:, 1] <= outline.cranial_apex)
    assert points[inside, 0] == pytest.approx(outline.axis(points[inside, 1]), abs=1e-7)
    assert np.hypot(*along.T) == pytest.approx(np.ones(len(along)))
    assert (along[:, 1] > 0).all()
    step = 1e-4
    ahead = outline.axis(points[inside, 1] + step) - outline.axis(points[inside, 1] - step)
    slope = along[inside, 0] / along[inside, 1]
    assert ahead[1:-1] / (2 * step) == pytest.approx(slope[1:-1], abs=1e-3)


def test_wound_of_the_table_is_as_long_as_its_scar():
    """A bent axis of 120 mm, pushed out at both ends, makes the scar's length again [zou-2023]."""
    outline = bent(120)
    assert outline.axis_length + 2 * outline.push_out == pytest.approx(outline.scar_length)


def test_stitches_of_a_row():
    """Three stitches cut the wound of a straight axis into four equal pieces; none makes none."""
    outline = Outline(20, 0, 25, 140, 20)
    places, along = stitch_places(outline, 3)
    caudal = outline.scar_ends[1][1]
    assert places[:, 0].tolist() == [20.0] * 3
    assert places[:, 1] - caudal == pytest.approx(outline.scar_length / 4 * np.array([1, 2, 3]))
    assert along.tolist() == [[0.0, 1.0]] * 3
    assert len(stitch_places(outline, 0)[0]) == 0
