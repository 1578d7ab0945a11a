"""Stitches, gaps, pairing of the edges and the undermined strip."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.oracles import SIGNS, bent, edge_length, edge_x
from tests.strategies import examples, outlines

from offmidline.geometry.closure import (
    StitchRow,
    deep_gap,
    deep_gap_at,
    edge_positions,
    halves,
    stitch_positions,
    stitch_row,
    stitches_needed,
    undermined_area_mm2,
    undermined_strip,
)
from offmidline.geometry.outline import Outline


@pytest.mark.parametrize(("spacing", "stitches"), [(8, 17), (10, 13), (12, 11), (15, 9)])
def test_stitches_of_an_edge(spacing, stitches):
    """The medial edge of BL L = 120, 138.8 mm, takes ceil(S / s) - 1 stitches [derived]."""
    edge = bent(120).medial_edge
    assert stitches_needed(edge, spacing) == stitches
    row = stitch_row(edge, stitches)
    assert row == StitchRow(stitches, edge / (stitches + 1))
    assert row.spacing <= spacing < edge / stitches


def test_stitches_of_a_short_edge():
    """An edge that divides evenly needs no extra stitch, and one shorter than the spacing none at
    all.
    """
    assert stitches_needed(120.0, 12.0) == 9
    assert stitches_needed(120.1, 12.0) == 10
    assert stitches_needed(11.0, 12.0) == 0
    assert stitch_row(100.0, 0) == StitchRow(0, 100.0)


@pytest.mark.parametrize(
    ("half_width", "undermining", "depth", "thickness", "gap"),
    [(25, 15, 40, 10, 50.0), (25, 20, 10, 10, 45.0), (25, 20, 34, 10, 51.0), (25, 7, 34, 10, 40.0)],
)
def test_deep_gap(half_width, undermining, depth, thickness, gap):
    """From the recess to the new midline on the floor: right-angled triangles with whole sides
    [derived].
    """
    outline = bent(120, half_width=half_width)
    assert deep_gap(outline, depth, thickness, undermining) == pytest.approx(gap)


def test_deep_gap_by_level():
    """At an apex the recess lies an undermining from the axis; between, a half-width more; at the
    widest level it is the deep gap [derived].
    """
    outline = bent(120)
    found = deep_gap_at(outline, np.array([-60.0, -30.0, 0.0, 30.0, 60.0]), 22.0, 10.0, 16.0)
    # Half-width at a quarter of the length: sqrt(84.5^2 - 30^2) - 59.5 = 19.495253 (calc).
    quarter = math.hypot(19.495253 + 16, 12)
    expected = (20.0, quarter, math.hypot(41, 12), quarter, 20.0)
    assert found == pytest.approx(expected, abs=1e-6)
    assert found[2] == pytest.approx(deep_gap(outline, 22.0, 10.0, 16.0))


@given(outlines(), st.floats(5, 40), st.floats(0, 1), st.floats(0, 40), st.floats(0, 1))
@examples(40)
def test_deep_gap_is_a_distance(outline, depth, part, undermining, way):
    """The gap is the distance in a section from the recess to the axis on the floor, each found
    from the edges written down again [derived].
    """
    level = outline.caudal_apex + way * outline.length
    medial, lateral = (edge_x(outline, sign, level) for sign in SIGNS.values())
    recess, midline = (medial - undermining, part * depth), ((medial + lateral) / 2, depth)
    found = deep_gap_at(outline, np.array([level]), depth, part * depth, undermining)
    assert found.shape == (1,)
    assert float(found[0]) == pytest.approx(math.dist(recess, midline), abs=1e-6)


@given(outlines(), st.floats(5, 40), st.floats(0, 40))
@examples(40)
def test_deep_gap_is_greatest_at_the_widest_level(outline, depth, undermining):
    """No other level has a wider gap than the widest, of which the plan speaks."""
    levels = np.linspace(outline.caudal_apex, outline.cranial_apex, 101)
    most = deep_gap(outline, depth, 5.0, undermining)
    assert deep_gap_at(outline, levels, depth, 5.0, undermining).max() == pytest.approx(most)


def test_rule_of_halves():
    """Midpoint to midpoint, then every piece is halved again [mcgraw-dogear]."""
    assert halves(3) == ((0.5,), (0.25, 0.75), (0.125, 0.375, 0.625, 0.875))
    assert halves(0) == ()


@pytest.mark.parametrize("rounds", range(1, 7))
def test_rounds_of_halves(rounds):
    """Together the rounds stitch equal pieces, and each lies in the middle of what was left."""
    placed = [0.0, 1.0]
    for fractions in halves(rounds):
        assert fractions == tuple((low + high) / 2 for low, high in pairwise(placed))
        placed = sorted([*placed, *fractions])
    assert placed == [number / 2**rounds for number in range(2**rounds + 1)]


def test_advance_of_the_flap():
    """At the widest level the skin has to close 50 mm, 25 mm to each side of the scar (BL)
    [derived].
    """
    outline = bent(120)
    assert float(outline.width_at(0.0)) == pytest.approx(50.0)
    assert float(outline.axis(0.0) - outline.edge_x("medial", 0.0)) == pytest.approx(25.0)


def test_pairing_without_a_shift():
    """On a straight axis paired points of both edges lie on the same level, symmetrically
    [derived].
    """
    fractions = np.linspace(0, 1, 9)
    medial = edge_positions(bent(120, shift=0.0), "medial", fractions)
    lateral = edge_positions(bent(120, shift=0.0), "lateral", fractions)
    assert medial[:, 1] == pytest.approx(lateral[:, 1], abs=1e-9)
    assert medial[:, 0] + lateral[:, 0] == pytest.approx(np.full(9, 40.0), abs=1e-9)
    assert medial[4] == pytest.approx((-5.0, 0.0), abs=1e-9)
    assert medial[0] == pytest.approx((20.0, -60.0), abs=1e-6)
    assert lateral[8] == pytest.approx((20.0, 60.0), abs=1e-6)


def test_pairing_with_a_shift():
    """On the bent axis halves by length lie on two levels: the longer medial edge is halved lower
    [mcgraw-dogear].
    """
    outline = bent(120)
    medial = edge_positions(outline, "medial", np.array([0.5]))[0]
    lateral = edge_positions(outline, "lateral", np.array([0.5]))[0]
    assert medial[1] < 0 < lateral[1]
    assert lateral[1] - medial[1] > 3.0


@given(
    outlines(), st.sampled_from(["medial", "lateral"]), st.lists(st.floats(0.01, 0.99), min_size=1)
)
@examples(40)
def test_positions_by_quadrature(outline, edge, fractions):
    """Up to a fraction's point the edge is that fraction of its length, by quadrature
    [scipy-docs].
    """
    whole = edge_length(outline, SIGNS[edge])
    for fraction in fractions[:3]:
        x, y = edge_positions(outline, edge, np.array([fraction]))[0]
        assert edge_length(outline, SIGNS[edge], y) == pytest.approx(fraction * whole, abs=1e-4)
        assert float(outline.edge_x(edge, y)) == pytest.approx(x, abs=1e-6)


def test_stitches_along_the_edge():
    """Stitches go from caudal to cranial at equal lengths of edge, none at the apexes."""
    outline, row = bent(120), StitchRow(11, 0.0)
    points = stitch_positions(outline, "medial", row)
    assert points.shape == (11, 2)
    assert np.all(np.diff(points[:, 1]) > 0)
    runs = [edge_length(outline, SIGNS["medial"], y) for y in points[:, 1]]
    equal = outline.medial_edge / 12
    assert np.diff([0.0, *runs, outline.medial_edge]) == pytest.approx(np.full(12, equal), abs=1e-4)


def test_undermined_strip():
    """A strip of 20 mm along the medial edge of BL L = 120 has 3119 mm2, 31.2 ml at 10 mm
    [derived].
    """
    area = undermined_area_mm2(bent(120), 20.0)
    assert area == pytest.approx(3119, abs=0.5)
    assert area * 10 / 1000 == pytest.approx(31.2, abs=0.05)


@pytest.mark.parametrize("shift", [0.0, 10.0, 18.0])
@pytest.mark.parametrize("undermining", [5.0, 20.0, 40.0])
def test_undermined_strip_against_a_buffer(shift, undermining):
    """The strip is the medial edge's one-sided buffer, on the side away from the wound
    [shapely-docs].
    """
    outline = bent(120, shift=shift)
    edge = outline.ring(2000)[2000:]
    line = shapely.LineString([*edge, outline.caudal_point])
    # The edge runs down, so that the midline's side is on its right: a negative distance.
    sides = [line.buffer(d, single_sided=True, quad_segs=64) for d in (-undermining, undermining)]
    outer = min(sides, key=lambda side: side.centroid.x)
    strip = shapely.Polygon(undermined_strip(outline, undermining, 1000))
    assert strip.is_valid
    assert undermined_area_mm2(outline, undermining) == pytest.approx(outer.area, rel=2e-4)
    assert strip.area == pytest.approx(outer.area, rel=2e-4)
    assert strip.symmetric_difference(outer).area < 1e-3 * outer.area


def test_strip_lies_medial():
    """The strip lies medial of the wound and across the midline; at the widest level it ends at -25
    mm.
    """
    outline = bent(120)
    strip = undermined_strip(outline, 20.0, 512)
    assert len(strip) == 2 * 513
    assert strip[:, 0].min() == pytest.approx(-25.0, abs=1e-3)
    near = shapely.Polygon(strip).intersection(shapely.Polygon(outline.ring(512))).area
    assert near == pytest.approx(0.0, abs=1.0)


@given(outlines(), st.floats(1, 40))
@examples(40)
def test_strip_is_simple(outline, undermining):
    """Of a convex outline the strip never crosses itself, and its area is the closed form."""
    strip = shapely.Polygon(undermined_strip(outline, undermining, 400))
    assert strip.is_valid
    assert strip.area == pytest.approx(undermined_area_mm2(outline, undermining), rel=1e-3)


def test_strip_of_a_half_circle():
    """Along half a circle the strip is half a ring [derived]."""
    circle = Outline(20.0, 0.0, 25.0, 25.0, -25.0)
    assert undermined_area_mm2(circle, 20.0) == pytest.approx(math.pi * (45**2 - 25**2) / 2)
