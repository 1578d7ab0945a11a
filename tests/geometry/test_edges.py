"""Both edges of an outline, against quadrature and a second formula."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from scipy.special import ellipe
from tests.geometry.oracles import (
    LATERAL,
    MEDIAL,
    arc_length,
    bent,
    edge_length,
    edge_x,
)
from tests.strategies import examples, outlines


def test_ellipse_length_of_the_quadrature():
    """The oracle's quadrature gives scipy's documented ellipse, 17.868899204378693 [scipy-docs]."""
    a, b = 3.5, 2.1
    assert _ellipse(a, b) == pytest.approx(17.868899204378693, abs=1e-10)
    assert _ellipse(a, b) == pytest.approx(4 * a * ellipe(1 - b * b / (a * a)), abs=1e-10)


@pytest.mark.parametrize(
    ("a", "perimeter", "sheared"),
    [
        (50, 242.211205514, 242.984481),
        (60, 278.479746855, 279.157014),
        (70, 315.441926752, 316.043557),
    ],
)
def test_ellipse_tables_of_the_quadrature(a, perimeter, sheared):
    """The oracle's quadrature gives the ellipses of 25 mm, also sheared by 10 mm [derived;
    scipy-docs].
    """
    assert _ellipse(a, 25.0) == pytest.approx(perimeter, abs=1e-8)
    assert _ellipse(a, 25.0, shear=5.0 / a) == pytest.approx(sheared, abs=1e-6)
    # A sheared ellipse is an ellipse: its semi-axes are the singular values of the map.
    long, short = np.linalg.svd([[25.0, 5.0], [0.0, a]])[1]
    again = 4 * long * ellipe(1 - short * short / (long * long))
    assert _ellipse(a, 25.0, shear=5.0 / a) == pytest.approx(again, abs=1e-9)


def _ellipse(a: float, b: float, shear: float = 0.0) -> float:
    def slope(t: float) -> tuple[float, float]:
        return -b * math.sin(t) + shear * a * math.cos(t), a * math.cos(t)

    return arc_length(slope, 0.0, math.pi / 2, math.pi, 3 * math.pi / 2, 2 * math.pi)


@pytest.mark.parametrize("shift", [-15.0, 0.0, 10.0, 15.0])
@pytest.mark.parametrize("length", [50.0, 75.0, 120.0, 300.0])
def test_edge_lengths_by_quadrature(length, shift):
    """Both edges are as long as quadrature says, up to the circle that is as long as it is wide
    [scipy-docs].
    """
    outline = bent(length, shift=shift)
    assert outline.medial_edge == pytest.approx(edge_length(outline, MEDIAL), abs=1e-6)
    assert outline.lateral_edge == pytest.approx(edge_length(outline, LATERAL), abs=1e-6)


@given(outlines())
@examples(60)
def test_edges_by_a_second_formula(outline):
    """Both edges run where the axis and the arc, written as functions of y, put them."""
    for y in np.linspace(outline.caudal_apex, outline.cranial_apex, 9)[1:-1]:
        assert float(outline.edge_x("medial", y)) == pytest.approx(edge_x(outline, MEDIAL, y))
        assert float(outline.edge_x("lateral", y)) == pytest.approx(edge_x(outline, LATERAL, y))


@given(outlines())
@examples(40)
def test_points_by_angle_lie_on_the_edges(outline):
    """A point of an edge by its angle lies on the edge at its level, and its tangent is its
    derivative.
    """
    phi = np.linspace(-0.95, 0.95, 8) * outline.alpha
    for edge in ("medial", "lateral"):
        x, y = outline.edge_point(edge, phi)
        assert outline.edge_x(edge, y) == pytest.approx(x, abs=1e-6)
        before, after = outline.edge_point(edge, phi - 1e-6), outline.edge_point(edge, phi + 1e-6)
        slope = (np.array(after) - np.array(before)) / 2e-6
        assert np.array(outline.edge_tangent(edge, phi)) == pytest.approx(slope, abs=1e-3)


@given(outlines(bent=False))
@examples(30)
def test_edges_agree_without_a_shift(outline):
    """On a straight axis both edges are equally long, R times 2 alpha each [derived]."""
    assert outline.medial_edge == pytest.approx(outline.lateral_edge, rel=1e-12)
    assert outline.medial_edge == pytest.approx(2 * outline.radius * outline.alpha, rel=1e-10)
    assert outline.edge_mismatch_percent == pytest.approx(0.0, abs=1e-9)
