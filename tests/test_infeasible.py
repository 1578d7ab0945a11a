"""Where no marking satisfies the technique: which constraints conflict, and how near each
can come.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from tests.geometry.oracles import Array, Markings, most_slack
from tests.strategies import a_case, a_technique, library, shipped_plans

from offmidline import infeasible
from offmidline.geometry.fit import Demands, Disc, fit
from offmidline.infeasible import Conflict
from offmidline.marking import demands, opening_discs, pit_discs
from offmidline.plan import CasePlan, plan_case

# How far (mm, or in the ratio) to either side of the nearest miss the answer must have turned.
TURN = 0.05


@lru_cache(maxsize=16)
def planned(name: str) -> CasePlan:
    """One of the plans without a marking."""
    low = a_case(pits=[(12, 2)])
    long = a_case(pits=[(30, 2), (110, 2)])
    beside = a_case(pits=[(50, 2)], openings=[(34, 8, "left", 6)])
    return {
        "pit at 12 mm": lambda: plan_case(low, a_technique()),
        "long and low": lambda: plan_case(long, a_technique()),
        "low opening": lambda: plan_case(beside, a_technique()),
        "high lowest apex": lambda: plan_case(
            a_case(pits=[(40, 2), (50, 2)]),
            a_technique(lowest_apex="30 mm", verge_clearance="0 mm"),
        ),
        "slender": lambda: plan_case(a_case(pits=[(50, 2)]), a_technique(length_to_width="3.5")),
        # Here neither the least reach nor the greatest comes nearest.
        "very slender, much bent": lambda: plan_case(
            a_case(pits=[(40, 2)]), a_technique(length_to_width="5", caudal_shift="18 mm")
        ),
    }[name]()


CONFLICTS = [
    ("pit at 12 mm", "pit_margin"),
    ("pit at 12 mm", "verge_clearance"),
    ("pit at 12 mm", "lowest_apex"),
    ("long and low", "pit_margin"),
    ("long and low", "verge_clearance"),
    ("long and low", "lowest_apex"),
    ("long and low", "length_to_width"),
    ("low opening", "opening_margin"),
    ("low opening", "verge_clearance"),
    ("low opening", "lowest_apex"),
    ("low opening", "length_to_width"),
    ("high lowest apex", "pit_margin"),
    ("high lowest apex", "lowest_apex"),
    ("slender", "pit_margin"),
    ("slender", "lowest_apex"),
    ("slender", "length_to_width"),
    ("very slender, much bent", "pit_margin"),
    ("very slender, much bent", "lowest_apex"),
]


def conflict(name: str, constraint: str) -> Conflict:
    """One conflict of a plan."""
    return next(found for found in planned(name).conflicts if found.constraint == constraint)


@pytest.mark.parametrize(("name", "constraint"), CONFLICTS)
def test_nearest_miss(name, constraint):
    """Giving up slightly more than the miss makes the case possible, slightly less does not.

    The margin's miss keeps everything else; the misses of verge and apex set each other aside.
    """
    found = conflict(name, constraint)
    assert found.nearest is not None
    assert found.nearest < found.required
    assert _possible(name, constraint, found.nearest - TURN)
    assert not _possible(name, constraint, found.nearest + TURN)


def _possible(name: str, constraint: str, allowed: float) -> bool:
    """Whether a marking exists once a constraint is given up as far as ``allowed``."""
    pits, openings, asked = _parts(planned(name))
    shortfall = conflict(name, constraint).required - allowed
    if constraint == "pit_margin":
        pits = [replace(disc, radius=disc.radius - shortfall) for disc in pits]
    elif constraint == "opening_margin":
        openings = [replace(disc, radius=disc.radius - shortfall) for disc in openings]
    elif constraint == "verge_clearance":
        asked = replace(asked, verge_clearance=allowed, lowest_apex=-1000.0)
    elif constraint == "lowest_apex":
        asked = replace(asked, verge_clearance=0.0, lowest_apex=allowed)
    else:
        asked = replace(asked, length_to_width=max(1.0, allowed))
    outline = fit([*pits, *openings], asked)
    if outline is None:
        return False
    # What the fit found is real: an independent polygon agrees.
    own = Markings.of(outline).slack([*pits, *openings], replace(asked, verge_clearance=-1000.0))
    return bool(own[0] > -0.01)


def _parts(plan: CasePlan) -> tuple[list[Disc], list[Disc], Demands]:
    case, asked = plan.case, demands(plan.technique)
    taken = opening_discs(case, plan.technique, case.flap_side, plan.fitted.excised_openings)
    return pit_discs(case, plan.technique), taken, asked


@pytest.mark.parametrize("name", ["pit at 12 mm", "long and low", "low opening"])
def test_no_better_by_brute_force(name):
    """No covering marking that brute force finds keeps further from the verge, or ends higher, than
    is said.
    """
    pits, openings, asked = _parts(planned(name))
    discs = [*pits, *openings]
    anywhere = replace(asked, verge_clearance=-1e6, lowest_apex=-1e6)

    def clearance(markings: Markings) -> Array:
        covered = markings.slack(discs, anywhere, 96)
        reached = -markings.signed_distance(asked, 0.0, 0.0, 96)
        return np.asarray(np.where(covered < 0, -500 + 100 * covered, reached))

    def apex(markings: Markings) -> Array:
        covered = markings.slack(discs, anywhere, 96)
        reached = markings.middle - markings.half_length
        return np.asarray(np.where(covered < 0, -500 + 100 * covered, reached))

    for constraint, measure in (("verge_clearance", clearance), ("lowest_apex", apex)):
        nearest = conflict(name, constraint).nearest
        assert nearest is not None
        best = most_slack(measure, discs, asked)
        assert nearest - 6.0 < best <= nearest + 0.1


def test_openings_give_way_to_the_pits():
    """While an opening's margin is given up, the pits keep theirs."""
    narrow = replace(demands(a_technique()), greatest_reach=8.0)
    opening, pits = Disc(-2.0, 45.0, 6.0), [Disc(0.0, level, 4.0) for level in (70.0, 88.0)]
    found = infeasible._margin_conflict("opening_margin", [opening], pits, narrow, 3.0, 45.0)
    assert found.nearest is not None
    for allowed, possible in ((found.nearest - TURN, True), (found.nearest + TURN, False)):
        given_up = replace(opening, radius=opening.radius - 3.0 + allowed)
        assert (fit([given_up, *pits], narrow) is not None) == possible


def test_which_constraints_are_named():
    """The margin comes first, with the lowest pit or opening, then only what is out of reach."""
    names = {
        name: [found.constraint for found in planned(name).conflicts]
        for name in ("pit at 12 mm", "low opening", "high lowest apex", "slender")
    }
    assert names == {
        "pit at 12 mm": ["pit_margin", "verge_clearance", "lowest_apex"],
        "low opening": ["opening_margin", "verge_clearance", "lowest_apex", "length_to_width"],
        "high lowest apex": ["pit_margin", "lowest_apex", "length_to_width"],
        "slender": ["pit_margin", "lowest_apex", "length_to_width"],
    }
    assert conflict("long and low", "pit_margin").at == 30.0
    assert conflict("low opening", "opening_margin").at == 34.0
    assert conflict("pit at 12 mm", "verge_clearance").at is None
    assert conflict("pit at 12 mm", "pit_margin").required == 3.0


def test_plan_without_a_marking():
    """A case without a marking is planned all the same: nothing to show, nothing right, conflicts
    to teach.
    """
    plan = planned("pit at 12 mm")
    assert plan.shown is None
    assert plan.right is None
    assert plan.fitted.outline is None
    assert plan.conflicts


def test_shipped_case_without_a_marking():
    """One shipped case has a pit too low for any marking, and every other has none of its
    conflicts.
    """
    without = [plan.case.case for plan in shipped_plans() if plan.right is None]
    assert len(without) == 1
    for plan in shipped_plans():
        assert bool(plan.conflicts) == (plan.right is None)
    lowest = min(pit.at for case in library().cases for pit in case.findings.pits)
    case = next(case for case in library().cases if case.case == without[0])
    assert min(pit.at for pit in case.findings.pits) == lowest


def test_prescribed_marking_where_none_fits():
    """A prescribed marking is shown even where none would be right, and the conflicts stand beside
    it.
    """
    marking = {"cranial_apex": "110 mm", "caudal_apex": "5 mm", "reach": "5 mm"}
    plan = plan_case(a_case(pits=[(12, 2), (60, 2)], marking=marking), a_technique())
    assert plan.right is None
    assert plan.shown is not None
    assert plan.shown.outline.cranial_apex == 110.0
    assert plan.conflicts


def test_disease_as_long_as_the_cleft():
    """Pits from one end of the cleft to the other are explained like any other, without a numeric
    warning.
    """
    plan = plan_case(a_case(pits=[(26.93, 1), (239.78, 2)]), a_technique())
    assert plan.right is None
    assert plan.conflicts[0].constraint == "pit_margin"
