"""The walls as points, against the measures of the trough that they draw."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import examples

from offmidline.geometry.section import Trough
from offmidline.geometry.walls import lateral_wedge, walls


def test_trapezium():
    """A vertical medial wall and a lateral one at 45 degrees: corners by hand (50 wide, 20
    deep).
    """
    drawn = walls(Trough(20.0, 45.0, 90.0), -5.0, 45.0)
    assert drawn.medial == ((-5.0, 0.0), (-5.0, 20.0))
    assert drawn.lateral[0] == (45.0, 0.0)
    assert drawn.lateral[-1] == pytest.approx((25.0, 20.0))
    assert drawn.bottom == 20.0
    assert not drawn.meet
    assert drawn.at(10.0) == pytest.approx((-5.0, 35.0))
    assert drawn.at(30.0) == pytest.approx((-5.0, 25.0))


def test_triangle():
    """Where the walls meet above the floor both end in one point and there is no floor."""
    drawn = walls(Trough(20.0, 45.0, 90.0), 0.0, 12.0)
    assert drawn.meet
    assert drawn.medial[-1] == drawn.lateral[-1]
    assert drawn.bottom == pytest.approx(12.0)
    assert len(drawn.ring) == 3


def test_widening_ends_at_twice_the_width():
    """Undercut walls go straight down once the trough is twice as wide as the skin."""
    drawn = walls(Trough(20.0, 135.0, 90.0), 0.0, 12.0)
    expected = [(12.0, 0.0), (24.0, 12.0), (24.0, 20.0)]
    assert np.array(drawn.lateral) == pytest.approx(np.array(expected))
    assert drawn.at(6.0) == pytest.approx((0.0, 18.0))


@given(st.floats(1, 90), st.floats(1, 60), st.floats(25, 150), st.floats(45, 135))
@examples(120)
def test_ring_has_the_measures_of_the_trough(width, depth, lateral, medial):
    """Area, floor and depth of the drawn ring are those of the trough, whatever the walls
    [shapely-docs].
    """
    trough = Trough(depth, lateral, medial)
    drawn = walls(trough, -5.0, width - 5.0)
    assert shapely.Polygon(drawn.ring).area == pytest.approx(trough.area_mm2(width), rel=1e-6)
    assert drawn.bottom == pytest.approx(trough.meeting_depth(width))
    floor = drawn.lateral[-1][0] - drawn.medial[-1][0]
    assert floor == pytest.approx(trough.base_width(width), abs=1e-6)


def test_wedge_of_a_narrowing_wall():
    """A wall at 45 degrees, 20 deep, keeps a triangle of 20 by 20 lateral; by hand."""
    trough = Trough(20.0, 45.0, 90.0)
    ring = lateral_wedge(trough, -5.0, 45.0)
    assert np.array(ring) == pytest.approx(np.array([(45.0, 0.0), (25.0, 20.0), (45.0, 20.0)]))
    assert trough.kept_lateral_mm2(50.0) == pytest.approx(200.0)


def test_wedge_where_the_walls_meet():
    """A vertical wall goes on below the point where the walls meet: 12 wide, 20 deep, by hand."""
    trough = Trough(20.0, 45.0, 90.0)
    ring = lateral_wedge(trough, 0.0, 12.0)
    expected = [(12.0, 0.0), (0.0, 12.0), (0.0, 20.0), (12.0, 20.0)]
    assert np.array(ring) == pytest.approx(np.array(expected))
    assert trough.kept_lateral_mm2(12.0) == pytest.approx(12 * 20 - 72)


def test_vertical_wall_has_no_wedge():
    """A vertical wall keeps nothing that a vertical wall would take."""
    trough = Trough(20.0, 90.0, 60.0)
    assert lateral_wedge(trough, -5.0, 45.0) == []
    assert trough.kept_lateral_mm2(50.0) == 0.0


@given(st.floats(1, 90), st.floats(1, 60), st.floats(25, 150), st.floats(45, 90))
@examples(120)
def test_wedge_is_what_a_vertical_wall_would_take_beyond(width, depth, lateral, medial):
    """The ring's area is the difference of the two troughs' areas [shapely-docs]."""
    trough = Trough(depth, lateral, medial)
    ring = lateral_wedge(trough, -5.0, width - 5.0)
    area = shapely.Polygon(ring).area if ring else 0.0
    kept = trough.kept_lateral_mm2(width)
    assert (kept >= -1e-9) == (lateral <= 90)
    # An undercutting wall beside a narrowing one is capped by both: only the other way is exact.
    if lateral <= 90 or medial == 90:
        assert area == pytest.approx(abs(kept), rel=1e-6, abs=1e-6)
