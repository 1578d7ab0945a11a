"""What one closed line contains and another does not, by areas and by points."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.oracles import bent
from tests.strategies import examples, outlines, shipped_plans

from offmidline.geometry.difference import SLIVER, only_in
from offmidline.geometry.outline import Array
from offmidline.mistakes import MISTAKES


def square(x: float, y: float, side: float) -> Array:
    """A square from its lower left corner."""
    return np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]])


def signed_area(ring: Array) -> float:
    """Area of a ring, positive where it runs counter-clockwise (shoelace)."""
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def slivers(*rings: Array) -> float:
    """The most area (mm2) that dropped pieces along some rings can have."""
    return SLIVER * sum(shapely.LinearRing(ring).length for ring in rings)


def check(one: Array, other: Array, noise: float = 1e-6) -> list[Array]:
    """The rings are simple, counter-clockwise and apart, and hold |A| - |A & B| but for the noise
    (mm2).
    """
    rings = only_in(one, other)
    polygons = [shapely.Polygon(ring) for ring in rings]
    assert all(polygon.is_valid for polygon in polygons)
    areas = [signed_area(ring) for ring in rings]
    assert all(area > 0 for area in areas)
    # Mirror images are equally large but for rounding.
    assert all(one >= other - 1e-6 for one, other in pairwise(areas))
    assert shapely.union_all(polygons).area == pytest.approx(sum(areas))
    first, second = shapely.Polygon(one), shapely.Polygon(other)
    expected = first.area - first.intersection(second).area
    assert sum(areas) == pytest.approx(expected, abs=noise)
    return rings


def test_overlapping_squares():
    """Of a 50 mm square that another one, moved by (30, 40), overlaps, 2500 - 20 x 10 mm2 are
    left (calc).
    """
    (left,) = check(square(0, 0, 50), square(30, 40, 50))
    assert signed_area(left) == pytest.approx(2300)
    assert len(left) == 6
    assert len({tuple(point) for point in left}) == 6


def test_apart_and_inside():
    """Nothing is taken off by a line that lies apart; nothing is left inside a larger one."""
    (whole,) = check(square(0, 0, 50), square(60, 0, 50))
    assert signed_area(whole) == pytest.approx(2500)
    assert only_in(square(10, 10, 5), square(0, 0, 50)) == []
    assert only_in(square(0, 0, 50), square(0, 0, 50)) == []
    # What only touches along a side or in a corner takes nothing off.
    assert len(check(square(0, 0, 50), square(50, 0, 50))) == 1
    assert len(check(square(0, 0, 50), square(50, 50, 50))) == 1


def test_direction_of_the_rings_does_not_matter():
    """Rings that run clockwise give the same areas."""
    one, other = square(0, 0, 50), square(30, 40, 50)
    (left,) = check(one[::-1], other[::-1])
    assert signed_area(left) == pytest.approx(2300)


HOLES = {
    "square": square(10, 20, 15),
    "touching": square(0, 20, 15),
    "hook": np.array(
        [[10, 10], [40, 10], [40, 40], [10, 40], [10, 30], [30, 30], [30, 20], [10, 20.0]]
    ),
    "arch": np.array(
        [[10, 10], [20, 10], [20, 30], [30, 30], [30, 10], [40, 10], [40, 40], [10, 40.0]]
    ),
    "corner on the line": np.array([[0, 25], [10, 20], [20, 25], [10, 30.0]]),
}


@pytest.mark.parametrize("hole", HOLES.values(), ids=HOLES)
def test_no_hole_is_lost(hole):
    """A hole stays empty whichever way the rings are filled: each point of the area lies in exactly
    one ring, each point of the hole in none.
    """
    outer = square(0, 0, 50)
    rings = check(outer, hole)
    inner = shapely.Polygon(hole)
    points = np.random.default_rng(5).uniform(0, 50, (600, 2))
    found = sum(
        shapely.contains_xy(shapely.Polygon(ring), points[:, 0], points[:, 1]).astype(int)
        for ring in rings
    )
    assert np.array_equal(found, (~shapely.contains_xy(inner, *points.T)).astype(int))


def test_hole_beside_a_step():
    """Where the cut through a hole runs along a step of the line no stray line is left over."""
    stepped = np.array([[0, 0], [80, 0], [80, 25], [50, 25], [50, 50], [0, 50.0]])
    rings = check(stepped, square(10, 20, 10))
    assert sorted(signed_area(ring) for ring in rings) == pytest.approx([1200, 1950])


@pytest.mark.parametrize("distance", [0.5, 5.0])
def test_ring_round_an_outline(distance):
    """A belt round an outline is a difference with a hole as large as the outline
    [shapely-docs].
    """
    ring = bent(120).ring()
    grown = shapely.Polygon(ring).buffer(distance)
    rings = check(np.array(grown.exterior.coords), ring)
    assert len(rings) == 2
    left = sum(map(signed_area, rings))
    assert left == pytest.approx(grown.area - shapely.Polygon(ring).area)


@given(outlines(), outlines())
@examples(60)
def test_two_outlines(one, other):
    """Of any two outlines the parts, taken both ways, are the symmetric difference
    [shapely-docs].
    """
    first, second = one.ring(), other.ring()
    noise = slivers(first, second)
    both = [*check(first, second, noise), *check(second, first, noise)]
    expected = shapely.Polygon(first).symmetric_difference(shapely.Polygon(second)).area
    assert sum(map(signed_area, both)) == pytest.approx(expected, abs=noise)


def test_two_lenses():
    """Two lenses moved apart along their axis by d leave d x W, less what the ends add, on each
    side; the parts are mirror images [derived].
    """
    one, other = bent(120, shift=0.0), bent(120, shift=0.0)
    moved = replace(other, cranial_apex=70.0, caudal_apex=-50.0)
    (low,), (high,) = check(one.ring(), moved.ring()), check(moved.ring(), one.ring())
    assert signed_area(low) == pytest.approx(signed_area(high), rel=1e-6)
    # Cavalieri: the area below the crossing level y = 5, less that of the moved one.
    y = np.linspace(-60, 5, 200001)
    between = np.maximum(0.0, one.width_at(y) - moved.width_at(y))
    assert signed_area(low) == pytest.approx(float(np.trapezoid(between, y)), rel=1e-4)


@given(outlines(), st.integers(110, 500), st.integers(110, 500))
@examples(40)
def test_slivers_are_dropped(outline, count, other_count):
    """One curve drawn with unlike points leaves nothing over."""
    assert only_in(outline.ring(count), outline.ring(other_count)) == []


@pytest.mark.parametrize(("thickness", "pieces"), [(0.8 * SLIVER, 0), (1.2 * SLIVER, 1)])
def test_how_thin_a_sliver_is(thickness, pieces):
    """A strip is dropped where it is thinner than the noise, however long it is."""
    wide = np.array([[0, 0], [100 + thickness, 0], [100 + thickness, 100], [0, 100.0]])
    assert len(only_in(wide, square(0, 0, 100))) == pieces


def test_mistakes_of_shipped_cases():
    """Between the right outline and that of every mistake nothing that can be seen is lost."""
    drawn = 0
    for planned in shipped_plans():
        for mistake in MISTAKES:
            made = mistake.apply(planned)
            if made is None or planned.right is None or made.outline == planned.right.outline:
                continue
            right, wrong = planned.right.outline.ring(), made.outline.ring()
            noise = slivers(right, wrong)
            both = [*check(right, wrong, noise), *check(wrong, right, noise)]
            assert both
            drawn += 1
    assert drawn > 50


def test_crossed_rings():
    """A ring that crosses itself encloses no area that could be told, and is refused."""
    bow = np.array([[0, 0], [50, 50], [50, 0], [0, 50.0]])
    for pair in ((bow, square(0, 0, 10)), (square(0, 0, 10), bow)):
        with pytest.raises(ValueError, match="cross"):
            only_in(*pair)


def test_too_few_points():
    """Two points are no ring."""
    with pytest.raises(ValueError, match="at least"):
        only_in(square(0, 0, 10)[:2], square(0, 0, 10))


def test_points_of_the_parts():
    """The points of a part are points of the two rings or of their crossings."""
    one, other = bent(120).ring(), bent(110, half_width=22.0).ring()
    for ring in check(one, other):
        assert np.isfinite(ring).all()
        lines = [shapely.LinearRing(source) for source in (one, other)]
        for point in ring:
            assert min(line.distance(shapely.Point(point)) for line in lines) < 1e-7
