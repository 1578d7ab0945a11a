"""The named mistakes: what each does to a right marking, and which rules that breaks."""

from __future__ import annotations

import math
from functools import lru_cache

import pytest
from tests.strategies import a_case, a_technique, generated_plans, shipped_plans

from offmidline import messages
from offmidline.mistakes import MISTAKES
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.records import Case, Technique
from offmidline.rules import RULES, broken

BY_NAME = {mistake.mistake: mistake for mistake in MISTAKES}
INFILTRATED = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}


def planned(case: Case | None = None, by: Technique | None = None) -> CasePlan:
    """The plan of a crafted case."""
    return plan_case(case or a_case(), by or a_technique())


def right(plan: CasePlan) -> Plan:
    """The right plan of a case that has one."""
    assert plan.right is not None
    return plan.right


def wrong(name: str, plan: CasePlan) -> Plan:
    """The plan with a mistake in it, where the mistake applies."""
    made = BY_NAME[name].apply(plan)
    assert made is not None
    return made


def check(plan: CasePlan) -> None:
    """Each mistake breaks all that it names and nothing that it does not; the right marking breaks
    nothing.
    """
    assert plan.right is None or broken(plan.right) == frozenset()
    for mistake in MISTAKES:
        made = mistake.apply(plan)
        assert made is None or plan.right is not None
        if made is not None:
            found = broken(made)
            where = f"{mistake.mistake} in {plan.case.case}"
            assert mistake.breaks <= found, where
            assert found <= mistake.breaks | mistake.may_break, where


def test_shipped_cases():
    """On every shipped case mistakes keep to what they declare."""
    for plan in shipped_plans():
        check(plan)


@pytest.mark.parametrize("start", range(0, 200, 25))
def test_generated_cases(start):
    """On 200 generated cases mistakes keep to what they declare."""
    for plan in generated_plans(start, start + 25):
        check(plan)


@lru_cache(maxsize=1)
def crafted() -> tuple[CasePlan, ...]:
    """Cases in which every rule that a mistake may break is broken once."""
    blunt = a_technique(
        length_to_width="1.5", caudal_shift="16 mm", near_opening="0 mm", verge_clearance="5 mm"
    )
    near = a_technique(offset="15 mm", caudal_shift="15 mm")
    return (
        planned(a_case(pits=[(47, 2), (52, 2)], openings=[(18, 32, "right", 1)])),
        planned(
            a_case(
                pits=[(59, 2), (82, 2)],
                openings=[(93, 32, "left", 4), (35, 19, "right", 2), (102, 12, "right", 2)],
            ),
            blunt,
        ),
        # A shorter outline is bent more: its lateral edge bulges over an opening just outside.
        planned(a_case(pits=[(70, 2)], openings=[(50, 45.2, "right", 1)]), blunt),
        # A shift back by the whole offset brings the caudal apex onto the midline.
        planned(a_case(pits=[(83, 2)], openings=[(137, 31, "right", 2)]), near),
        # Without a shift the prolonged scar shows how near the marking has come.
        planned(a_case(pits=[(76, 2), (98, 2)]), a_technique(caudal_shift="0 mm")),
    )


@lru_cache(maxsize=1)
def seen() -> frozenset[tuple[str, str]]:
    """Every mistake with every rule that it breaks in some crafted case."""
    return frozenset(
        (mistake.mistake, rule)
        for plan in crafted()
        for mistake in MISTAKES
        if (made := mistake.apply(plan)) is not None
        for rule in broken(made)
    )


def test_crafted_cases():
    """Under other techniques, too, mistakes keep to what they declare."""
    for plan in crafted():
        check(plan)


@pytest.mark.parametrize(
    ("mistake", "rule"),
    [(mistake.mistake, rule) for mistake in MISTAKES for rule in sorted(mistake.may_break)],
)
def test_what_may_break_does_in_some_case(mistake, rule):
    """No declaration is wider than need be: what a mistake may break, it breaks in some case."""
    assert (mistake, rule) in seen()


def test_words_agree():
    """Every mistake has a title and feedback of its own, and there are no words without a
    mistake.
    """
    words = messages.section("mistakes")
    assert set(words) == set(BY_NAME)
    assert len(BY_NAME) == len(MISTAKES)
    for texts in words.values():
        assert set(texts) == {"title", "feedback"}
        assert all(text.strip() for text in texts.values())
    assert len({texts["title"] for texts in words.values()}) == len(MISTAKES)


def test_declarations_name_rules():
    """What a mistake breaks is not also something that it may break, and both are rules."""
    every = {rule.rule for rule in RULES}
    for mistake in MISTAKES:
        assert mistake.breaks
        assert mistake.breaks | mistake.may_break <= every
        assert not mistake.breaks & mistake.may_break


def test_all_mistakes_of_the_design():
    """The list holds every mistake that teaching asks for (common practice, no source)."""
    assert set(BY_NAME) >= {
        "wrong-side",
        "centred-on-midline",
        "caudal-shift-forgotten",
        "caudal-shift-towards-midline",
        "caudal-pit-outside",
        "too-short",
        "reach-missing",
        "near-opening-missed",
        "distant-opening-chased",
        "lateral-wall-vertical",
        "medial-wall-bevelled",
        "flap-too-thin",
        "undermining-too-short",
        "too-few-deep-stitches",
        "oblique-misread",
        "dose-unit-slip",
        "dose-over-limit",
    }


def test_wrong_side():
    """The marking lies on the other side, otherwise unchanged."""
    plan = planned()
    made = wrong("wrong-side", plan)
    assert (made.marking.side, right(plan).marking.side) == ("left", "right")
    assert made.outline == right(plan).outline


@pytest.mark.parametrize(
    ("name", "offset", "shift", "half_width"),
    [
        ("centred-on-midline", 0.0, 10.0, 25.0),
        ("caudal-shift-forgotten", 20.0, 0.0, 25.0),
        ("caudal-shift-towards-midline", 20.0, -10.0, 25.0),
        ("reach-missing", 20.0, 10.0, 20.0),
        (
            "oblique-misread",
            20 * math.cos(math.pi / 6),
            10 * math.cos(math.pi / 6),
            25 * math.cos(math.pi / 6),
        ),
    ],
)
def test_wrong_outlines(name, offset, shift, half_width):
    """Each of these mistakes changes the outline as it says and keeps its apexes' levels."""
    plan = planned()
    made, fine = wrong(name, plan).outline, right(plan).outline
    assert (made.offset, made.caudal_shift) == pytest.approx((offset, shift))
    assert made.half_width == pytest.approx(half_width)
    assert (made.cranial_apex, made.caudal_apex) == (fine.cranial_apex, fine.caudal_apex)


def test_wrong_outlines_are_stitched_for_their_own_edge():
    """A wrong outline breaks no stitching rule: it is stitched as its own edge asks."""
    plan = planned(a_case(pits=[(60, 2), (110, 2)]))
    for mistake in MISTAKES:
        made = mistake.apply(plan)
        if made is not None and mistake.mistake != "too-few-deep-stitches":
            edge = made.outline.medial_edge
            assert edge / (made.marking.deep_stitches + 1) <= 12 < edge / made.marking.deep_stitches


def test_caudal_pit_outside():
    """The outline of the same size ends just below the lowest pit's margin, and leaves the pit
    behind.
    """
    plan = planned()
    made = wrong("caudal-pit-outside", plan)
    assert made.outline.caudal_apex == pytest.approx(70 - 1 - 3)
    assert made.outline.length == pytest.approx(right(plan).outline.length)
    assert made.pits[0].margin < 0
    assert not made.pits[0].excised


def test_too_short():
    """Three quarters of the asked length to width, about the same widest level, but never under a
    circle.
    """
    plan = planned()
    made = wrong("too-short", plan).outline
    assert made.length_to_width == pytest.approx(1.5)
    assert made.widest_level == pytest.approx(right(plan).outline.widest_level)
    blunt = planned(by=a_technique(length_to_width="1.1"))
    assert wrong("too-short", blunt).outline.length_to_width == pytest.approx(1.0)


def test_near_opening_missed():
    """The outline for the pits alone is used, and only where it lacks the opening's margin."""
    beside = planned(a_case(openings=[(80, 46, "right", 4)]))
    assert wrong("near-opening-missed", beside).outline == beside.fitted.pits_only
    inside = planned(a_case(openings=[(75, 15, "right", 3)]))
    assert BY_NAME["near-opening-missed"].apply(inside) is None
    assert BY_NAME["near-opening-missed"].apply(planned()) is None


def test_distant_opening_chased():
    """The nearest of the openings to be left is taken as well, at the cost of skin."""
    openings = [(95, 90, "right", 4), (80, 62, "right", 4)]
    plan = planned(a_case(openings=openings))
    made = wrong("distant-opening-chased", plan)
    assert made.outline.area_mm2 > right(plan).outline.area_mm2
    assert made.openings[1].margin >= 3.0 - 0.01
    assert made.openings[1].gap < 0 < made.openings[0].gap
    assert [opening.decision for opening in made.openings] == ["leave", "leave"]
    assert BY_NAME["distant-opening-chased"].apply(planned()) is None


def test_wrong_sections():
    """Walls, flap and undermining are wrong by the sizes that the mistakes name."""
    plan = planned()
    fine = right(plan).marking
    assert wrong("lateral-wall-vertical", plan).marking.lateral_cut_deg == 90.0
    assert wrong("medial-wall-bevelled", plan).marking.medial_cut_deg == fine.medial_cut_deg - 30
    assert wrong("flap-too-thin", plan).marking.flap_thickness == fine.flap_thickness / 2
    assert wrong("undermining-too-short", plan).marking.undermining == fine.undermining / 2
    few = wrong("too-few-deep-stitches", plan).marking.deep_stitches
    assert few == fine.deep_stitches // 2
    for name in ("lateral-wall-vertical", "flap-too-thin", "too-few-deep-stitches"):
        assert wrong(name, plan).outline == right(plan).outline


@pytest.mark.parametrize(
    ("name", "dimensions"),
    [
        ("caudal-shift-forgotten", {"caudal_shift": "1 mm"}),
        ("caudal-shift-towards-midline", {"caudal_shift": "0.5 mm"}),
        ("lateral-wall-vertical", {"lateral_cut": "86 deg"}),
        ("undermining-too-short", {"undermining": "0 mm"}),
        ("too-few-deep-stitches", {"deep_spacing": "60 mm", "offset": "5 mm", "reach": "5 mm"}),
        ("too-short", {"length_to_width": "1", "caudal_shift": "5 mm"}),
    ],
)
def test_no_room_for_a_mistake(name, dimensions):
    """A mistake for which the technique leaves no room does not apply."""
    plan = planned(a_case(pits=[(70, 2)]), a_technique(**dimensions))
    assert plan.right is not None
    assert BY_NAME[name].apply(plan) is None


@pytest.mark.parametrize("offset", ["30 mm", "20 mm", "10 mm", "5 mm", "0.8 mm"])
def test_mistakes_at_any_offset(offset):
    """However near the midline the technique works, mistakes break what they name or do not
    apply.
    """
    check(planned(by=a_technique(offset=offset, caudal_shift="2 mm")))


def test_no_mistake_without_a_right_marking():
    """Where no marking is right, none can be made wrong."""
    plan = planned(a_case(pits=[(12, 2)]))
    assert [mistake.apply(plan) for mistake in MISTAKES] == [None] * len(MISTAKES)


def infiltrated(agent: str, weight: str, concentration: str, volume: str) -> CasePlan:
    """A crafted case with an infiltration."""
    return planned(
        a_case(
            patient={"age": "30 years", "sex": "male", "weight": weight},
            infiltration={"agent": agent, "concentration": concentration, "volume": volume},
        )
    )


@pytest.mark.parametrize(
    ("agent", "weight", "dose"),
    [
        ("ropivacaine", "50 kg", 200.0),  # the fixed limit, where 150 mg by weight count
        ("ropivacaine", "90 kg", 270.0),  # by weight, where the fixed 200 mg count
        ("levobupivacaine", "70 kg", 187.5),  # a quarter more than the only limit
        ("ropivacaine", "66 kg", 247.5),  # both limits nearly agree: a quarter more than 198 mg
    ],
)
def test_dose_over_limit(agent, weight, dose):
    """The larger limit is taken for the smaller, or a quarter more than the limit where that is
    larger.
    """
    made = wrong("dose-over-limit", infiltrated(agent, weight, "2 mg/ml", "40 ml"))
    assert made.dose is not None
    assert made.dose.dose_mg == pytest.approx(dose)
    assert made.dose.percent_of_limit > 100


def test_dose_unit_slip():
    """Ten times the volume is ten times the dose; where that is still allowed the mistake does not
    apply.
    """
    made = wrong("dose-unit-slip", infiltrated("ropivacaine", "70 kg", "2 mg/ml", "30 ml"))
    assert made.dose is not None
    assert made.dose.dose_mg == pytest.approx(600.0)
    little = infiltrated("ropivacaine", "70 kg", "2 mg/ml", "5 ml")
    assert BY_NAME["dose-unit-slip"].apply(little) is None
    assert BY_NAME["dose-over-limit"].apply(little) is not None


def test_dose_mistakes_need_an_infiltration():
    """Without an infiltration there is no dose to get wrong."""
    for name in ("dose-unit-slip", "dose-over-limit"):
        assert BY_NAME[name].apply(planned()) is None


def test_mistakes_leave_the_right_plan_alone():
    """A mistake returns a plan of its own."""
    plan = planned(a_case(infiltration=INFILTRATED))
    before = right(plan)
    for mistake in MISTAKES:
        made = mistake.apply(plan)
        assert made != before
    assert right(plan) == before
