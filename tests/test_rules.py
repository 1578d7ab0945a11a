"""Every rule: what it reads off a plan, what it asks, and where it turns."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.strategies import a_case, a_technique, library, shipped_plans

from offmidline import messages, rules
from offmidline.mistakes import MISTAKES
from offmidline.plan import Plan, measure, plan_case
from offmidline.records import Technique
from offmidline.rules import RULES, Requirement, Verdict, broken, judge

RIGHT = {"cranial_apex": "128 mm", "caudal_apex": "28 mm", "reach": "5 mm"}
INFILTRATED = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}
LIGHT = {"age": "30 years", "sex": "female", "weight": "50 kg"}

# The setting whose source and status each rule carries, and the unit in which it measures.
STANDINGS = {
    rules.SIDE: ("", ""),
    rules.OFFSET: ("offset", "mm"),
    rules.CAUDAL_SHIFT: ("caudal_shift", "mm"),
    rules.REACH: ("reach", "mm"),
    rules.SYMMETRIC_WIDTH: ("offset", "mm"),
    rules.LENGTH_TO_WIDTH: ("length_to_width", ""),
    rules.PITS_COVERED: ("pit_margin", "mm"),
    rules.NEAR_OPENINGS_EXCISED: ("opening_margin", "mm"),
    rules.DISTANT_OPENINGS_LEFT: ("near_opening", "mm"),
    rules.SCAR_OFF_MIDLINE: ("offset", "mm"),
    rules.SCAR_PROLONGATION: ("verge_clearance", "mm"),
    rules.VERGE_CLEARANCE: ("verge_clearance", "mm"),
    rules.DEPTH: ("clearance_below_cavity", "mm"),
    rules.LATERAL_CUT: ("lateral_cut_deg", "deg"),
    rules.MEDIAL_CUT: ("medial_cut_deg", "deg"),
    rules.FLAP_THICKNESS: ("flap_thickness", "mm"),
    rules.UNDERMINING: ("undermining", "mm"),
    rules.DEEP_SPACING: ("deep_spacing", "mm"),
    rules.INFILTRATION_DOSE: ("", "mg"),
}


def plan_of(by: Technique | None = None, **parts: Any) -> Plan:
    """What a crafted case shows: a right marking of 100 x 50 mm around a pit at its widest
    level.
    """
    parts = {"pits": [(78, 2)], "marking": RIGHT, "infiltration": INFILTRATED, **parts}
    shown = plan_case(a_case(**parts), by or a_technique()).shown
    assert shown is not None
    return shown


def verdict(plan: Plan, rule: str) -> Verdict:
    """One rule's verdict."""
    return next(found for found in judge(plan) if found.rule == rule)


def marked(**changes: str) -> dict[str, str]:
    """The right marking with changes."""
    return {**RIGHT, **changes}


def test_right_marking_meets_every_rule():
    """The crafted right marking breaks nothing, and only rules without an opening do not apply."""
    outcomes = {found.rule: found.verdict for found in judge(plan_of())}
    absent = {rules.NEAR_OPENINGS_EXCISED, rules.DISTANT_OPENINGS_LEFT}
    assert {rule for rule, outcome in outcomes.items() if outcome == "not applicable"} == absent
    assert "not met" not in outcomes.values()
    assert broken(plan_of()) == frozenset()


# Rule, parts of the case that just meet it, parts that just do not, measured there, required.
TURNS: list[tuple[str, dict[str, Any], dict[str, Any], Any, Any]] = [
    (
        rules.SIDE,
        {"marking": marked(side="right")},
        {"marking": marked(side="left")},
        "left",
        Requirement("is", "right"),
    ),
    (
        rules.OFFSET,
        {"marking": marked(offset="21 mm")},
        {"marking": marked(offset="21.1 mm")},
        21.1,
        Requirement("is", 20.0, tolerance=1.0),
    ),
    (
        rules.OFFSET,
        {"marking": marked(offset="19 mm")},
        {"marking": marked(offset="18.9 mm")},
        18.9,
        Requirement("is", 20.0, tolerance=1.0),
    ),
    (
        rules.CAUDAL_SHIFT,
        {"marking": marked(caudal_shift="11 mm")},
        {"marking": marked(caudal_shift="11.1 mm")},
        11.1,
        Requirement("is", 10.0, tolerance=1.0),
    ),
    (
        rules.CAUDAL_SHIFT,
        {"marking": marked(caudal_shift="9 mm")},
        {"marking": marked(caudal_shift="-10 mm")},
        -10.0,
        Requirement("is", 10.0, tolerance=1.0),
    ),
    (
        rules.REACH,
        {"marking": marked(reach="5 mm")},
        {"marking": marked(reach="4.98 mm")},
        4.98,
        Requirement("at least", 5.0),
    ),
    (
        rules.SYMMETRIC_WIDTH,
        {"marking": marked(offset="20.5 mm")},
        {"marking": marked(offset="20.6 mm")},
        -1.2,
        Requirement("is", 0.0, tolerance=1.0),
    ),
    (
        rules.LENGTH_TO_WIDTH,
        {"marking": marked(caudal_apex="28 mm")},
        {"marking": marked(caudal_apex="28.6 mm")},
        1.988,
        Requirement("at least", 2.0),
    ),
    (
        rules.PITS_COVERED,
        {"pits": [(78, 4)]},
        {"pits": [(78, 4.1)]},
        2.95,
        Requirement("at least", 3.0),
    ),
    (
        rules.SCAR_OFF_MIDLINE,
        {"marking": marked(caudal_shift="-19.9 mm")},
        {"marking": marked(caudal_shift="-20 mm")},
        0.0,
        Requirement("above", 0.0),
    ),
    (
        rules.SCAR_PROLONGATION,
        {"marking": marked(caudal_shift="0 mm")},
        {"marking": marked(caudal_shift="-0.1 mm")},
        19.788,
        Requirement("at least", 20.0),
    ),
    (
        rules.DEPTH,
        {"section": {"depth": "16 mm"}},
        {"section": {"depth": "15.9 mm"}},
        15.9,
        Requirement("between", 16.0, 24.0),
    ),
    (
        rules.DEPTH,
        {"section": {"depth": "24 mm"}},
        {"section": {"depth": "24.1 mm"}},
        24.1,
        Requirement("between", 16.0, 24.0),
    ),
    (
        rules.LATERAL_CUT,
        {"section": {"lateral_cut": "50 deg"}},
        {"section": {"lateral_cut": "50.1 deg"}},
        50.1,
        Requirement("is", 45.0, tolerance=5.0),
    ),
    (
        rules.MEDIAL_CUT,
        {"section": {"medial_cut": "85 deg"}},
        {"section": {"medial_cut": "84.9 deg"}},
        84.9,
        Requirement("is", 90.0, tolerance=5.0),
    ),
    (
        rules.FLAP_THICKNESS,
        {"section": {"flap_thickness": "10 mm"}},
        {"section": {"flap_thickness": "9.9 mm"}},
        9.9,
        Requirement("at least", 10.0),
    ),
    (
        rules.UNDERMINING,
        {"section": {"undermining": "20 mm"}},
        {"section": {"undermining": "19.9 mm"}},
        19.9,
        Requirement("at least", 20.0),
    ),
    (
        rules.DEEP_SPACING,
        {"closure": {"deep_stitches": "10"}},
        {"closure": {"deep_stitches": "9"}},
        12.183,
        Requirement("at most", 12.0),
    ),
    (
        rules.INFILTRATION_DOSE,
        {"infiltration": {**INFILTRATED, "volume": "100 ml"}},
        {"infiltration": {**INFILTRATED, "volume": "100.1 ml"}},
        200.2,
        Requirement("at most", 200.0),
    ),
    (
        rules.INFILTRATION_DOSE,
        {"patient": LIGHT, "infiltration": {**INFILTRATED, "volume": "75 ml"}},
        {"patient": LIGHT, "infiltration": {**INFILTRATED, "volume": "75.1 ml"}},
        150.2,
        Requirement("at most", 150.0),
    ),
]


@pytest.mark.parametrize(("rule", "meets", "breaks", "measured", "required"), TURNS)
def test_where_a_rule_turns(rule, meets, breaks, measured, required):
    """Just inside what it asks a rule is met, just outside it is not, and it says what it
    measured.
    """
    assert verdict(plan_of(**meets), rule).verdict == "met"
    found = verdict(plan_of(**breaks), rule)
    assert found.verdict == "not met"
    if isinstance(measured, float):
        measured = pytest.approx(measured, abs=6e-4)
    assert found.measured == measured
    assert found.required == required


def test_the_worst_pit_counts():
    """Of several pits the one with the least margin is measured."""
    found = verdict(plan_of(pits=[(78, 2), (98, 2), (80, 2)]), rules.PITS_COVERED)
    assert found.verdict == "not met"
    assert found.measured == pytest.approx(0.62, abs=0.01)  # 1.62 at y = 20, L = 100 [derived]


def opened(*openings: tuple[float, float, str, float], **parts: Any) -> Plan:
    """A crafted marking with openings; near and distant are told from the fit to the pit."""
    return plan_of(openings=openings, **parts)


def test_near_openings():
    """A near opening has to lie inside with its margin; the least margin of them counts."""
    inside, outside = (78, 20, "right", 4), (78, 46, "right", 4)
    met = verdict(opened(inside), rules.NEAR_OPENINGS_EXCISED)
    assert met.verdict == "met"
    missed = verdict(opened(inside, outside), rules.NEAR_OPENINGS_EXCISED)
    assert missed.verdict == "not met"
    assert missed.measured == pytest.approx(45.0 - 46.0 - 2.0, abs=0.02)
    assert missed.required == Requirement("at least", 3.0)


def test_distant_openings():
    """A distant opening has to lie outside; the nearest of them counts, and a touch is too much."""
    far, farther = (78, 60, "right", 4), (78, 80, "right", 4)
    left = verdict(opened(far, farther), rules.DISTANT_OPENINGS_LEFT)
    assert left.verdict == "met"
    assert left.measured == pytest.approx(60.0 - 45.0 - 2.0, abs=0.02)
    wide = marked(reach="40 mm", cranial_apex="200 mm")
    chased = verdict(opened(far, farther, marking=wide), rules.DISTANT_OPENINGS_LEFT)
    assert chased.verdict == "not met"
    assert chased.required == Requirement("above", 0.0)


def test_verge_clearance():
    """The clearance is the plan's; it turns where the technique asks for just more than
    there is.
    """
    clearance = plan_of().verge_clearance
    asked = {
        more: verdict(
            plan_of(a_technique(verge_clearance=f"{clearance + more} mm")), rules.VERGE_CLEARANCE
        )
        for more in (-1.0, 0.005, 0.02)
    }
    outcomes = [found.verdict for found in asked.values()]
    assert outcomes == ["met", "met", "not met"]
    assert all(found.measured == clearance for found in asked.values())


def test_not_applicable():
    """Without openings or a dose their rules do not apply, and measure nothing."""
    plan = plan_of(infiltration=None)
    for rule in (
        rules.NEAR_OPENINGS_EXCISED,
        rules.DISTANT_OPENINGS_LEFT,
        rules.INFILTRATION_DOSE,
    ):
        found = verdict(plan, rule)
        assert (found.verdict, found.measured, found.required) == ("not applicable", None, None)
    assert verdict(opened((78, 20, "right", 4)), rules.DISTANT_OPENINGS_LEFT).verdict == (
        "not applicable"
    )
    assert verdict(opened((78, 60, "right", 4)), rules.NEAR_OPENINGS_EXCISED).verdict == (
        "not applicable"
    )


@pytest.mark.parametrize(
    ("setting", "value", "rule", "asked"),
    [
        ("offset", "22 mm", rules.OFFSET, 22.0),
        ("caudal_shift", "8 mm", rules.CAUDAL_SHIFT, 8.0),
        ("reach", "7 mm", rules.REACH, 7.0),
        ("length_to_width", "2.5", rules.LENGTH_TO_WIDTH, 2.5),
        ("pit_margin", "2 mm", rules.PITS_COVERED, 2.0),
        ("opening_margin", "5 mm", rules.NEAR_OPENINGS_EXCISED, 5.0),
        ("verge_clearance", "25 mm", rules.VERGE_CLEARANCE, 25.0),
        ("verge_clearance", "12 mm", rules.SCAR_PROLONGATION, 12.0),
        ("verge_clearance", "35 mm", rules.SCAR_PROLONGATION, 20.0),
        ("clearance_below_cavity", "4 mm", rules.DEPTH, 18.0),
        ("lateral_cut", "60 deg", rules.LATERAL_CUT, 60.0),
        ("medial_cut", "80 deg", rules.MEDIAL_CUT, 80.0),
        ("flap_thickness", "8 mm", rules.FLAP_THICKNESS, 8.0),
        ("undermining", "15 mm", rules.UNDERMINING, 15.0),
        ("deep_spacing", "9 mm", rules.DEEP_SPACING, 9.0),
    ],
)
def test_what_a_rule_asks_comes_from_the_technique(setting, value, rule, asked):
    """Another value in the technique is another requirement of the rule that stands on it."""
    plan = plan_of(a_technique(**{setting: value}), openings=[(78, 20, "right", 4)])
    found = verdict(plan, rule)
    assert found.required is not None
    assert found.required.value == asked


def test_flap_of_a_shallow_wound_meets_its_rule():
    """From a shallow wound no thicker flap is asked than its wall is high."""
    shallow = plan_of(findings={"cavity_depth": "4 mm", "fascia_depth": "20 mm"})
    found = verdict(shallow, rules.FLAP_THICKNESS)
    assert found.required == Requirement("at least", 6.0)
    assert found.verdict == "met"


@pytest.mark.parametrize(
    ("requirement", "fine", "wrong"),
    [
        (Requirement("is", 10.0, tolerance=1.0), (9.0, 10.0, 11.0), (8.99, 11.01)),
        (Requirement("at least", 10.0), (9.99, 10.0, 50.0), (9.98, 0.0)),
        (Requirement("at most", 10.0), (10.01, 10.0, -5.0), (10.02, 50.0)),
        (Requirement("between", 10.0, 20.0), (9.99, 15.0, 20.01), (9.98, 20.02)),
        (Requirement("above", 0.0), (0.001, 5.0), (0.0, -0.001)),
        (Requirement("is", "left"), ("left",), ("right",)),
    ],
)
def test_comparisons(requirement, fine, wrong):
    """Each comparison turns at its value, give or take its tolerance."""
    assert all(requirement.met_by(measured) for measured in fine)
    assert not any(requirement.met_by(measured) for measured in wrong)


def test_standing_of_a_verdict():
    """A verdict carries the words of its rule, and status and source of the setting it
    stands on.
    """
    plan = plan_of()
    for rule, found in zip(RULES, judge(plan), strict=True):
        words = messages.section(f"rules.{rule.rule}")
        name, unit = STANDINGS[rule.rule]
        assert (found.rule, found.unit, rule.setting) == (rule.rule, unit, name)
        assert (found.title, found.why) == (words["title"], words["why"])
        if name:
            setting = getattr(plan.technique.dimensions, name)
            assert (found.status, found.source) == (setting.status, setting.source)
    agent = plan.technique.infiltration["ropivacaine"]
    dose = verdict(plan, rules.INFILTRATION_DOSE)
    assert (dose.status, dose.source) == (agent.status, agent.source)
    side = verdict(plan, rules.SIDE)
    assert (side.status, side.source) == ("common practice", ())


def test_every_source_exists():
    """Every source that a verdict names is in the list of sources; what is sourced names one."""
    known = library().sources
    for planned in shipped_plans():
        if planned.shown is None:
            continue
        for found in judge(planned.shown):
            assert set(found.source) <= set(known)
            assert found.source or found.status != "sourced"


def test_rules_and_words_agree():
    """Every rule has a title and a reason of its own, and there are no words without a rule."""
    names = [rule.rule for rule in RULES]
    words = messages.section("rules")
    assert len(set(names)) == len(names)
    assert set(words) == set(names)
    for texts in words.values():
        assert set(texts) == {"title", "why"}
        assert all(text.strip() for text in texts.values())
    assert len({texts["title"] for texts in words.values()}) == len(names)


def test_every_rule_can_be_broken_and_met():
    """On the shipped cases every rule is met by some marking and broken by some mistake or
    prescription.
    """
    plans = [planned for planned in shipped_plans() if planned.right is not None]
    wrong = [mistake.apply(planned) for planned in plans for mistake in MISTAKES]
    wrong.append(plan_of(section={"depth": "10 mm"}))
    outcomes = {
        outcome: {
            found.rule
            for plan in (*wrong, *(planned.shown for planned in plans))
            if plan is not None
            for found in judge(plan)
            if found.verdict == outcome
        }
        for outcome in ("met", "not met")
    }
    every = {rule.rule for rule in RULES}
    assert outcomes["met"] == every
    assert outcomes["not met"] == every


def test_right_markings_of_other_techniques_break_nothing():
    """Under other techniques too, the right marking breaks no rule of its technique."""
    others = (
        a_technique(offset="15 mm", caudal_shift="15 mm", length_to_width="1.5"),
        a_technique(offset="25 mm", caudal_shift="0 mm", reach="8 mm", length_to_width="3"),
        a_technique(reach="3 mm", pit_margin="5 mm", verge_clearance="10 mm", lowest_apex="10 mm"),
        a_technique(lateral_cut="110 deg", medial_cut="70 deg", flap_thickness="25 mm"),
    )
    openings = [(95, 33, "right", 4), (88, 9, "left", 3), (130, 60, "right", 5)]
    for other in others:
        for case in (a_case(), a_case(pits=[(70, 2), (95, 3)], openings=openings)):
            right = plan_case(case, other).right
            assert right is not None
            assert broken(right) == frozenset()


def test_measuring_again_changes_nothing():
    """A plan is a function of case, technique and marking."""
    plan = plan_of(openings=[(78, 20, "right", 4)])
    assert measure(plan.case, plan.technique, replace(plan.marking)) == plan
