"""The convex comparison bound."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from tests import strategies
from tests.geometry.oracles import bent, polygon
from tests.strategies import examples
from tests.strategies import pit_discs as drawn_discs

from offmidline.geometry.bound import convex_bound
from offmidline.geometry.fit import Disc, fit
from offmidline.geometry.outline import Outline


@pytest.mark.parametrize(
    ("length", "width", "area", "cranial", "caudal"),
    [
        (100, 63.7, 4330, 94.7, 92.1),
        (120, 63.1, 4904, 75.5, 75.7),
        (140, 62.7, 5486, 62.4, 63.6),
    ],
)
def test_equal_coverage_table(length, width, area, cranial, caudal):
    """Pits at 0 and +-20 mm that keep 5 mm have these hulls on the straight axis from 20 to 30
    [derived].
    """
    outline = bent(length)
    hull = convex_bound(outline, [Disc(0.0, level, 5.0) for level in (-20, 0, 20)])
    axis = np.subtract(outline.caudal_point, outline.cranial_point)
    across = np.array([axis[1], -axis[0]]) / math.hypot(*axis)
    spread = shapely.get_coordinates(hull) @ across
    assert hull.area == pytest.approx(area, abs=2)
    assert spread.max() - spread.min() == pytest.approx(width, abs=0.1)
    angles = [_angle(hull, outline.cranial_point), _angle(hull, outline.caudal_point)]
    assert angles == pytest.approx((cranial, caudal), abs=0.1)


def _angle(hull: shapely.Polygon, apex: tuple[float, float]) -> float:
    """The hull's angle at an apex, degrees."""
    ring = shapely.get_coordinates(hull)[:-1]
    index = int(np.hypot(*(ring - apex).T).argmin())
    assert ring[index] == pytest.approx(apex)
    before, after = ring[index - 1] - ring[index], ring[(index + 1) % len(ring)] - ring[index]
    cosine = before @ after / math.hypot(*before) / math.hypot(*after)
    return math.degrees(math.acos(cosine))


def test_rhombus_of_a_point():
    """With one point beside the axis the bound is the rhombus of apexes, point and mirror image
    [derived].
    """
    hull = convex_bound(bent(120, shift=0.0), [Disc(0.0, 0.0, 1e-9)])
    assert hull.area == pytest.approx(40 * 120 / 2)
    assert hull.bounds == pytest.approx((0.0, -60.0, 40.0, 60.0), abs=1e-6)


def test_tangent_to_a_circle():
    """Around one disc on the axis the apexes are 2 asin(W / L), 38.94 degrees at 3:1
    [goldberg-2004; derived].
    """
    outline = Outline(20.0, 0.0, 25.0, 75.0, -75.0)
    hull = convex_bound(outline, [Disc(20.0, 0.0, 25.0)])
    assert _angle(hull, outline.cranial_point) == pytest.approx(38.9424, abs=0.02)
    assert hull.covers(shapely.Point(20.0, 0.0).buffer(24.99))


def test_mirrored_in_the_axis():
    """The bound is its own mirror image in the line through both apexes."""
    outline = bent(120)
    hull = convex_bound(outline, [Disc(0.0, 10.0, 5.0), Disc(44.0, -8.0, 3.0)])
    angle = 2 * math.atan2(-120.0, 10.0)
    turned = np.array([[math.cos(angle), math.sin(angle)], [math.sin(angle), -math.cos(angle)]])
    points = shapely.get_coordinates(hull) - outline.cranial_point
    mirrored = shapely.Polygon(points @ turned + outline.cranial_point)
    assert hull.symmetric_difference(mirrored).area == pytest.approx(0.0, abs=1e-6)


@given(drawn_discs(), strategies.demands())
@examples(30)
def test_inside_every_covering_outline(discs, demands):
    """Without a shift the bound lies inside the fitted outline, which is convex, symmetric and
    covers [derived].
    """
    outline = fit(discs, replace(demands, caudal_shift=0.0))
    assume(outline is not None)
    assert outline is not None
    hull = convex_bound(outline, discs)
    assert hull.area <= outline.area_mm2
    assert hull.difference(polygon(outline, 2000)).area < 1e-3 * outline.area_mm2
    for disc in discs:
        assert hull.covers(shapely.Point(disc.x, disc.y).buffer(0.999 * disc.radius))
