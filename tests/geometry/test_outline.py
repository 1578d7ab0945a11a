"""The outline against published tables and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.oracles import (
    arc_length,
    bent,
    edge_length,
    polygon,
)
from tests.strategies import examples, outlines

from offmidline.geometry.margin import signed_distance
from offmidline.geometry.outline import Outline


def lens(length: float, width: float) -> Outline:
    """Two arcs on a straight axis."""
    return Outline(20.0, 0.0, width / 2, length / 2, -length / 2)


@pytest.mark.parametrize(
    ("length", "radius", "alpha", "arc", "area", "apex", "push_out"),
    [
        (100, 62.5, 53.130102, 115.911902, 3494.493891, 106.260205, 7.955951),
        (120, 84.5, 45.239730, 133.439399, 4135.629170, 90.479460, 6.719699),
        (140, 110.5, 39.307648, 151.616582, 4783.632274, 78.615296, 5.808291),
        (150, 125.0, 36.869898, 160.875277, 5109.409650, 73.739795, 5.437639),
    ],
)
def test_lens_table(length, radius, alpha, arc, area, apex, push_out):
    """A lens 50 mm wide has the radius, arcs, area and apexes of the table [derived]."""
    outline = lens(length, 50)
    assert outline.radius == pytest.approx(radius, abs=1e-9)
    assert math.degrees(outline.alpha) == pytest.approx(alpha, abs=1e-6)
    assert outline.medial_edge == pytest.approx(arc, abs=1e-6)
    assert outline.lateral_edge == pytest.approx(arc, abs=1e-6)
    assert outline.area_mm2 == pytest.approx(area, abs=2e-6)
    assert outline.cranial_angle_deg == pytest.approx(apex, abs=1e-6)
    assert outline.caudal_angle_deg == pytest.approx(apex, abs=1e-6)
    assert (outline.scar_length - outline.length) / 2 == pytest.approx(push_out, abs=1e-6)
    assert outline.push_out == pytest.approx(push_out, abs=1e-6)


@pytest.mark.parametrize(
    ("length", "width", "radius", "area", "arc"),
    [(60, 30, 37.5, 1258, 69.5), (80, 40, 50.0, 2236, 92.7), (100, 40, 72.5, 2750, 110.3)],
)
def test_lens_of_usual_size(length, width, radius, area, arc):
    """Lenses of the size that is usually taught have the measures worked out by hand (calc)."""
    outline = lens(length, width)
    assert outline.radius == pytest.approx(radius)
    assert outline.area_mm2 == pytest.approx(area, abs=0.5)
    assert outline.medial_edge == pytest.approx(arc, abs=0.05)


@pytest.mark.parametrize(
    ("ratio", "arcs"),
    [
        (2.0, 106.2602),
        (2.4, 90.4795),
        (2.8, 78.6153),
        (3.0, 73.7398),
        (4.0, 56.1450),
        (5.0, 45.2397),
        (7.5, 30.3786),
        (7.59575, 30.0),
    ],
)
def test_apex_angle_table(ratio, arcs):
    """The apex of two arcs is 4 atan(W / L) at every length to width; 30 degrees needs 7.6
    [derived].
    """
    assert lens(50 * ratio, 50).cranial_angle_deg == pytest.approx(arcs, abs=1e-4)


def test_apex_angle_at_three_to_one():
    """At 3:1 the apex runs from 37 (straight sides) to 74 degrees (two arcs), not 30
    [moody-2001].
    """
    outline = lens(150, 50)
    straight_sides = 2 * math.degrees(math.atan(outline.half_width / outline.half_length))
    assert round(straight_sides) == 37
    assert round(outline.cranial_angle_deg) == 74


def test_mean_apex_angle_of_a_series():
    """An apex of 100.731 degrees is twice a chord angle of 50.366, at L:W 2.127 [zou-2023]."""
    outline = lens(2.127 * 50, 50)
    assert outline.cranial_angle_deg == pytest.approx(100.731, abs=0.05)
    assert math.degrees(outline.alpha) == pytest.approx(50.366, abs=0.03)


def test_scar_length_is_the_arc():
    """The scar of an unbent marking is as long as its arc, 133.44 mm for 120 x 50 [zou-2023]."""
    assert lens(120, 50).scar_length == pytest.approx(133.44, abs=0.005)


@pytest.mark.parametrize(
    ("length", "area", "perimeter", "edges", "mismatch", "apexes"),
    [
        (100, 3494.49, 233.16, (121.83, 111.33), 8.6, (106.3, 103.0)),
        (120, 4135.63, 268.20, (138.77, 129.43), 6.7, (90.5, 87.3)),
        (140, 4783.63, 304.51, (156.42, 148.08), 5.3, (78.6, 75.9)),
    ],
)
def test_outline_table(length, area, perimeter, edges, mismatch, apexes):
    """The bent outline has the area, edges, mismatch and apexes of the outline table [derived]."""
    outline = bent(length)
    assert outline.area_mm2 == pytest.approx(area, abs=0.005)
    assert outline.perimeter == pytest.approx(perimeter, abs=0.006)
    assert (outline.medial_edge, outline.lateral_edge) == pytest.approx(edges, abs=0.005)
    assert outline.edge_mismatch_percent == pytest.approx(mismatch, abs=0.05)
    angles = (outline.cranial_angle_deg, outline.caudal_angle_deg)
    assert angles == pytest.approx(apexes, abs=0.05)


@pytest.mark.parametrize("length", [100, 120, 140])
def test_lateral_extent(length):
    """The bent outline reaches from -5 to 45 mm, its full reach and width at mid-length
    [derived].
    """
    outline = bent(length)
    ring = outline.ring(512)
    assert ring[:, 0].min() == pytest.approx(-5.0, abs=1e-3)
    assert ring[:, 0].max() == pytest.approx(45.0, abs=1e-3)
    assert outline.reach == 5.0
    assert outline.width == 50.0
    assert outline.length_to_width == length / 50


def test_axis_positions():
    """The axis runs 30, 22.5, 20, 20, 20 mm from the midline, from caudal to cranial [derived]."""
    levels = np.array([-60.0, -30.0, 0.0, 30.0, 60.0])
    assert bent(120).axis(levels) == pytest.approx([30.0, 22.5, 20.0, 20.0, 20.0])


@pytest.mark.parametrize(
    ("length", "angle", "passes"),
    [(100, 21.801, 39.00), (120, 18.435, 37.95), (140, 15.945, 37.09)],
)
def test_scar_and_its_prolongation(length, angle, passes):
    """The scar ends at atan(40 / L) and, prolonged, passes a verge 30 mm below at the distances
    [derived].
    """
    outline = Outline(20.0, 10.0, 25.0, 30.0 + length, 30.0)
    assert outline.scar_angle_deg == pytest.approx(angle, abs=5e-4)
    # The table gives the shortest distance, the outline the place at the verge's level.
    shortest = outline.passes_verge_at * math.cos(math.radians(angle))
    assert shortest == pytest.approx(passes, abs=0.005)
    assert Outline(20.0, 0.0, 25.0, 30.0 + length, 30.0).passes_verge_at == 20.0


@pytest.mark.parametrize(
    ("shift", "nearest"), [(10.0, 20.0), (0.0, 20.0), (-10.0, 10.0), (-25.0, -5.0)]
)
def test_scar_nearest_midline(shift, nearest):
    """The scar's least x is that of the axis, sampled all along it."""
    outline = bent(120, shift=shift)
    assert outline.scar_nearest_midline == nearest
    assert outline.axis(np.linspace(-60, 60, 101)).min() == pytest.approx(nearest)


@pytest.mark.parametrize(
    ("shift", "crossing", "mismatch"), [(0, -28.64, 0), (5, -25.90, 4.72), (10, -23.81, 9.34)]
)
def test_cost_of_the_caudal_shift(shift, crossing, mismatch):
    """Each 5 mm of shift takes caudal midline away and makes the edges differ (BL, L = 120)
    [derived].
    """
    outline = bent(120, shift=shift)
    assert float(outline.edge_x("medial", crossing)) == pytest.approx(0.0, abs=0.006)
    assert outline.medial_edge - outline.lateral_edge == pytest.approx(mismatch, abs=0.005)


@pytest.mark.parametrize(
    ("length", "half_width", "area", "mismatch", "apex"),
    [
        (100, 31.10, 4452, 11.8, 127.5),
        (120, 29.17, 4881, 10.4, 103.7),
        (140, 28.02, 5394, 9.1, 87.3),
    ],
)
def test_equal_coverage(length, half_width, area, mismatch, apex):
    """To keep 5 mm from pits at 0 and +-20 mm the bent outline needs the table's width
    [derived].
    """
    outline = bent(length, half_width=half_width)
    pits = np.array([(0.0, level) for level in (-20.0, 0.0, 20.0)])
    assert signed_distance(outline, pits).min() == pytest.approx(5.0, abs=0.01)
    assert outline.area_mm2 == pytest.approx(area, abs=1.5)
    assert outline.medial_edge - outline.lateral_edge == pytest.approx(mismatch, abs=0.06)
    assert outline.cranial_angle_deg == pytest.approx(apex, abs=0.06)


def test_cost_of_a_large_caudal_shift():
    """A shift of 15 mm moves the caudal crossing to -22.15 and makes the edges differ by 13.76 mm
    [derived].
    """
    outline = bent(120, shift=15)
    assert float(outline.edge_x("medial", -22.15)) == pytest.approx(0.0, abs=0.006)
    assert outline.medial_edge - outline.lateral_edge == pytest.approx(13.76, abs=0.005)
    assert outline.edge_mismatch_percent == pytest.approx(
        100 * (1 - outline.lateral_edge / outline.medial_edge)
    )


def test_circle():
    """Where length and width agree the outline is a circle, whose apexes are flat [derived]."""
    circle = lens(50, 50)
    assert circle.area_mm2 == pytest.approx(math.pi * 25**2)
    assert circle.perimeter == pytest.approx(math.pi * 50)
    assert circle.cranial_angle_deg == pytest.approx(180.0)
    assert circle.caudal_angle_deg == pytest.approx(180.0)


def test_width_beyond_the_apexes():
    """Beyond its apexes the outline has no width, and at a quarter of its length what the arc
    leaves.
    """
    outline = bent(120)
    assert outline.half_width_at(np.array([-61.0, -60.0, 60.0, 75.0])) == pytest.approx(
        [0, 0, 0, 0]
    )
    quarter = 2 * (math.sqrt(84.5**2 - 30**2) - 59.5)
    assert outline.width_at(np.array([30.0, -30.0])) == pytest.approx([quarter, quarter])


@pytest.mark.parametrize(
    ("values", "fault"),
    [
        ((20.0, 10.0, 0.0, 60.0, -60.0), "above 0"),
        ((20.0, 10.0, -5.0, 60.0, -60.0), "above 0"),
        ((20.0, 10.0, 25.0, -60.0, 60.0), "at least as long"),
        ((20.0, 10.0, 25.0, 20.0, -20.0), "at least as long"),
        ((math.nan, 10.0, 25.0, 60.0, -60.0), "finite"),
        ((20.0, 10.0, 25.0, math.inf, -60.0), "finite"),
    ],
)
def test_impossible_outlines(values, fault):
    """An outline without width, upside down, rounder than a circle or without finite numbers is
    refused.
    """
    with pytest.raises(ValueError, match=fault):
        Outline(*values)


@given(outlines(), st.floats(-12, 12))
@examples(40)
def test_area_does_not_depend_on_the_axis(outline, shift):
    """Bending the axis changes no area: it is that of the profile, and of the polygon [derived]."""
    other = Outline(
        outline.offset, shift, outline.half_width, outline.cranial_apex, outline.caudal_apex
    )
    assert other.area_mm2 == outline.area_mm2
    exact = polygon(outline).area
    assert outline.area_mm2 == pytest.approx(exact, rel=1e-5)


@given(outlines(), st.floats(0.25, 4))
@examples(40)
def test_scaling(outline, factor):
    """A marking s times as large has lengths s, areas s squared, and the same angles [derived]."""
    larger = Outline(
        factor * outline.offset,
        factor * outline.caudal_shift,
        factor * outline.half_width,
        factor * outline.cranial_apex,
        factor * outline.caudal_apex,
    )
    assert larger.perimeter == pytest.approx(factor * outline.perimeter)
    assert larger.scar_length == pytest.approx(factor * outline.scar_length)
    assert larger.passes_verge_at == pytest.approx(factor * outline.passes_verge_at)
    assert larger.area_mm2 == pytest.approx(factor**2 * outline.area_mm2)
    assert larger.cranial_angle_deg == pytest.approx(outline.cranial_angle_deg)
    assert larger.caudal_angle_deg == pytest.approx(outline.caudal_angle_deg)
    assert larger.edge_mismatch_percent == pytest.approx(outline.edge_mismatch_percent, abs=1e-6)


@pytest.mark.parametrize(
    ("length", "shift", "axis"),
    [(100, 0.0, 100.0), (120, 0.0, 120.0), (120, 10.0, 121.0933), (120, -10.0, 121.0933)],
)
def test_axis_length(length, shift, axis):
    """A straight axis is as long as the outline; a bent one is longer by what the parabola adds,
    which is about 2 k^2 / 3 a [derived].
    """
    assert bent(length, shift).axis_length == pytest.approx(axis, abs=5e-5)
    assert axis - length == pytest.approx(2 * shift**2 / (3 * length / 2), abs=0.03)


@given(outlines())
@examples(40)
def test_axis_length_by_quadrature(outline):
    """The axis is as long as its slope integrated from apex to apex, by quadrature
    [scipy-docs].
    """
    half = (outline.cranial_apex - outline.caudal_apex) / 2

    def slope(v: float) -> tuple[float, float]:
        return (2 * outline.caudal_shift * v / half**2 if v < 0 else 0.0), 1.0

    assert outline.axis_length == pytest.approx(arc_length(slope, -half, 0.0, half), abs=1e-9)


def test_half_circle_is_pushed_out():
    """Each end of a closed circle moves out by half of what half its line exceeds its width
    [derived].
    """
    circle = Outline(20.0, 0.0, 25.0, 25.0, -25.0)
    assert circle.push_out == pytest.approx(25 * (math.pi / 2 - 1))


@given(outlines())
@examples(40)
def test_push_out_by_quadrature(outline):
    """The push-out is half of what the edges' mean exceeds the axis; the axis as a fine chain of
    points, the edges by quadrature [zou-2023] [scipy-docs].
    """
    y = np.linspace(outline.caudal_apex, outline.cranial_apex, 20001)
    axis = float(np.hypot(np.diff(outline.axis(y)), np.diff(y)).sum())
    edges = edge_length(outline, -1.0) + edge_length(outline, 1.0)
    assert outline.push_out == pytest.approx((edges / 2 - axis) / 2, abs=1e-5)
    assert outline.push_out > 0


def test_push_out_is_never_negative():
    """An outline as thin as a hair is not pushed out, nor pulled in by rounding."""
    for length in range(20, 200):
        assert 0 <= Outline(20.0, 9.7, 1e-7, float(length), 0.3).push_out < 1e-9


def test_scar_ends_without_a_shift():
    """On a straight axis the scar of L = 120, W = 50 is 133.44 mm long, 6.72 mm more at each end
    [zou-2023].
    """
    cranial, caudal = lens(120, 50).scar_ends
    assert cranial == pytest.approx((20.0, 66.719699), abs=1e-6)
    assert caudal == pytest.approx((20.0, -66.719699), abs=1e-6)


@given(outlines())
def test_scar_ends(outline):
    """The ends lie a push-out beyond the apexes on the axis's tangents: straight cranially, and
    caudally on the prolongation that passes the verge [derived].
    """
    cranial, caudal = outline.scar_ends
    assert cranial == pytest.approx((outline.offset, outline.cranial_apex + outline.push_out))
    apex = outline.caudal_point
    assert math.dist(caudal, apex) == pytest.approx(outline.push_out)
    lean = 4 * outline.caudal_shift / outline.length
    assert caudal[0] - apex[0] == pytest.approx(lean * (apex[1] - caudal[1]), abs=1e-9)
    assert caudal[1] < apex[1]
    assert outline.passes_verge_at == pytest.approx(caudal[0] + lean * caudal[1], abs=1e-9)


@given(outlines())
def test_crossing_of_the_verges_level(outline):
    """Above the verge the scar's prolongation crosses its level, below it the scar itself."""
    crossing = outline.crosses_verge_at
    if outline.caudal_apex >= 0:
        assert crossing == outline.passes_verge_at
    else:
        assert crossing == pytest.approx(float(outline.axis(0.0)))


def test_scar_that_ends_below_the_verge():
    """From 100 to -20, at u = 2/3, a shift of 9 mm brings the axis 4 mm further than its offset
    [derived].
    """
    assert Outline(20, 9, 25, 100, -20).crosses_verge_at == pytest.approx(24.0)
