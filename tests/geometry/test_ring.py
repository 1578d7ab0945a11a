"""The ring of points of an outline, against closed forms of polygons."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from tests.geometry.oracles import bent
from tests.strategies import examples, outlines

from offmidline.geometry.margin import signed_distance


@pytest.mark.parametrize(
    ("count", "sagitta", "area", "length"),
    [(16, 0.1029, 18.30, 0.054), (52, 0.0097, 1.733, 0.0051), (163, 0.00099, 0.176, 0.00052)],
)
def test_polygonisation_bounds(count, sagitta, area, length):
    """A ring of N chords an edge falls short of the lens by the closed forms [derived]."""
    outline = bent(120, shift=0.0)
    ring = shapely.Polygon(outline.ring(count))
    radius, alpha = outline.radius, outline.alpha
    assert outline.area_mm2 - ring.area == pytest.approx(area, rel=0.01)
    assert outline.area_mm2 - ring.area == pytest.approx(
        radius**2 * (2 * alpha - count * math.sin(2 * alpha / count)), abs=1e-6
    )
    assert outline.medial_edge - ring.length / 2 == pytest.approx(length, rel=0.02)
    middles = (outline.ring(count) + np.roll(outline.ring(count), -1, axis=0)) / 2
    assert signed_distance(outline, middles).max() == pytest.approx(sagitta, rel=0.01)


def test_hausdorff_distance_to_the_rhombus():
    """A lens of 120 x 50 lies 6.5 mm from the rhombus of its four extremes [derived]."""
    ring = shapely.Polygon(bent(120, shift=0.0).ring(2000))
    rhombus = shapely.Polygon([(30 - 10, 60), (-5, 0), (20, -60), (45, 0)])
    assert ring.hausdorff_distance(rhombus) == pytest.approx(6.5, abs=1e-3)


def test_second_moments_of_the_ring():
    """The ring of a lens has the second moments of the lens about both its axes [derived]."""
    x, y = (bent(120, shift=0.0).ring(4000) - np.array([20.0, 0.0])).T
    x1, y1 = np.roll(x, -1), np.roll(y, -1)
    cross = x * y1 - x1 * y
    about_axis = np.sum((x * x + x * x1 + x1 * x1) * cross) / 12
    about_width = np.sum((y * y + y * y1 + y1 * y1) * cross) / 12
    assert about_axis == pytest.approx(603517.713, rel=1e-6)
    assert about_width == pytest.approx(3098356.545, rel=1e-6)


def test_ring_is_a_simple_counter_clockwise_polygon():
    """The ring starts at the caudal apex, runs up the lateral edge, and does not cross itself."""
    outline = bent(120)
    ring = outline.ring(64)
    assert len(ring) == 128
    assert tuple(ring[0]) == pytest.approx(outline.caudal_point)
    assert tuple(ring[64]) == pytest.approx(outline.cranial_point)
    assert ring[32, 0] == pytest.approx(45.0)
    assert shapely.LinearRing(ring).is_ccw
    assert shapely.Polygon(ring).is_valid


@given(outlines())
@examples(30)
def test_ring_is_inscribed(outline):
    """A ring of chords on a convex outline is never larger than the outline [derived]."""
    assert shapely.Polygon(outline.ring(48)).area <= outline.area_mm2


def test_apex_angles_between_tangents():
    """Both apex angles are those between the end tangents, measured on the ring."""
    outline = bent(120)
    ring = outline.ring(20000)
    for apex, angle in ((0, outline.caudal_angle_deg), (20000, outline.cranial_angle_deg)):
        sides = ring[[apex - 1, (apex + 1) % len(ring)]] - ring[apex]
        unit = sides / np.hypot(*sides.T)[:, None]
        assert math.degrees(math.acos(unit[0] @ unit[1])) == pytest.approx(angle, abs=0.02)
