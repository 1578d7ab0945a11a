"""A case as an exercise: what the page is given, and how a learner's marking is judged."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from functools import lru_cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import a_case, a_technique, examples, generated_plans, shipped_plans

from offmidline import rules
from offmidline.exercise import (
    ALL_RULES,
    SECTION_RULES,
    SURFACE_RULES,
    Judged,
    exercise_data,
    judge_answer,
    weights,
)
from offmidline.geometry.outline import Outline
from offmidline.marking import Marking
from offmidline.mistakes import MISTAKES, wrong_plans
from offmidline.plan import CasePlan, plan_case
from offmidline.records import Technique
from offmidline.rules import RULES

# One opening to be taken and one to be left.
BOTH = [(80.0, 46.0, "right", 4.0), (95.0, 62.0, "right", 4.0)]


def planned(by: Technique | None = None, **parts: Any) -> CasePlan:
    """The plan of a crafted case."""
    return plan_case(a_case(**parts), by or a_technique())


def weighted(**given_weights: float) -> Technique:
    """The usual technique with weights of its own."""
    named = {name.replace("_", "-"): weight for name, weight in given_weights.items()}
    return a_technique().model_copy(update={"weights": named})


@lru_cache(maxsize=1)
def two_openings() -> CasePlan:
    """The plan of a case with an opening to be taken and one to be left."""
    return planned(openings=BOTH)


def right(plan: CasePlan) -> Marking:
    """The right marking of a case that has one."""
    assert plan.right is not None
    return plan.right.marking


def with_lines(plan: CasePlan, **lines: float) -> Marking:
    """The right marking with other lines."""
    return replace(right(plan), outline=replace(right(plan).outline, **lines))


def not_met(judged: Judged) -> set[str]:
    """Ids of the rules that a judgement finds broken."""
    return {verdict.rule for verdict in judged.verdicts if verdict.verdict == "not met"}


def exercises() -> list[CasePlan]:
    """Shipped and generated cases that can be asked."""
    return [plan for plan in (*shipped_plans(), *generated_plans(0, 10)) if plan.right is not None]


def test_every_rule_belongs_to_one_exercise():
    """Surface and section share no rule, and leave out only the dose, which is not drawn."""
    every = [rule.rule for rule in RULES]
    assert sorted([*SURFACE_RULES, *SECTION_RULES, rules.INFILTRATION_DOSE]) == sorted(every)
    for mistake in MISTAKES:
        touched = mistake.breaks | mistake.may_break
        parts = [SURFACE_RULES, SECTION_RULES, frozenset({rules.INFILTRATION_DOSE})]
        assert any(touched <= part for part in parts), mistake.mistake


def test_the_right_marking_scores_full():
    """The right marking breaks nothing, whichever rules are asked for."""
    for plan in exercises():
        for asked in (ALL_RULES, SURFACE_RULES, SECTION_RULES):
            judged = judge_answer(plan, right(plan), asked)
            assert judged.points == judged.most > 0
            assert judged.mistake is None
            assert {verdict.rule for verdict in judged.verdicts} == asked


def test_a_mistake_is_named_and_costs_what_it_breaks():
    """Every mistake that applies to a case is named, alone or among the rules of its part."""
    seen = set()
    for plan in exercises():
        weigh = weights(plan.technique)
        for mistake in MISTAKES:
            made = wrong_plans(plan).get(mistake.mistake)
            if made is None or mistake.breaks == {rules.INFILTRATION_DOSE}:
                continue
            seen.add(mistake.mistake)
            part = SURFACE_RULES if mistake.breaks <= SURFACE_RULES else SECTION_RULES
            for asked in (ALL_RULES, part):
                judged = judge_answer(plan, made.marking, asked)
                assert judged.mistake == mistake.mistake, plan.case.case
                lost = sum(weigh[rule] for rule in not_met(judged))
                assert judged.most - judged.points == pytest.approx(lost)
                assert not_met(judged) == rules.broken(made)
    assert len(seen) == len(MISTAKES) - 2


def test_rules_that_are_not_asked_for_do_not_count():
    """A wrong section costs nothing in the exercise on the surface, and the other way round."""
    plan = planned()
    section = replace(right(plan), flap_thickness=1.0)
    surface = with_lines(plan, caudal_shift=0.0)
    for marking, asked in ((section, SURFACE_RULES), (surface, SECTION_RULES)):
        judged = judge_answer(plan, marking, asked)
        assert judged.points == judged.most
        assert judged.mistake is None


def test_points_are_the_weights_of_the_rules_that_are_met():
    """By hand: 12 rules of the surface, two of them about openings that this case has not."""
    plan = planned(weighted(side=3.0, caudal_shift=2.5))
    judged = judge_answer(plan, replace(right(plan), side="left"), SURFACE_RULES)
    assert (judged.points, judged.most) == (8 * 1 + 2.5, 8 * 1 + 2.5 + 3)
    assert judged.mistake == "wrong-side"


def test_a_technique_without_weights_counts_every_rule_once():
    """A weight that is not given is 1."""
    plan = planned(weighted())
    assert set(weights(plan.technique).values()) == {1.0}
    assert list(weights(plan.technique)) == [rule.rule for rule in RULES]
    judged = judge_answer(plan, right(plan), SECTION_RULES)
    assert judged.points == judged.most == len(SECTION_RULES)


def test_an_opening_that_is_not_ticked_is_missed():
    """The line takes it, but the learner would leave it: the distance that was measured stays."""
    plan = planned(openings=BOTH)
    assert right(plan).excised_openings == {0}
    judged = judge_answer(plan, replace(right(plan), excised_openings=frozenset()))
    assert not_met(judged) == {rules.NEAR_OPENINGS_EXCISED}
    assert judged.mistake == "near-opening-missed"
    verdict = next(v for v in judged.verdicts if v.rule == rules.NEAR_OPENINGS_EXCISED)
    assert verdict.measured == judged.plan.openings[0].margin
    assert judged.plan.openings[0].margin >= plan.technique.settings.opening_margin - rules.NOISE


def test_an_opening_that_is_ticked_though_distant_is_chased():
    """The line leaves it, but the learner would take it."""
    plan = planned(openings=BOTH)
    judged = judge_answer(plan, replace(right(plan), excised_openings=frozenset({0, 1})))
    assert not_met(judged) == {rules.DISTANT_OPENINGS_LEFT}
    assert judged.mistake == "distant-opening-chased"
    assert [opening.decision for opening in judged.plan.openings] == ["excise", "leave"]


def test_right_ticks_do_not_mend_a_wrong_line():
    """A near opening that is ticked but not inside the line is missed all the same."""
    plan = planned(openings=BOTH)
    pits_only = plan.fitted.pits_only
    assert pits_only is not None
    judged = judge_answer(plan, right(plan).redrawn(pits_only, plan.technique))
    assert not_met(judged) == {rules.NEAR_OPENINGS_EXCISED}


@pytest.mark.parametrize(
    ("shift", "mistake"),
    [
        (4.0, "caudal-shift-forgotten"),
        (-3.0, "caudal-shift-forgotten"),
        (-7.0, "caudal-shift-towards-midline"),
    ],
)
def test_of_two_mistakes_the_nearer_is_named(shift, mistake):
    """Both break the caudal shift, and nothing else is broken this far from the midline."""
    far_out = a_technique(offset="30 mm", verge_clearance="15 mm")
    plan = planned(far_out, pits=[(90, 2), (96, 2)])
    judged = judge_answer(plan, with_lines(plan, caudal_shift=shift))
    assert not_met(judged) == {rules.CAUDAL_SHIFT}
    assert judged.mistake == mistake


@pytest.mark.parametrize("lines", [{"caudal_shift": 18.0}, {"offset": 26.0}])
def test_a_line_that_errs_the_other_way_has_no_name(lines):
    """A shift that is too great was not forgotten; an offset that is too great was not read off an
    oblique photograph.
    """
    plan = planned(pits=[(90, 2), (96, 2)])
    judged = judge_answer(plan, with_lines(plan, **lines))
    assert not_met(judged)
    assert judged.mistake is None


@pytest.mark.parametrize("cut", [{"lateral_cut_deg": 30.0}, {"medial_cut_deg": 110.0}])
def test_a_cut_that_leans_the_other_way_has_no_name(cut):
    """A lateral wall that slopes too much is not vertical, and one that undercuts not bevelled."""
    plan = planned()
    judged = judge_answer(plan, replace(right(plan), **cut))
    assert len(not_met(judged)) == 1
    assert judged.mistake is None


def test_what_no_single_mistake_explains_has_no_name():
    """Two mistakes at once, and one of the surface with one of the section."""
    plan = planned()
    twice = replace(with_lines(plan, caudal_shift=0.0), side="left")
    mixed = replace(with_lines(plan, caudal_shift=0.0), undermining=0.0)
    assert judge_answer(plan, twice).mistake is None
    assert judge_answer(plan, mixed).mistake is None
    assert judge_answer(plan, mixed, SURFACE_RULES).mistake == "caudal-shift-forgotten"
    assert judge_answer(plan, mixed, SECTION_RULES).mistake == "undermining-too-short"


@examples(40)
@given(
    offset=st.floats(-30, 40),
    shift=st.floats(-20, 20),
    half_width=st.floats(4, 40),
    ratio=st.floats(1.01, 3),
    caudal=st.floats(-30, 60),
    depth=st.floats(0.5, 60),
    ticks=st.frozensets(st.integers(0, 1)),
)
def test_any_marking_is_judged(offset, shift, half_width, ratio, caudal, depth, ticks):
    """Whatever is drawn, points lie between nothing and all, and a name explains what is broken."""
    plan = two_openings()
    outline = Outline(offset, shift, half_width, caudal + 2 * ratio * half_width, caudal)
    marking = replace(right(plan), outline=outline, depth=depth, excised_openings=ticks)
    judged = judge_answer(plan, marking)
    assert 0 <= judged.points <= judged.most
    assert (judged.points == judged.most) == (not_met(judged) == set())
    if judged.mistake is not None:
        named = next(one for one in MISTAKES if one.mistake == judged.mistake)
        assert named.breaks <= not_met(judged) <= named.breaks | named.may_break


def test_the_data_is_plain_and_complete():
    """What the page is given survives being written, and holds markings that say the same."""
    for plan in exercises():
        data = json.loads(json.dumps(exercise_data(plan)))
        assert data["case"] == plan.case.case
        assert data["settings"] == asdict(plan.technique.settings)
        assert data["side"] == plan.case.flap_side
        assert read(data["right"]) == replace(right(plan), infiltrate=None)
        drawn = [name for name in wrong_plans(plan) if not name.startswith("dose-")]
        assert [wrong["mistake"] for wrong in data["mistakes"]] == drawn
        for wrong in data["mistakes"]:
            made = wrong_plans(plan)[wrong["mistake"]].marking
            assert read(wrong["marking"]) == replace(made, infiltrate=None)


def test_the_data_holds_nothing_but_what_is_drawn():
    """Neither patient nor drug nor what is written for teachers goes with it."""
    drug = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}
    plan = planned(openings=BOTH, infiltration=drug, teaching_notes="Nothing to see.")
    data = exercise_data(plan)
    assert set(data) == {
        *("case", "settings", "weights", "findings", "side", "right", "mistakes"),
    }
    assert set(data["findings"]) == {"pits", "openings", "cavity_depth", "fascia_depth"}
    assert "ropivacaine" not in json.dumps(data)
    assert "Nothing to see" not in json.dumps(data)


def test_a_case_without_a_right_marking_is_no_exercise():
    """There is nothing to be found where nothing fits."""
    low = planned(pits=[(12, 2)])
    marking = right(planned())
    for ask in (lambda: exercise_data(low), lambda: judge_answer(low, marking)):
        with pytest.raises(ValueError, match="no right marking"):
            ask()


def test_the_dose_is_left_out():
    """A marking with a dose over the limit is judged as if there were none."""
    drug = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}
    plan = planned(infiltration=drug)
    over = wrong_plans(plan)["dose-over-limit"].marking
    judged = judge_answer(plan, over, {rule.rule for rule in RULES})
    assert judged.verdicts[-1].verdict == "not applicable"
    assert judged.mistake is None


def read(data: dict[str, Any]) -> Marking:
    """A marking from its data."""
    outline, taken = Outline(**data["outline"]), frozenset(data["excised_openings"])
    return Marking(**{**data, "outline": outline, "excised_openings": taken, "infiltrate": None})
