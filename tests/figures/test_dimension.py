"""Dimensions as geometry: end points, extension lines, arrowheads, places of the text."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from offmidline.figures.page import dimension
from offmidline.figures.page.dimension import ARROW_LENGTH, GAP, Choices, angular, linear, radial
from offmidline.figures.page.measures import level_mark
from offmidline.figures.page.metrics import width
from offmidline.figures.page.spots import LIFT, OVERSHOOT, readable
from offmidline.figures.page.style import TEXT_SIZE

EXACT = 1e-9
places = st.tuples(st.floats(-200, 200), st.floats(-200, 200))


def _tips(drawn: dimension.Dimension) -> np.ndarray:
    return np.array([arrow[0] for arrow in drawn.arrows])


def test_level_dimension_by_hand():
    """A length of 30 measured 10 above its points: ends, gaps and overshoots worked out by hand."""
    drawn = linear((5, 0), (35, 4), 12, direction_deg=0, through=(0, 10))
    assert _tips(drawn).tolist() == [[5, 10], [35, 10]]
    assert list(drawn.lines) == [((5, 10), (35, 10))]
    assert np.array(drawn.extensions) == pytest.approx(
        np.array([[(5, GAP), (5, 10 + OVERSHOOT)], [(35, 4 + GAP), (35, 10 + OVERSHOOT)]]),
        abs=EXACT,
    )
    assert drawn.spots[0].x == pytest.approx(20, abs=EXACT)
    assert drawn.spots[0].angle == 0


@given(places, places, st.floats(-180, 180), places)
def test_ends_lie_on_the_dimension_line_square_to_the_points(first, second, direction, through):
    """Both tips lie on the line through the given point, square to it the measured points."""
    way = np.array([math.cos(math.radians(direction)), math.sin(math.radians(direction))])
    run = float(np.dot(np.subtract(second, first), way))
    assume(abs(run) > 1e-3)
    tips = _tips(linear(first, second, 10, direction_deg=direction, through=through))
    assert np.hypot(*(tips[1] - tips[0])) == pytest.approx(abs(run), abs=EXACT)
    across = np.array([-way[1], way[0]])
    for tip in tips:
        assert np.dot(tip - through, across) == pytest.approx(0, abs=EXACT)
    ordered = sorted(float(np.dot(point, way)) for point in (first, second))
    assert sorted(float(np.dot(tip, way)) for tip in tips) == pytest.approx(ordered, abs=EXACT)


@given(places, places)
def test_aligned_dimension_ends_at_its_points(first, second):
    """Without a direction the line runs from point to point and needs no extension lines."""
    assume(math.dist(first, second) > 1e-3)
    drawn = linear(first, second, 10)
    assert _tips(drawn) == pytest.approx(np.array([first, second]), abs=EXACT)
    assert drawn.extensions == ()


@given(places, places, st.floats(0, 60))
def test_text_is_never_upside_down(first, second, room):
    """Every place for a text has an angle above -90 and up to 90 degrees."""
    assume(math.dist(first, second) > 1e-3)
    choices = Choices(beside=True, raised=True)
    for spot in linear(first, second, room, choices=choices).spots:
        assert -90 < spot.angle <= 90 + 1e-6


@pytest.mark.parametrize(
    ("angle", "read"), [(0, 0), (180, 0), (90, 90), (270, 90), (-90, 90), (135, -45), (-45, -45)]
)
def test_reading_angle(angle: float, read: float):
    """An upright text reads from the right, a turned one from the bottom."""
    assert readable(angle) == pytest.approx(read)


def test_text_stands_above_its_line():
    """Whatever way a line was measured, its text lies on the upper or left side of it."""
    for first, second in (((0, 0), (40, 0)), ((40, 0), (0, 0))):
        assert all(spot.y > 0 for spot in linear(first, second, 10).spots)
    for first, second in (((0, 0), (0, 40)), ((0, 40), (0, 0))):
        assert all(spot.x < 0 for spot in linear(first, second, 10).spots)


def test_arrows_stand_outside_where_the_length_is_short():
    """Below three arrowheads the arrows point inwards from outside, and the line carries them."""
    for length, inside in ((3 * ARROW_LENGTH, True), (3 * ARROW_LENGTH - 0.01, False)):
        drawn = linear((0, 0), (length, 0), 10)
        tails = [np.mean([arrow[1], arrow[2]], axis=0)[0] for arrow in drawn.arrows]
        assert (bool(tails[0] > 0), bool(tails[1] < length)) == (inside, inside)
        (start, end), *_ = drawn.lines
        assert (start[0] < 0, end[0] > length) == (not inside, not inside)
        assert _tips(drawn)[:, 0].tolist() == pytest.approx([0, length])


def test_text_too_wide_for_its_line_stands_beyond_it():
    """The line is prolonged under a text that stands beyond its end, on the allowed side only."""
    drawn = linear((0, 0), (10, 0), 20, choices=Choices(outside=(False, True)))
    assert drawn.spots
    for spot in drawn.spots:
        assert spot.x - 10 > 10
        assert spot.under is not None
        assert spot.under[1][0] == pytest.approx(spot.x + 10)


def test_extension_line_is_left_out_where_a_point_lies_on_the_line():
    """A point nearer to the dimension line than the gap gets no extension line."""
    drawn = linear((0, 0), (20, GAP / 2), 10, direction_deg=0)
    assert drawn.extensions == ()


def test_equal_points_are_refused():
    """There is no dimension of nothing."""
    with pytest.raises(ValueError, match="must differ"):
        linear((1, 1), (1, 5), 10, direction_deg=0)


@given(places, st.floats(0, 300), st.floats(20, 150), st.floats(5, 40))
def test_angle_runs_on_its_arc_from_side_to_side(vertex, start, sweep, radius):
    """Tips and arc of an angle lie on the circle, the tips on the two sides."""
    drawn = angular(vertex, start, start + sweep, radius, 8)
    away = _tips(drawn) - vertex
    assert np.hypot(*away.T) == pytest.approx([radius, radius], abs=EXACT)
    turned = np.degrees(np.arctan2(away[:, 1], away[:, 0]))
    assert np.cos(np.radians(turned - [start, start + sweep])) == pytest.approx([1, 1], abs=EXACT)
    assert drawn.arc is not None
    ends = np.hypot(*(drawn.arc.points[::3] - vertex).T)
    assert ends == pytest.approx(np.full(len(ends), radius), abs=EXACT)


def test_radius_runs_from_the_centre_to_the_circle():
    """One arrow, at the circle."""
    drawn = radial((10, 20), 15, 30, 8)
    tip = (10 + 15 * math.cos(math.pi / 6), 20 + 15 * math.sin(math.pi / 6))
    assert _tips(drawn) == pytest.approx(np.array([tip]), abs=EXACT)
    assert np.array(drawn.lines[0]) == pytest.approx(np.array([(10, 20), tip]), abs=EXACT)


def test_angle_must_open():
    """An angle that does not run counter-clockwise is refused."""
    with pytest.raises(ValueError, match="counter-clockwise"):
        angular((0, 0), 90, 90, 10, 8)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_level_is_told_above_a_line_that_leads_from_its_point(way: float):
    """The line begins at the point and goes on under the text, which first stands nearest."""
    mark = level_mark("low", "42.4", (70.0, 30.0), 70.0 + 12 * way, way)
    drawn, room = mark.dimension, width("42.4", TEXT_SIZE)
    assert mark.gid == "dimension-low"
    assert drawn.lines == (((70.0, 30.0), (70.0 + 12 * way, 30.0)),)
    assert not drawn.arrows
    first = drawn.spots[0]
    assert (first.x, first.y) == pytest.approx((70 + way * (12 + room / 2), 30.0 + LIFT))
    assert first.under == ((70.0 + 12 * way, 30.0), (70.0 + way * (12 + room), 30.0))
    away = [abs(spot.x - 70) for spot in drawn.spots]
    assert away == sorted(away)
    assert [spot.cost for spot in drawn.spots] == sorted(spot.cost for spot in drawn.spots)
