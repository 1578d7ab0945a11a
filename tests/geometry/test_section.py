"""The trough against closed forms of simple plans, tables, and a second route by layers."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.geometry.oracles import bent
from tests.strategies import examples, library, outlines, shipped_plans

from offmidline.geometry.outline import Outline
from offmidline.geometry.section import Trough, trough_depth, volume_ml

NARROWING, VERTICAL, WIDENING = 45.0, 90.0, 135.0


def trough(depth: float, lateral: float = NARROWING, medial: float = VERTICAL) -> Trough:
    """A trough with the technique's walls unless said."""
    return Trough(depth, lateral, medial)


@pytest.mark.parametrize(
    ("lateral", "depth", "volumes"),
    [
        (NARROWING, 15, (41.63, 49.13, 56.73)),
        (NARROWING, 20, (51.01, 60.16, 69.43)),
        (NARROWING, 25, (58.36, 68.78, 79.36)),
        (NARROWING, 30, (63.83, 75.20, 86.73)),
        (VERTICAL, 15, (52.42, 62.03, 71.75)),
        (VERTICAL, 20, (69.89, 82.71, 95.67)),
        (VERTICAL, 25, (87.36, 103.39, 119.59)),
        (WIDENING, 15, (63.21, 74.94, 86.78)),
        (WIDENING, 20, (88.77, 105.27, 121.91)),
        (WIDENING, 25, (116.37, 138.00, 159.82)),
    ],
)
@pytest.mark.parametrize("shift", [0.0, 10.0])
def test_volume_table(lateral, depth, volumes, shift):
    """The trough under 100, 120 and 140 x 50 mm holds the table's ml, whatever the shift
    [derived].
    """
    found = [
        volume_ml(bent(length, shift=shift), trough(depth, lateral)) for length in (100, 120, 140)
    ]
    assert found == pytest.approx(volumes, abs=0.006)


@pytest.mark.parametrize(
    ("length", "depth", "volume"),
    [(100, 20, 51005.409867), (120, 25, 68784.862170), (140, 30, 86734.474415)],
)
def test_lens_volumes(length, depth, volume):
    """The narrowing trough under a lens 50 mm wide has its volume to six decimals
    [derived].
    """
    assert 1000 * volume_ml(bent(length), trough(depth)) == pytest.approx(volume, abs=1e-5)


@pytest.mark.parametrize(
    ("length", "width", "depth", "volume"),
    [(100, 50, 20, 80000), (100, 50, 30, 105000), (120, 15, 20, 13500)],
)
def test_rectangular_plan(length, width, depth, volume):
    """Under a rectangle the volume is L (W D - D^2 / 2), or that of a triangle where the walls meet
    [derived].
    """
    assert length * trough(depth).area_mm2(width) == pytest.approx(volume)


def test_prismatoid_rule():
    """D / 6 (A0 + 4 Am + A1) over the layers gives the same 80000 mm3 under a rectangle
    [derived].
    """
    layers = [100 * trough(depth).base_width(50) for depth in (1e-9, 10, 20)]
    assert 20 / 6 * (layers[0] + 4 * layers[1] + layers[2]) == pytest.approx(80000)


PLANS: dict[str, Callable[[float, float], Callable[[float], float]]] = {
    "rhombus": lambda length, width: lambda y: width * (1 - 2 * abs(y) / length),
    "parabola": lambda length, width: lambda y: width * (1 - (2 * y / length) ** 2),
    "ellipse": lambda length, width: lambda y: width * math.sqrt(1 - (2 * y / length) ** 2),
}


@pytest.mark.parametrize(
    ("plan", "volumes"),
    [
        ("rhombus", (32666.666667, 43750.0, 73500.0)),
        ("parabola", (48076.346605, 65857.864376, 110641.212152)),
        ("ellipse", (58810.944860, 81111.958414, 136268.090136)),
    ],
)
def test_other_plans(plan, volumes):
    """Sections summed over rhombic, parabolic and elliptic plans give the closed forms
    [derived].
    """
    sizes = ((100, 50, 20), (120, 50, 25), (140, 60, 30))
    for (length, width, depth), volume in zip(sizes, volumes, strict=True):
        profile, section = PLANS[plan](length, width), trough(depth)
        # The two levels at which the walls begin to meet above the floor split the integral.
        kink = next(y for y in np.linspace(0, length / 2, 20001) if profile(y) <= depth)
        whole = quad(
            lambda y, section=section, profile=profile: section.area_mm2(profile(y)),
            0, length / 2, points=[kink], epsabs=1e-9, limit=200,
        )[0]  # fmt: skip
        assert 2 * whole == pytest.approx(volume, abs=2e-3)


@pytest.mark.parametrize(
    ("lateral", "medial"),
    [(45, 90), (90, 90), (135, 90), (60, 70), (30, 90), (60, 110), (120, 100), (90, 45)],
)
@pytest.mark.parametrize("depth", [12.0, 22.0, 40.0])
def test_layers(lateral, medial, depth):
    """Layer by layer with shapely, a layer being what both moved walls leave of the plan
    [shapely-docs].
    """
    outline = bent(110, half_width=24.0)
    taper = sum(1 / math.tan(math.radians(angle)) for angle in (lateral, medial))
    section = trough(depth, lateral, medial)
    layers = [_layer(outline, taper, z) for z in np.linspace(0, depth, 33)]
    # Simpson's rule over 32 layers.
    weights = np.array([1, *([4, 2] * 16)[:-1], 1]) * depth / 32 / 3
    assert 1000 * volume_ml(outline, section) == pytest.approx(weights @ layers, rel=1e-3)


def _layer(outline: Outline, taper: float, z: float) -> float:
    """Area of the trough at depth z: the straightened plan shared with itself, moved by the taper.

    A widening trough gains at each level what it would lose, at most the skin width there.
    """
    y = np.linspace(outline.caudal_apex, outline.cranial_apex, 1201)
    half = outline.half_width_at(y)
    ring = np.vstack([np.column_stack([half, y]), np.column_stack([-half[1:-1], y[1:-1]])[::-1]])
    plan = shapely.Polygon(ring)
    moved = shapely.affinity.translate(plan, xoff=-abs(taper) * z)
    shared = float(plan.intersection(moved).area)
    return shared if taper >= 0 else 2 * float(plan.area) - shared


@given(outlines(), st.floats(1, 60), st.floats(25, 150), st.floats(45, 135))
@examples(60)
def test_volume_is_the_integral_of_the_sections(outline, depth, lateral, medial):
    """The closed form of the volume is the integral of the section's area from apex to apex
    [scipy-docs].
    """
    section = trough(depth, lateral, medial)

    def area(y: float) -> float:
        return section.area_mm2(float(outline.width_at(y)))

    half = quad(area, outline.widest_level, outline.cranial_apex, epsabs=1e-4, limit=400)[0]
    assert 1000 * volume_ml(outline, section) == pytest.approx(2 * half, rel=1e-4)


@pytest.mark.parametrize(
    ("lateral", "medial", "base", "area"),
    [
        (45, 90, 30, 800),
        (90, 90, 50, 1000),
        (135, 90, 70, 1200),
        (45, 45, 10, 600),
        (45, 135, 50, 1000),
        (135, 135, 90, 1400),
    ],
)
def test_section_at_the_widest_level(lateral, medial, base, area):
    """A section 50 mm wide and 20 mm deep is a trapezium of these two measures [derived]."""
    section = trough(20, lateral, medial)
    assert section.base_width(50) == pytest.approx(base)
    assert section.area_mm2(50) == pytest.approx(area)
    assert section.area_mm2(50) == pytest.approx(20 * (50 + section.base_width(50)) / 2)
    assert section.meeting_depth(50) == 20


def test_meeting_walls():
    """Where narrowing walls meet above the floor the section is a triangle without a base
    [derived].
    """
    section = trough(20)
    assert section.base_width(12) == 0
    assert section.meeting_depth(12) == pytest.approx(12)
    assert section.area_mm2(12) == pytest.approx(12 * 12 / 2)
    both = trough(20, 45, 45)
    assert both.meeting_depth(30) == pytest.approx(15)
    assert both.area_mm2(30) == pytest.approx(30 * 15 / 2)
    assert both.base_width(30) == 0


def test_widening_is_capped():
    """A widening section is at most twice as wide as its skin, so that it closes at the apexes
    [derived].
    """
    section = trough(20, WIDENING)
    assert section.base_width(12) == pytest.approx(24)
    assert section.area_mm2(12) == pytest.approx(12 * 20 + 12 * 20 - 12 * 12 / 2)
    assert section.meeting_depth(12) == 20
    assert section.area_mm2(0.0) == 0
    assert section.area_mm2(-1.0) == 0


def test_vertical_walls_take_nothing_off():
    """A wall at exactly 90 degrees has a taper of exactly 0."""
    assert trough(20, 90, 90).taper == 0.0
    assert trough(20, 45, 90).taper == pytest.approx(1.0)


def test_shallow_limit():
    """The first millimetres deepen the volume by the outline's area: dV/dD at 0 is the area
    [derived].
    """
    outline = bent(120)
    for lateral in (NARROWING, VERTICAL, WIDENING):
        volume = 1000 * volume_ml(outline, trough(1e-4, lateral))
        assert volume / 1e-4 == pytest.approx(outline.area_mm2, rel=1e-4)


@given(outlines(), st.floats(1, 40), st.floats(0.1, 10), st.floats(25, 150))
@examples(60)
def test_deeper_is_more(outline, depth, more, lateral):
    """A deeper trough never holds less: V(D) increases [derived]."""
    shallow = volume_ml(outline, trough(depth, lateral))
    assert volume_ml(outline, trough(depth + more, lateral)) >= shallow * (1 - 1e-12)


@given(outlines(), st.floats(2, 40), st.floats(0.3, 3), st.floats(25, 150))
@examples(40)
def test_scaling(outline, depth, factor, lateral):
    """A wound s times as large and deep has a volume s cubed times as large [derived]."""
    larger = Outline(
        factor * outline.offset,
        factor * outline.caudal_shift,
        factor * outline.half_width,
        factor * outline.cranial_apex,
        factor * outline.caudal_apex,
    )
    volume = factor**3 * volume_ml(outline, trough(depth, lateral))
    assert volume_ml(larger, trough(factor * depth, lateral)) == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize("values", [(0, 45, 90), (-1, 45, 90), (20, 0, 90), (20, 45, 180)])
def test_impossible_troughs(values):
    """A trough without depth, or with a wall along the skin, is refused."""
    with pytest.raises(ValueError, match=r"depth|angle"):
        Trough(*values)


@pytest.mark.parametrize(
    ("cavity", "clearance", "fascia", "depth"),
    [(14, 2, 24, 16), (27, 2, 28, 28), (26, 2, 28, 28), (10, 0, 30, 10)],
)
def test_depth_of_the_excision(cavity, clearance, fascia, depth):
    """The floor lies below the cavity by the clearance, but never through the fascia (common
    practice, no source).
    """
    assert trough_depth(cavity, clearance, fascia) == depth


def test_shipped_depths_are_plausible():
    """The fascia of shipped cases lies as deep as fat was measured to be, and skin [balik-2006].

    The means are 14.4 to 22 mm; two standard deviations and 3 mm of skin (common practice, no
    source) are allowed for.
    """
    low, high = 14.4 - 2 * 2.9, 22 + 2 * 2.2 + 3
    for case in library().cases:
        assert low <= case.findings.fascia_depth <= high
    for planned in shipped_plans():
        if planned.right is not None:
            assert planned.right.marking.depth <= 30
