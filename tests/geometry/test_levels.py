"""Sections from level to level, against the volume, polygons and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.geometry.oracles import LATERAL, MEDIAL, bent, edge_x
from tests.strategies import examples, outlines, shipped_plans

from offmidline.geometry.levels import area_by_level, sections_by_level
from offmidline.geometry.section import Trough, volume_ml
from offmidline.geometry.walls import walls

NARROWING, VERTICAL, WIDENING = 45.0, 90.0, 135.0
WALLS = pytest.mark.parametrize("lateral", [NARROWING, VERTICAL, WIDENING])


@WALLS
@pytest.mark.parametrize(("length", "depth"), [(100, 20.0), (120, 25.0), (140, 60.0)])
def test_areas_sum_to_the_volume(lateral, length, depth):
    """Integrated from apex to apex the areas are the volume, whichever way the walls lean
    [scipy-docs].
    """
    outline, trough = bent(length), Trough(depth, lateral, 90.0)
    # The sections of lenses change their form once on each side of the widest level.
    kinks = np.linspace(-length / 2, length / 2, 41)[1:-1]
    whole = quad(
        lambda y: float(area_by_level(outline, trough, np.array(y))),
        -length / 2, length / 2, points=kinks, limit=500, epsabs=1e-6,
    )[0]  # fmt: skip
    assert whole / 1000 == pytest.approx(volume_ml(outline, trough), rel=1e-7)


@given(outlines(), st.floats(1, 60), st.floats(25, 150), st.floats(45, 135))
@examples(40)
def test_section_is_the_polygon_of_its_walls(outline, depth, lateral, medial):
    """Each section's area, depth and base are those of the polygon between its walls
    [shapely-docs].
    """
    trough = Trough(depth, lateral, medial)
    for section in sections_by_level(outline, trough, 5):
        sides = walls(trough, section.medial, section.lateral)
        assert section.area_mm2 == pytest.approx(shapely.Polygon(sides.ring).area, rel=1e-9)
        assert section.depth == pytest.approx(max(depth for _, depth in sides.ring))
        floor = sides.lateral[-1][0] - sides.medial[-1][0]
        assert section.base_width == pytest.approx(floor, abs=1e-9)


@given(outlines(), st.integers(1, 12))
@examples(40)
def test_levels(outline, count):
    """The levels run from cranial to caudal in equal steps, the first and last a step from the
    apexes; the edges lie where they are drawn.
    """
    sections = sections_by_level(outline, Trough(20.0, 45.0, 90.0), count)
    levels = [section.level for section in sections]
    runs = np.diff([outline.cranial_apex, *levels, outline.caudal_apex])
    assert runs == pytest.approx(np.full(count + 1, -outline.length / (count + 1)))
    for section in sections:
        assert section.medial == pytest.approx(edge_x(outline, MEDIAL, section.level), abs=1e-9)
        assert section.lateral == pytest.approx(edge_x(outline, LATERAL, section.level), abs=1e-9)
        assert section.width == pytest.approx(section.lateral - section.medial)


@given(outlines(), st.sampled_from([1, 3, 5, 7, 11]))
@examples(40)
def test_widest_level_in_the_middle(outline, count):
    """Of an odd number of sections the middle one stands at the widest level, exactly."""
    middle = sections_by_level(outline, Trough(20.0, 45.0, 90.0), count)[count // 2]
    assert middle.level == outline.widest_level
    assert middle.width == pytest.approx(outline.width)


def test_sections_worked_out():
    """At a quarter of BL L = 120 the section is still a trapezium; near the apex, a triangle
    (calc).
    """
    outline, trough = bent(120), Trough(20.0, NARROWING, 90.0)
    quarter = sections_by_level(outline, trough, 3)[0]
    # Width at a quarter: 2 (sqrt(84.5^2 - 30^2) - 59.5) = 38.990506.
    assert (quarter.level, quarter.depth) == (30.0, 20.0)
    assert quarter.width == pytest.approx(38.990506, abs=1e-6)
    assert quarter.base_width == pytest.approx(18.990506, abs=1e-6)
    assert quarter.area_mm2 == pytest.approx(579.810121, abs=1e-5)
    tip = sections_by_level(outline, trough, 11)[0]
    # At y = 50: 2 (sqrt(84.5^2 - 50^2) - 59.5) = 17.238761.
    assert tip.level == 50.0
    assert tip.depth == pytest.approx(17.238761, abs=1e-6)
    assert tip.base_width == 0
    assert tip.area_mm2 == pytest.approx(17.238761**2 / 2, abs=1e-4)


def test_areas_keep_the_shape_of_the_levels():
    """A level alone, a row or a table of levels: one area each, and none beyond the apexes."""
    outline, trough = bent(120), Trough(20.0, NARROWING, 90.0)
    table = np.array([[-70.0, -60.0, 0.0], [0.0, 60.0, 61.0]])
    expected = np.array([[0.0, 0.0, 800.0], [800.0, 0.0, 0.0]])
    assert area_by_level(outline, trough, table) == pytest.approx(expected, abs=1e-6)
    assert float(area_by_level(outline, trough, np.array(0.0))) == pytest.approx(800.0)
    assert area_by_level(outline, trough, np.array([])).shape == (0,)


def test_shipped_sections():
    """The middle section of every shipped case is the one that its plan states."""
    for planned in shipped_plans():
        if planned.shown is not None:
            plan = planned.shown
            middle = sections_by_level(plan.outline, plan.trough, 7)[3]
            assert middle.area_mm2 == pytest.approx(plan.trough_area_mm2)
            assert middle.base_width == pytest.approx(plan.base_width)
            assert middle.width == pytest.approx(plan.skin_gap)
            assert math.isclose(middle.depth, plan.trough.meeting_depth(plan.skin_gap))


def test_no_section():
    """Fewer than one section is refused."""
    with pytest.raises(ValueError, match="at least one"):
        sections_by_level(bent(120), Trough(20.0, 45.0, 90.0), 0)
