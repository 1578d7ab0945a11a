"""Signed distances to an outline, against closed forms and against a dense polygon."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.oracles import bent, polygon, polygon_distance
from tests.strategies import examples, outlines

from offmidline.geometry.margin import (
    disc_gap,
    disc_margin,
    gap_ends,
    nearest_points,
    nearest_to_verge,
    signed_distance,
    verge_clearance,
    within_reach,
)
from offmidline.geometry.outline import Outline

LEVELS = (-40, -30, -20, -10, 0, 10, 20, 30, 40)


def at(outline: Outline, x: float, y: float) -> float:
    """Signed distance of one point."""
    return float(signed_distance(outline, np.array([[x, y]]))[0])


@pytest.mark.parametrize(
    ("length", "margins"),
    [
        (100, (-11.21, -5.04, 0.10, 3.68, 5.00, 4.14, 1.62, -2.36, -7.54)),
        (120, (-7.75, -2.65, 1.40, 4.06, 5.00, 4.37, 2.52, -0.47, -4.50)),
        (140, (-5.08, -0.92, 2.28, 4.30, 5.00, 4.53, 3.12, 0.82, -2.33)),
    ],
)
def test_margins_of_midline_pits(length, margins):
    """Pits along the midline have the signed margins of the table: both ends are left behind
    [derived].
    """
    points = np.array([(0.0, level) for level in LEVELS])
    assert signed_distance(bent(length), points) == pytest.approx(margins, abs=0.0051)


@pytest.mark.parametrize(
    ("length", "low", "high"), [(100, -12.4, 15.3), (120, -14.7, 17.9), (140, -17.1, 20.6)]
)
def test_where_three_millimetres_are_kept(length, low, high):
    """A margin of 3 mm is kept only between the levels of the outline table [derived]."""
    outline = bent(length)
    assert at(outline, 0.0, low) == pytest.approx(3.0, abs=0.03)
    assert at(outline, 0.0, high) == pytest.approx(3.0, abs=0.03)
    assert at(outline, 0.0, low - 0.1) < 3.0 < at(outline, 0.0, low + 0.1)
    assert at(outline, 0.0, high + 0.1) < 3.0 < at(outline, 0.0, high - 0.1)


@pytest.mark.parametrize(
    ("level", "margin"), [(0, 5.0), (20, 2.522869), (30, -0.472054), (-30, -0.472054)]
)
def test_margin_without_a_shift(level, margin):
    """Without a shift the margin of a pit is R - hypot(R - reach, y) [derived]."""
    assert at(bent(120, shift=0.0), 0.0, level) == pytest.approx(margin, abs=1e-6)


@pytest.mark.parametrize(
    ("level", "margin", "reach"),
    [(15, 3, 4.37), (20, 3, 5.53), (15, 5, 6.49), (20, 5, 7.77), (25, 5, 9.57)],
)
def test_needed_reach(level, margin, reach):
    """The reach that a pit needs for its margin is that of the closed form (L = 120, no shift)
    [derived].
    """
    outline = bent(120, shift=0.0, half_width=20 + reach)
    assert at(outline, 0.0, level) == pytest.approx(margin, abs=0.006)
    estimate = margin + level**2 / (2 * (outline.radius - margin))
    assert estimate == pytest.approx(reach, abs=0.15)


def test_triangles_on_the_medial_arc():
    """Points on 3-4-5 lines through the arc's centre lie just as far from the arc as along the
    line.
    """
    outline = bent(120, shift=0.0)
    centre = 20.0 - 25.0 + 84.5
    for distance in (78.0, 79.5, 84.5, 90.0, 120.0):
        for way in (1, -1):
            x, y = centre - 0.8 * distance, way * 0.6 * distance
            assert at(outline, x, y) == pytest.approx(84.5 - distance, abs=1e-9)


def test_triangles_beyond_an_apex():
    """From a point beyond an apex the apex is nearest, 50 mm on 3-4-5 and 7-24-25 lines, at both
    ends.
    """
    outline = bent(120)
    for dx, dy in ((30.0, 40.0), (-30.0, 40.0), (0.0, 50.0)):
        assert at(outline, 20.0 + dx, 60.0 + dy) == pytest.approx(-50.0, abs=1e-9)
    for dx, dy in ((30.0, 40.0), (-14.0, 48.0), (0.0, 50.0)):
        assert at(outline, 30.0 + dx, -60.0 - dy) == pytest.approx(-50.0, abs=1e-9)


def test_far_side_of_the_arc():
    """Behind the centre of an arc its nearest point is still found, not the foot on the circle's
    other side.
    """
    outline = bent(120, shift=0.0, half_width=58.0)
    shape = polygon(outline)
    for x, y in ((75.0, 5.0), (-30.0, 12.0), (20.0, 1.0), (400.0, 3.0), (-400.0, 61.0)):
        assert at(outline, x, y) == pytest.approx(polygon_distance(shape, x, y), abs=2e-3)


@pytest.mark.parametrize("shift", [-8.0, 0.0, 10.0, 18.0])
@pytest.mark.parametrize(("length", "half_width"), [(56.0, 26.0), (120.0, 25.0), (200.0, 22.0)])
def test_against_a_dense_polygon(length, half_width, shift):
    """Points all over the field are as far from the curve as from a dense polygon
    [shapely-docs].
    """
    outline = bent(length, shift=shift, half_width=half_width)
    shape = polygon(outline)
    points = np.random.default_rng(3).uniform((-60, -length), (100, length), (120, 2))
    expected = [polygon_distance(shape, x, y) for x, y in points]
    assert signed_distance(outline, points) == pytest.approx(expected, abs=1e-3)


def test_polygons_converge_to_the_distance():
    """The finer the polygon, the nearer its distances come to those of the curve, always from the
    same side.
    """
    outline, points = bent(120), ((0.0, -20.0), (35.0, 30.0), (-4.0, 2.0))
    errors = [
        max(
            at(outline, *point) - polygon_distance(polygon(outline, count), *point)
            for point in points
        )
        for count in (40, 160, 640)
    ]
    assert 0 < errors[2] < errors[1] < errors[0] < 0.15
    assert errors[2] < 1e-3


def test_hausdorff_distance_of_dense_polygons():
    """Two outlines whose apexes differ by a shift of 10 mm lie that far apart: at the caudal apex
    [derived].
    """
    bent_one, straight = polygon(bent(120), 500), polygon(bent(120, shift=0.0), 500)
    caudal_apex_to_straight = -at(bent(120, shift=0.0), 30.0, -60.0)
    assert bent_one.hausdorff_distance(straight) == pytest.approx(caudal_apex_to_straight, abs=0.01)


@given(outlines(), st.floats(-100, 160), st.floats(-60, 220))
@examples(40)
def test_nearest_point(outline, x, y):
    """The nearest point lies on an edge, just as far away as the margin says."""
    near_x, near_y = nearest_points(outline, np.array([[x, y]]))[0]
    assert math.hypot(near_x - x, near_y - y) == pytest.approx(abs(at(outline, x, y)))
    edges = [float(outline.edge_x(edge, near_y)) for edge in ("medial", "lateral")]
    assert min(abs(near_x - edge) for edge in edges) < 1e-6 * outline.length


def test_nearest_to_verge():
    """Seen from the verge the nearest point may be the caudal apex, or lie on the medial edge."""
    assert nearest_to_verge(Outline(14.0, 0.0, 20.0, 168.0, 48.0)) == pytest.approx((14.0, 48.0))
    x, y = nearest_to_verge(Outline(20.0, 10.0, 25.0, 110.0, 10.0))
    assert y > 10.5
    assert float(Outline(20.0, 10.0, 25.0, 110.0, 10.0).edge_x("medial", y)) == pytest.approx(x)


def test_disc_margin_and_gap():
    """A disc's margin counts its worst point, its gap the nearest one; one cut through has
    neither.
    """
    outline = bent(120)
    assert disc_margin(outline, 0.0, 0.0, 4.0) == pytest.approx(3.0)
    assert disc_gap(outline, 0.0, 0.0, 4.0) == pytest.approx(-7.0)
    assert disc_margin(outline, -15.0, 0.0, 4.0) == pytest.approx(-12.0)
    assert disc_gap(outline, -15.0, 0.0, 4.0) == pytest.approx(8.0)
    assert disc_margin(outline, -5.0, 0.0, 4.0) == pytest.approx(-2.0)
    assert disc_gap(outline, -5.0, 0.0, 4.0) == pytest.approx(-2.0)


def test_verge_clearance():
    """The verge lies 50 mm from a caudal apex at (14, 48), and inside an outline that covers it."""
    assert verge_clearance(Outline(14.0, 0.0, 20.0, 168.0, 48.0)) == pytest.approx(50.0)
    assert verge_clearance(bent(120)) == pytest.approx(-5.0)


@given(outlines(), st.floats(-150, 150), st.floats(-150, 250), st.floats(0, 10), st.floats(0, 6.3))
@examples(150)
def test_margin_is_lipschitz(outline, x, y, step, way):
    """A point that moves by d changes its margin by no more than d [derived]."""
    moved = at(outline, x + step * math.cos(way), y + step * math.sin(way))
    assert abs(moved - at(outline, x, y)) <= step + 1e-6


@given(outlines(), st.floats(-0.99, 0.99), st.sampled_from(["medial", "lateral"]))
@examples(60)
def test_points_of_the_edge_have_no_margin(outline, part, edge):
    """A point of an edge lies on the outline: its distance is 0."""
    x, y = outline.edge_point(edge, part * outline.alpha)
    assert at(outline, float(x), float(y)) == pytest.approx(0.0, abs=1e-7)


@given(outlines(), st.floats(-100, 160), st.floats(-60, 220))
@examples(40)
def test_every_point_against_a_polygon(outline, x, y):
    """Whatever the outline and the point, the distance is that to a dense polygon
    [shapely-docs].
    """
    expected = polygon_distance(polygon(outline), x, y)
    assert at(outline, x, y) == pytest.approx(expected, abs=2e-3)


@given(outlines(), st.floats(-80, 120), st.floats(-20, 200), st.floats(0.5, 12))
@examples(60)
def test_gap_ends_lie_on_outline_and_rim(outline: Outline, x: float, y: float, diameter: float):
    """Between its ends lies the gap of the disc: one is on the outline, the other on the rim."""
    gap = disc_gap(outline, x, y, diameter)
    near, rim = (np.array(end) for end in gap_ends(outline, x, y, diameter))
    assert at(outline, *near) == pytest.approx(0.0, abs=1e-6)
    if gap > 0:
        assert np.hypot(*(rim - near)) == pytest.approx(gap, abs=1e-9)
        assert np.hypot(*(rim - (x, y))) == pytest.approx(diameter / 2, abs=1e-9)


@given(outlines(), st.floats(0.5, 40))
@examples(30)
def test_what_is_within_reach(outline: Outline, distance: float):
    """Every point of the line around an outline lies at the distance outside it."""
    ring = within_reach(outline, distance)
    middles = (ring + np.roll(ring, -1, axis=0)) / 2
    for points in (ring, middles):
        assert signed_distance(outline, points) == pytest.approx(-distance, abs=0.05)
