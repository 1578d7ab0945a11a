"""Everything that follows from a marking, measured once for rules, figures and items."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.geometry.oracles import MEDIAL, edge_length, polygon, polygon_distance
from tests.strategies import a_case, a_technique, generated_plans, shipped_plans

from offmidline.geometry.closure import StitchRow
from offmidline.geometry.section import Trough
from offmidline.marking import OTHER_SIDE
from offmidline.plan import CasePlan, DepthWindow, Plan, measure, plan_case


def right(planned: CasePlan) -> Plan:
    """The right plan of a case that has one."""
    assert planned.right is not None
    return planned.right


MARKED = a_case(
    pits=[(72, 2), (80, 3), (100, 2)],
    openings=[(80, 30, "right", 4), (80, 60, "right", 6), (72, 10, "left", 4)],
    marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "5 mm"},
)


def shown(planned: CasePlan) -> Plan:
    """The plan that a case shows."""
    assert planned.shown is not None
    return planned.shown


def test_measures_of_a_prescribed_marking():
    """The marking of the outline table, moved up by 72 mm, has the table's measures (BL, L = 120)
    [derived].
    """
    plan = shown(plan_case(MARKED, a_technique()))
    assert plan.midline_covered == pytest.approx((72 - 23.81, 72 + 28.64), abs=0.006)
    shape = polygon(plan.outline)
    for pit in plan.pits:
        distance = polygon_distance(shape, 0.0, pit.at)
        assert pit.margin == pytest.approx(distance - pit.diameter / 2, abs=0.002)
    assert [pit.excised for pit in plan.pits] == [True, True, False]
    assert plan.skin_gap == 50.0
    assert plan.marking.depth == 16.0
    assert plan.base_width == pytest.approx(34.0)
    assert plan.trough_area_mm2 == pytest.approx(50 * 16 - 16**2 / 2)
    assert plan.deep_gap == pytest.approx(math.hypot(45.0, 6.0))
    assert plan.deep_row.stitches == 11
    assert plan.deep_row.spacing == pytest.approx(138.77 / 12, abs=0.005)
    assert plan.superficial_row == plan.deep_row
    assert plan.required_side == "right"
    assert plan.trough == Trough(16.0, 45.0, 90.0)


def test_measures_of_the_openings():
    """Each opening keeps its place as found and gets a place, margin and gap in the marking's
    frame.
    """
    plan = shown(plan_case(MARKED, a_technique()))
    shape = polygon(plan.outline)
    for opening, x in zip(plan.openings, (30.0, 60.0, -10.0), strict=True):
        distance = polygon_distance(shape, x, opening.at)
        assert opening.x == x
        assert opening.lateral == abs(x)
        assert opening.margin == pytest.approx(distance - opening.diameter / 2, abs=0.002)
        assert opening.gap == pytest.approx(-distance - opening.diameter / 2, abs=0.002)
    assert [opening.decision for opening in plan.openings] == ["excise", "leave", "excise"]
    assert [opening.side for opening in plan.openings] == ["right", "right", "left"]


def test_marking_on_the_other_side():
    """The same outline on the other side sees every opening mirrored."""
    plan = right(plan_case(MARKED, a_technique()))
    other = measure(
        plan.case, plan.technique, replace(plan.marking, side=OTHER_SIDE[plan.marking.side])
    )
    assert [opening.x for opening in other.openings] == [-opening.x for opening in plan.openings]
    assert other.pits == plan.pits
    assert other.required_side == "right"


@pytest.mark.parametrize(
    ("cavity", "fascia", "window"),
    [("14 mm", "24 mm", DepthWindow(16.0, 24.0)), ("23 mm", "24 mm", DepthWindow(24.0, 24.0))],
)
def test_depth_window(cavity, fascia, window):
    """The depth may lie between the cavity with its clearance and the fascia, which never gives
    way.
    """
    case = a_case(findings={"cavity_depth": cavity, "fascia_depth": fascia})
    assert right(plan_case(case, a_technique())).depth_window == window


def test_dose_needs_a_weight_and_an_infiltration():
    """Without an infiltration, or without a weight, there is no dose to judge."""
    infiltration = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}
    nobody = {"age": "30 years", "sex": "female"}
    assert shown(plan_case(a_case(), a_technique())).dose is None
    weightless = a_case(infiltration=infiltration, patient=nobody)
    assert shown(plan_case(weightless, a_technique())).dose is None
    dose = shown(plan_case(a_case(infiltration=infiltration), a_technique())).dose
    assert dose is not None
    assert (dose.dose_mg, dose.limit_mg, dose.limited_by) == (120.0, 200.0, "fixed")


def test_prescription_is_shown_beside_what_is_right():
    """A prescribed marking is what a case shows; the fitted one stays the right one."""
    planned = plan_case(MARKED, a_technique())
    assert shown(planned).outline.caudal_apex == 12.0
    assert right(planned).outline == planned.fitted.outline
    assert planned.conflicts == ()
    plain = plan_case(a_case(), a_technique())
    assert plain.shown == plain.right


def test_pit_on_the_rim():
    """A pit that just stays inside the outline is excised, one that is just cut by it is not."""
    case = a_case(
        pits=[(72, 9.98), (72, 10.02)],
        marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "5 mm"},
    )
    pits = shown(plan_case(case, a_technique())).pits
    assert [pit.margin for pit in pits] == pytest.approx([0.01, -0.01])
    assert [pit.excised for pit in pits] == [True, False]


@pytest.mark.parametrize("start", [0, 50, 100, 150])
def test_plans_hang_together(start):
    """On generated cases all measures of a plan agree with second routes and with each other."""
    for planned in generated_plans(start, start + 8):
        if planned.right is None:
            continue
        plan = planned.right
        shape = polygon(plan.outline, 3000)
        assert plan.verge_clearance == pytest.approx(-polygon_distance(shape, 0, 0), abs=0.005)
        edge = edge_length(plan.outline, MEDIAL)
        for row in (plan.deep_row, plan.superficial_row):
            assert row.spacing * (row.stitches + 1) == pytest.approx(edge, abs=1e-6)
        assert isinstance(plan.deep_row, StitchRow)
        assert plan.skin_gap == 2 * plan.outline.half_width
        assert 0 < plan.base_width < plan.skin_gap
        assert plan.trough_area_mm2 == pytest.approx(
            plan.marking.depth * (plan.skin_gap + plan.base_width) / 2
        )
        assert plan.volume_ml < plan.outline.area_mm2 * plan.marking.depth / 1000
        window = plan.depth_window
        assert window.least <= plan.marking.depth <= window.greatest


def test_cases_cover_what_the_handbook_needs():
    """The shipped cases show both sides, openings left alone, prescribed markings and one without
    any.
    """
    plans = [planned for planned in shipped_plans() if planned.shown is not None]
    assert {shown(planned).marking.side for planned in plans} == {"left", "right"}
    decisions = {opening.decision for planned in plans for opening in shown(planned).openings}
    assert decisions == {"excise", "leave"}
    assert any(planned.shown != planned.right for planned in plans)


def test_another_technique_moves_everything():
    """Under another technique the same case gets another outline: nothing is held in the code."""
    near = right(
        plan_case(a_case(), a_technique(offset="15 mm", caudal_shift="5 mm", reach="8 mm"))
    )
    assert (near.outline.offset, near.outline.caudal_shift) == (15.0, 5.0)
    assert near.outline.half_width == 23.0
