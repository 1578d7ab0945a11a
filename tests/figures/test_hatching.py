"""Hatching: where its lines run, how far apart, and that none of it leaves the area."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from offmidline.figures.page.hatching import hatch

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])


def test_lines_of_a_square_by_hand():
    """On x - y = 0 the line of a square is its diagonal, 5 further out it is half of that."""
    lines = hatch([SQUARE], 5.0)
    by_start = {tuple(np.round(line, 9).ravel()) for line in lines}
    assert (0.0, 0.0, 10.0, 10.0) in by_start
    assert (5.0, 0.0, 10.0, 5.0) in by_start
    assert (0.0, 5.0, 5.0, 10.0) in by_start


def test_falling_lines_mirror_rising_ones():
    """The other direction is the mirrored picture."""
    rising = hatch([SQUARE * (-1, 1)], 3.0) * (-1, 1)
    falling = hatch([SQUARE], 3.0, rising=False)
    assert sorted(map(_ends, rising)) == sorted(map(_ends, falling))


def _ends(line: np.ndarray) -> tuple[float, ...]:
    low, high = sorted(tuple(point) for point in (np.round(line, 9) + 0.0).tolist())
    return (*low, *high)


def test_nothing_has_no_lines():
    """Without an area there is no hatch."""
    assert hatch([], 2.0).shape == (0, 2, 2)


@given(
    st.integers(3, 12), st.floats(0.3, 3.0), st.booleans(), st.integers(0, 10_000), st.booleans()
)
def test_lines_lie_in_any_area(corners: int, spacing: float, rising: bool, seed: int, double: bool):
    """In stars with one or two rings every line lies inside, under 45 degrees, and together they
    stand for the area: their length across, times the spacing, is the area.
    """
    chance = np.random.default_rng(seed)
    angles = np.sort(chance.uniform(0, 2 * math.pi, corners * 3))
    reach = chance.uniform(4, 20, corners * 3)[:, None]
    star = reach * np.column_stack([np.cos(angles), np.sin(angles)])
    area = shapely.Polygon(star)
    if not area.is_valid:
        return
    rings = [star, star + np.array([100.0, 0.0])] if double else [star]
    whole = shapely.union_all([shapely.Polygon(ring) for ring in rings])
    lines = hatch(rings, spacing, rising=rising)
    for line in lines:
        (x0, y0), (x1, y1) = line
        assert (y1 - y0) == pytest.approx((x1 - x0) * (1 if rising else -1), abs=1e-9)
        assert whole.buffer(1e-6).contains(shapely.LineString(line))
    across = np.abs(lines[:, 1, 0] - lines[:, 0, 0]).sum() * spacing if len(lines) else 0.0
    assert across == pytest.approx(whole.area, abs=spacing * 60 + 0.1 * whole.area)
