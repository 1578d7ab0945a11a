"""The fit against brute force over all three numbers, and what any least marking has to satisfy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests import strategies
from tests.geometry.oracles import Markings, least_marking, most_slack, polygon, polygon_distance
from tests.strategies import examples, generated_plans
from tests.strategies import pit_discs as drawn_discs

from offmidline.geometry.fit import Demands, Disc, fit
from offmidline.geometry.outline import Outline
from offmidline.marking import demands as demands_of
from offmidline.marking import opening_discs, pit_discs
from offmidline.plan import CasePlan

# The shipped technique's; a pit of 2 mm with a margin of 3 mm is a disc of radius 4 mm.
USUAL = Demands(
    offset=20.0,
    caudal_shift=10.0,
    least_reach=5.0,
    greatest_reach=60.0,
    length_to_width=2.0,
    verge_clearance=20.0,
    lowest_apex=0.0,
)
MOST_BROKEN = 0.01  # mm


def pits(*levels: float, radius: float = 4.0) -> list[Disc]:
    """Pits with their margin."""
    return [Disc(0.0, level, radius) for level in levels]


def fitted(discs: list[Disc], demands: Demands) -> Outline:
    """The fitted outline where there must be one."""
    outline = fit(discs, demands)
    assert outline is not None
    return outline


TRIALS: dict[str, tuple[list[Disc], Demands]] = {
    "one pit": (pits(70), USUAL),
    "long disease": (pits(60, 85, 110, 135), USUAL),
    "opening on the side": ([*pits(60, 72), Disc(40, 90, 6)], USUAL),
    "opening on the other side": ([*pits(60, 72), Disc(-9, 75, 5)], USUAL),
    "openings on both sides": ([*pits(60, 72), Disc(-8, 80, 4.5), Disc(30, 100, 5)], USUAL),
    "opening beside the caudal apex": ([*pits(80, 100), Disc(28, 29, 4)], USUAL),
    "low pit against the verge": (pits(36, 50), USUAL),
    "high lowest apex": (pits(60, 70), replace(USUAL, lowest_apex=25.0, verge_clearance=5.0)),
    "near axis, great shift": (pits(60, 80), replace(USUAL, offset=15.0, caudal_shift=15.0)),
    "far axis, slender": (
        pits(80, 100),
        replace(USUAL, offset=25.0, caudal_shift=0.0, least_reach=8.0, length_to_width=3.0),
    ),
    "little reach, blunt": (
        pits(60, 75, radius=5.0),
        replace(USUAL, least_reach=3.0, length_to_width=1.5),
    ),
    "near axis, straight": (
        [*pits(70, 82), Disc(25, 110, 6)],
        replace(USUAL, offset=15.0, caudal_shift=0.0, length_to_width=2.5),
    ),
    "blunt against the verge": (
        pits(30, 45),
        replace(USUAL, offset=15.0, caudal_shift=5.0, least_reach=3.0, length_to_width=1.5),
    ),
    "length decided by coverage": (
        pits(41, 53, 94, 105),
        replace(USUAL, offset=15.0, caudal_shift=3.0, least_reach=20.0, length_to_width=1.02),
    ),
    "reach and length decided by coverage": (
        [*pits(52), Disc(-11, 138, 3), Disc(18, 136, 8)],
        replace(USUAL, offset=10.0, caudal_shift=1.0, least_reach=8.0, length_to_width=1.5),
    ),
}


@pytest.mark.parametrize("trial", TRIALS)
def test_area_against_brute_force(trial):
    """The fit is within 0.3 % of the least area that differential evolution finds, and no
    smaller.
    """
    discs, demands = TRIALS[trial]
    outline, least = fitted(discs, demands), least_marking(discs, demands)
    # The brute force's own marking is a real one, or it would prove nothing.
    assert least.slack(discs, demands, 2000)[0] > -0.002
    area = least.area(demands)[0]
    assert outline.area_mm2 <= 1.003 * area
    assert outline.area_mm2 >= 0.9999 * area


@pytest.mark.parametrize("trial", TRIALS)
def test_constraints_on_a_polygon(trial):
    """The fitted outline breaks no constraint by 0.01 mm, measured on a dense polygon
    [shapely-docs].
    """
    discs, demands = TRIALS[trial]
    outline = fitted(discs, demands)
    shape = polygon(outline, 8000)
    for disc in discs:
        assert polygon_distance(shape, disc.x, disc.y) >= disc.radius - MOST_BROKEN
    assert -polygon_distance(shape, 0.0, 0.0) >= demands.verge_clearance - MOST_BROKEN
    assert outline.caudal_apex >= demands.lowest_apex - MOST_BROKEN
    assert outline.reach >= demands.least_reach - 1e-9
    assert outline.length >= demands.length_to_width * outline.width - MOST_BROKEN
    assert (outline.offset, outline.caudal_shift) == (demands.offset, demands.caudal_shift)


def test_which_constraint_decides():
    """A short disease takes the least reach, a long one more, and a low pit lies against
    the verge.
    """
    assert fitted(*TRIALS["one pit"]).reach == 5.0
    assert fitted(*TRIALS["one pit"]).length_to_width == pytest.approx(2.0)
    long = fitted(*TRIALS["long disease"])
    assert long.reach > 12
    low = fitted(*TRIALS["low pit against the verge"])
    assert -polygon_distance(polygon(low), 0.0, 0.0) == pytest.approx(20.0, abs=0.01)
    assert fitted(*TRIALS["high lowest apex"]).caudal_apex == pytest.approx(25.0, abs=0.01)
    covering = fitted(*TRIALS["length decided by coverage"])
    assert covering.reach == 20.0
    assert covering.length_to_width > 1.2
    interior = fitted(*TRIALS["reach and length decided by coverage"])
    assert interior.reach > 15
    assert interior.length_to_width > 1.9


def test_equal_coverage():
    """Pits at 0 and +-20 with 5 mm need h 29.17 at L = 120, 4881 mm2; the fit is no larger
    [derived].
    """
    demands = replace(USUAL, length_to_width=2.0, least_reach=1.0)
    discs = pits(80, 100, 120, radius=5.0)
    known = Outline(20.0, 10.0, 29.17, 160.0, 40.0)
    assert known.area_mm2 == pytest.approx(4881, abs=1.5)
    assert Markings.of(known).slack(discs, demands)[0] == pytest.approx(0.0, abs=0.01)
    assert fitted(discs, demands).area_mm2 <= known.area_mm2


@pytest.mark.parametrize("trial", ["one pit", "far axis, slender"])
def test_middle_of_the_free_interval(trial):
    """Where several levels have the least area, the fitted one is midway between the outermost."""
    discs, demands = TRIALS[trial]
    outline = fitted(discs, demands)

    def free(step: float) -> float:
        """How far the outline can slide in one direction, mm, by halving."""
        low, high = 0.0, 60.0
        while high - low > 1e-4:
            middle = (low + high) / 2
            slid = Markings.of(outline)
            moved = replace(slid, middle=slid.middle + step * middle)
            possible = moved.slack(discs, demands, 2000)[0] > -1e-3
            low, high = (middle, high) if possible else (low, middle)
        return low

    assert free(1.0) > 1.0
    assert free(1.0) == pytest.approx(free(-1.0), abs=0.05)


def test_order_and_repetition_of_discs():
    """Neither the order of the discs nor one that lies inside another changes the fit."""
    discs, demands = TRIALS["openings on both sides"]
    outline = fitted(discs, demands)
    assert fit([*reversed(discs), replace(discs[0], radius=1.0)], demands) == outline


def test_nothing_to_fit_to():
    """Without a pit there is nothing to fit to, and the fit says so."""
    with pytest.raises(ValueError, match="at least one pit"):
        fit([], USUAL)


@pytest.mark.parametrize(
    "discs", [pits(12), pits(21, 48), [*pits(60, 72), Disc(-70, 80, 5)], pits(60, radius=70)]
)
def test_no_marking_by_brute_force(discs):
    """Where the fit finds nothing, the best of all markings still breaks a constraint."""
    assert fit(discs, USUAL) is None
    best = most_slack(lambda markings: markings.slack(discs, USUAL), discs, USUAL)
    assert best < -0.1


@pytest.mark.parametrize("start", range(0, 200, 25))
def test_generated_cases(start):
    """On generated cases every constraint holds to 0.01 mm and no random feasible neighbour is
    smaller.
    """
    chance = np.random.default_rng(start)
    plans = generated_plans(start, start + 25)
    feasible = [planned for planned in plans if planned.fitted.outline is not None]
    assert len(feasible) >= 20
    for planned in feasible:
        outline, discs, demands = _fit_of(planned)
        own = Markings.of(outline)
        assert own.slack(discs, demands, 3000)[0] >= -MOST_BROKEN
        spread = np.repeat([[0.02], [0.3], [4.0]], 40, axis=1)
        near = Markings(
            own.reach + chance.normal(0, 1, 120) * spread.ravel(),
            own.half_length + chance.normal(0, 1, 120) * spread.ravel(),
            own.middle + chance.normal(0, 1, 120) * spread.ravel(),
        )
        fine = near.slack(discs, demands) >= 0
        assert np.all(near.area(demands)[fine] >= outline.area_mm2 * (1 - 1e-4))


def _fit_of(planned: CasePlan) -> tuple[Outline, list[Disc], Demands]:
    outline, case, technique = planned.fitted.outline, planned.case, planned.technique
    assert outline is not None
    taken = opening_discs(case, technique, case.flap_side, planned.fitted.excised_openings)
    return outline, pit_discs(case, technique) + taken, demands_of(technique)


@given(drawn_discs(), strategies.demands())
@examples(40)
def test_constraints_of_any_technique(discs, demands):
    """Whatever the technique, the fitted outline breaks no constraint by 0.01 mm."""
    outline = fit(discs, demands)
    assume(outline is not None)
    assert outline is not None
    assert Markings.of(outline).slack(discs, demands, 3000)[0] >= -MOST_BROKEN


@given(drawn_discs(lowest=180.0), strategies.demands(), st.floats(-30, 50))
@examples(25)
def test_moving_all_findings(discs, demands, by):
    """Far from the verge, findings that move along the midline take the outline with them."""
    outline = fit(discs, demands)
    assume(outline is not None)
    assert outline is not None
    moved = fitted([replace(disc, y=disc.y + by) for disc in discs], demands)
    assert moved.area_mm2 == pytest.approx(outline.area_mm2, rel=1e-6)
    assert moved.widest_level == pytest.approx(outline.widest_level + by, abs=0.01)


@given(drawn_discs(), strategies.demands(), st.floats(0, 60))
@examples(25)
def test_moving_away_from_the_verge(discs, demands, by):
    """Findings that move cranially never need more skin: verge and lowest apex can only let go."""
    outline = fit(discs, demands)
    moved = fit([replace(disc, y=disc.y + by) for disc in discs], demands)
    if outline is not None:
        assert moved is not None
        assert moved.area_mm2 <= outline.area_mm2 * (1 + 1e-4)


@given(drawn_discs(), strategies.demands(), st.floats(0, 3))
@examples(25)
def test_asking_more_never_costs_less(discs, demands, more):
    """A wider margin, or a further pit, never makes the least area smaller."""
    outline = fit(discs, demands)
    wider = fit([replace(disc, radius=disc.radius + more) for disc in discs], demands)
    further = fit([*discs, Disc(0.0, discs[-1].y + 10 * more, 2.0)], demands)
    for asked in (wider, further):
        if asked is not None:
            assert outline is not None
            assert asked.area_mm2 >= outline.area_mm2 * (1 - 1e-4)


@given(drawn_discs(lowest=60.0), strategies.demands(), st.floats(0.5, 2))
@examples(25)
def test_scaling_the_case(discs, demands, factor):
    """Findings and technique s times as large have a marking s times as large [derived]."""
    outline = fit(discs, demands)
    assume(outline is not None)
    assert outline is not None
    names = (
        "offset",
        "caudal_shift",
        "least_reach",
        "greatest_reach",
        "verge_clearance",
        "lowest_apex",
    )
    larger = fitted(
        [Disc(factor * disc.x, factor * disc.y, factor * disc.radius) for disc in discs],
        replace(demands, **{name: factor * getattr(demands, name) for name in names}),
    )
    assert larger.area_mm2 == pytest.approx(factor**2 * outline.area_mm2, rel=3e-4)
    assert larger.reach == pytest.approx(factor * outline.reach, abs=0.1)


def test_a_disc_as_wide_as_the_bend_at_the_widest_level():
    """A disc that touches the lateral edge at the widest level, where the bend takes up all its
    curvature, leaves the fit finite: what it finds covers the disc.
    """
    demands = Demands(20.0, 18.0, 5.0, 60.0, 1.0, 20.0, 0.0)
    discs = [Disc(0.0, 75.0, 4.0), Disc(52.0, 75.0, 4.0)]
    found = fit(discs, demands)
    assert found is not None
    inside = [polygon_distance(polygon(found), disc.x, disc.y) - disc.radius for disc in discs]
    assert min(inside) > -0.01
