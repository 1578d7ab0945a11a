"""The covered part of the midline, against tables, closed forms and a polygon."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from tests.geometry.oracles import bent, polygon
from tests.strategies import examples, outlines

from offmidline.geometry.coverage import midline_covered
from offmidline.geometry.outline import Outline


def covered(outline: Outline) -> tuple[float, float]:
    """The covered levels of an outline that covers some."""
    levels = midline_covered(outline)
    assert levels is not None
    return levels


@pytest.mark.parametrize(
    ("length", "low", "high"), [(100, -20.23, 24.49), (120, -23.81, 28.64), (140, -27.45, 32.86)]
)
def test_outline_table(length, low, high):
    """The bent outline takes away far less midline than its length: the table's levels
    [derived].
    """
    assert covered(bent(length)) == pytest.approx((low, high), abs=0.006)


@pytest.mark.parametrize(
    ("shift", "crossing"), [(0, -28.64), (5, -25.90), (10, -23.81), (15, -22.15)]
)
def test_cost_of_the_caudal_shift(shift, crossing):
    """Each 5 mm of caudal shift costs 2.7, 2.1 and 1.7 mm of caudal midline, and none cranially
    [derived].
    """
    low, high = covered(bent(120, shift=shift))
    assert low == pytest.approx(crossing, abs=0.006)
    assert high == pytest.approx(28.64, abs=0.006)


@pytest.mark.parametrize(
    ("length", "chord"), [(100, 48.989795), (120, 57.271284), (140, 65.726707)]
)
def test_chord_without_a_shift(length, chord):
    """Without a shift the covered chord is sqrt(L^2 / 5 + 400) [derived]."""
    low, high = covered(bent(length, shift=0.0))
    assert high - low == pytest.approx(chord, abs=1e-6)
    assert high - low == pytest.approx(math.sqrt(length**2 / 5 + 400), abs=1e-8)
    assert low == pytest.approx(-high)


@pytest.mark.parametrize(
    ("length", "chord"), [(102.5, 50), (126.5, 60), (150.0, 70), (173.2, 80), (147.5, 68.9)]
)
def test_length_that_a_chord_needs(length, chord):
    """At a reach of 5 mm a chord of midline needs a length of sqrt(5 (c^2 - 400)) [derived]."""
    low, high = covered(bent(length, shift=0.0))
    assert high - low == pytest.approx(chord, abs=0.05)


def test_reach_is_worth_more_than_length():
    """At L = 120 a reach of 8 mm covers 69.0 mm of midline, where 5 mm cover 57.3 [derived]."""
    low, high = covered(bent(120, shift=0.0, half_width=28.0))
    assert high - low == pytest.approx(69.0, abs=0.05)


def test_width_that_reaches_the_midline():
    """With both apexes 20 mm off, a width of 40 mm does not cross the midline, a little more does
    (calc).
    """
    assert midline_covered(Outline(20.0, 0.0, 20.0, 60.0, -60.0)) is None
    assert midline_covered(Outline(20.0, 0.0, 15.0, 60.0, -60.0)) is None
    low, high = covered(Outline(20.0, 0.0, 20.1, 60.0, -60.0))
    assert 0 < high - low < 10


def test_outline_on_the_midline():
    """An outline centred on the midline covers it from apex to apex."""
    assert covered(Outline(0.0, 0.0, 25.0, 60.0, -60.0)) == pytest.approx((-60.0, 60.0))


def test_outline_wholly_beyond_the_midline():
    """An outline that lies beyond the midline covers none of it either."""
    assert midline_covered(Outline(-40.0, 0.0, 25.0, 60.0, -60.0)) is None


@given(outlines())
@examples(40)
def test_levels_against_a_polygon(outline):
    """The covered part is where the midline runs through a dense polygon of the outline."""
    midline = shapely.LineString([(0, outline.caudal_apex - 1), (0, outline.cranial_apex + 1)])
    inside = midline.intersection(polygon(outline, 2000))
    levels = midline_covered(outline)
    if levels is None:
        assert inside.length < 0.3
    else:
        low, high = levels
        assert inside.length == pytest.approx(high - low, abs=0.3)
        if inside.length > 1:
            assert (inside.bounds[1], inside.bounds[3]) == pytest.approx((low, high), abs=0.15)
