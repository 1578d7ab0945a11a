"""The marking without its caudal shift, a shift put on afterwards, and what a mistake changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, replace

import pytest
from tests.geometry.oracles import Markings, least_marking
from tests.strategies import a_case, a_technique, generated_plans, shipped_plans

from offmidline import rules
from offmidline.marking import Infiltrate, Marking, demands, opening_discs, pit_discs
from offmidline.mistakes import MISTAKES
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.records import Case, Technique
from offmidline.rules import broken
from offmidline.variants import (
    what_changes,
    with_caudal_shift,
    without_and_with_shift,
    without_shift,
)

SURFACE = {
    "wrong-side",
    "centred-on-midline",
    "caudal-shift-forgotten",
    "caudal-shift-towards-midline",
    "caudal-pit-outside",
    "too-short",
    "reach-missing",
    "near-opening-missed",
    "distant-opening-chased",
    "oblique-misread",
}
PICTURES = {
    **dict.fromkeys(SURFACE, "surface"),
    "lateral-wall-vertical": "section",
    "medial-wall-bevelled": "section",
    "flap-too-thin": "section",
    "undermining-too-short": "section",
    "too-few-deep-stitches": "closure",
    "dose-unit-slip": "dose",
    "dose-over-limit": "dose",
}


def planned(case: Case | None = None, by: Technique | None = None) -> CasePlan:
    """The plan of a crafted case."""
    return plan_case(case or a_case(), by or a_technique())


def many() -> Iterator[CasePlan]:
    """All shipped cases and some of the generated ones."""
    yield from shipped_plans()
    yield from generated_plans(0, 50)


def shown(plan: CasePlan) -> Plan:
    """The plan that a case shows, where it shows one."""
    assert plan.shown is not None
    return plan.shown


def variants(plan: CasePlan) -> tuple[Plan, Plan]:
    """The plan without a shift and the one with the shift put on, of a case that has both."""
    both = without_and_with_shift(plan)
    assert both is not None
    assert both[0] == without_shift(plan)
    return both


def unstitched(plan: Plan) -> tuple[object, ...]:
    """What is decided beside outline and stitches."""
    stitched = {"outline", "deep_stitches", "superficial_stitches"}
    return tuple(
        getattr(plan.marking, field.name) for field in fields(Marking) if field.name not in stitched
    )


PRESCRIBED = {"cranial_apex": "130 mm", "caudal_apex": "20 mm", "reach": "5 mm"}


@pytest.mark.parametrize("shift", [0.0, 7.0, -10.0])
def test_another_caudal_shift(shift):
    """Only the caudal apex moves; stitches and every measure follow the new edges."""
    plan = planned()
    made, before = with_caudal_shift(plan, shown(plan), shift), shown(plan)
    assert made.outline == replace(before.outline, caudal_shift=shift)
    assert made.outline.caudal_point[0] == pytest.approx(20.0 + shift)
    assert made.volume_ml == pytest.approx(before.volume_ml)
    spacing = plan.technique.settings.deep_spacing
    edge, stitches = made.outline.medial_edge, made.marking.deep_stitches
    assert edge / (stitches + 1) <= spacing < edge / stitches
    assert made.deep_row.spacing == pytest.approx(edge / (stitches + 1))
    assert unstitched(made) == unstitched(before)


def test_same_shift_is_the_same_plan():
    """On every case whose stitches are the technique's, the shown shift gives the shown plan."""
    for plan in many():
        if plan.shown is not None and plan.case.closure is None:
            same = with_caudal_shift(plan, plan.shown, plan.shown.outline.caudal_shift)
            assert same == plan.shown


def test_fitted_without_a_shift():
    """Without a shift the fit keeps every demand but the shift, and takes the same openings."""
    fitted = [plan for plan in many() if plan.shown is not None and plan.case.marking is None]
    assert len(fitted) > 50
    for plan in fitted:
        straight, _ = variants(plan)
        taken = shown(plan).marking.excised_openings
        assert straight.outline.caudal_shift == 0.0
        assert straight.marking.excised_openings == taken
        assert straight.marking.side == shown(plan).marking.side
        asked = replace(demands(plan.technique), caudal_shift=0.0)
        discs = pit_discs(plan.case, plan.technique)
        discs += opening_discs(plan.case, plan.technique, plan.case.flap_side, taken)
        assert Markings.of(straight.outline).slack(discs, asked)[0] >= -rules.NOISE
        assert rules.CAUDAL_SHIFT in broken(straight)


@pytest.mark.parametrize(
    "case",
    [
        a_case(pits=[(60, 2), (82, 3)]),
        a_case(pits=[(70, 2), (100, 2)], openings=[(80, 46, "right", 4)]),
    ],
    ids=["pits", "opening"],
)
def test_least_area_without_a_shift(case):
    """No marking without a shift that takes the same is smaller, by differential evolution
    [scipy-docs].
    """
    plan = planned(case)
    straight, _ = variants(plan)
    asked = replace(demands(plan.technique), caudal_shift=0.0)
    discs = pit_discs(case, plan.technique)
    discs += opening_discs(case, plan.technique, "right", straight.marking.excised_openings)
    least = float(least_marking(discs, asked).area(asked)[0])
    assert straight.outline.area_mm2 == pytest.approx(least, rel=3e-3)


def test_openings_within_the_outline_for_the_pits():
    """An opening that the straight outline for the pits takes anyway does not move it."""
    alone = planned(a_case(pits=[(70, 2)]))
    # Far from the middle, so that a fit to the opening as well would lie elsewhere.
    beside = planned(a_case(pits=[(70, 2)], openings=[(106, 20, "right", 2)]))
    assert shown(beside).marking.excised_openings == frozenset({0})
    assert variants(beside)[0].outline == variants(alone)[0].outline
    for lateral in (42.5, 48):
        wide = planned(a_case(pits=[(70, 2)], openings=[(72, lateral, "right", 2)]))
        assert variants(wide)[0].outline != variants(alone)[0].outline
        assert variants(wide)[0].openings[0].margin >= 3.0 - rules.NOISE


def test_shift_added():
    """The shift is the shown one; nothing but the caudal apex differs from the straight marking."""
    for plan in many():
        if plan.shown is None:
            continue
        straight, shifted = variants(plan)
        shift = plan.shown.outline.caudal_shift
        assert shifted.outline == replace(straight.outline, caudal_shift=shift)
        assert shifted.outline.area_mm2 == pytest.approx(straight.outline.area_mm2)
        assert shifted.marking.excised_openings == plan.shown.marking.excised_openings


def test_a_shift_added_costs_midline():
    """Put on afterwards, a shift takes caudal midline away: a pit that both fits cover is left
    behind in some case, and loses its margin in most [derived].
    """
    fitted = [plan for plan in many() if plan.shown is not None and plan.case.marking is None]
    behind = short = 0
    for plan in fitted:
        straight, shifted = variants(plan)
        covered, left = straight.midline_covered, shifted.midline_covered
        assert covered is not None
        assert left is not None
        assert left[0] > covered[0]
        assert left[1] == pytest.approx(covered[1], abs=1e-6)
        assert all(pit.excised for pit in (*straight.pits, *shown(plan).pits))
        behind += not all(pit.excised for pit in shifted.pits)
        short += rules.PITS_COVERED in broken(shifted)
    assert behind >= 1
    assert short > len(fitted) / 2


def test_pit_left_behind():
    """A low pit that the straight marking just covers lies outside once the shift is put on."""
    plan = planned(a_case(pits=[(42, 2), (75, 2)]), a_technique(pit_margin="0.5 mm"))
    straight, shifted = variants(plan)
    assert straight.pits[0].excised
    assert not shifted.pits[0].excised
    assert shifted.pits[1].excised


def test_prescribed_marking():
    """A prescribed marking is not fitted: it loses its shift, and gets the very same one back."""
    plan = planned(a_case(marking={**PRESCRIBED, "caudal_shift": "14 mm"}))
    straight, shifted = variants(plan)
    assert straight.outline == replace(shown(plan).outline, caudal_shift=0.0)
    assert shifted == shown(plan)
    assert shifted.outline.caudal_shift == 14.0


def test_prescribed_side_and_section_stay():
    """What a case prescribes beside the outline is kept."""
    plan = planned(a_case(marking={**PRESCRIBED, "side": "left"}, section={"undermining": "12 mm"}))
    for made in variants(plan):
        assert made.marking.side == "left"
        assert made.marking.undermining == 12.0
    fitted = planned(a_case(section={"undermining": "12 mm"}))
    assert variants(fitted)[0].marking.undermining == 12.0


def test_technique_without_a_shift():
    """Where the technique has no shift all three plans are one."""
    plan = planned(by=a_technique(caudal_shift="0 mm"))
    assert variants(plan) == (shown(plan), shown(plan))


def test_nothing_shown():
    """Where no marking is shown there is none to change."""
    low = planned(a_case(pits=[(12, 2)]))
    assert low.shown is None
    assert without_shift(low) is None
    assert without_and_with_shift(low) is None


def test_no_straight_fit():
    """Where only the shift lets the caudal tip take a near opening and clear the verge, nothing can
    be laid out without one.
    """
    plan = planned(
        a_case(pits=[(44, 2)], openings=[(18, 34, "right", 2)]), a_technique(near_opening="30 mm")
    )
    assert shown(plan).marking.excised_openings == frozenset({0})
    assert without_shift(plan) is None
    assert without_and_with_shift(plan) is None


def test_no_straight_fit_to_the_pits():
    """Where a technique asks for more than any straight marking of the pits can keep, there is
    none.
    """
    plan = planned(a_case(pits=[(33, 2)]))
    stricter = replace(plan, technique=a_technique(verge_clearance="40 mm"))
    assert without_shift(stricter) is None


def test_what_every_mistake_changes():
    """On every case a mistake changes the kind of picture that its name promises."""
    assert {mistake.mistake for mistake in MISTAKES} == set(PICTURES)
    seen = set()
    for plan in many():
        for mistake in MISTAKES:
            made = mistake.apply(plan)
            if made is not None and plan.right is not None:
                found = what_changes(plan.right.marking, made.marking)
                assert found == PICTURES[mistake.mistake], mistake.mistake
                seen.add(mistake.mistake)
    assert seen == set(PICTURES)


CHANGES: dict[str, tuple[Callable[[Marking], Marking], str]] = {
    "side": (lambda right: replace(right, side="left"), "surface"),
    "outline": (
        lambda right: replace(right, outline=replace(right.outline, offset=21.0)),
        "surface",
    ),
    "excised_openings": (lambda right: replace(right, excised_openings=frozenset({0})), "surface"),
    "depth": (lambda right: replace(right, depth=19.0), "section"),
    "lateral_cut_deg": (lambda right: replace(right, lateral_cut_deg=60.0), "section"),
    "medial_cut_deg": (lambda right: replace(right, medial_cut_deg=60.0), "section"),
    "flap_thickness": (lambda right: replace(right, flap_thickness=4.0), "section"),
    "undermining": (lambda right: replace(right, undermining=4.0), "section"),
    "deep_stitches": (lambda right: replace(right, deep_stitches=4), "closure"),
    "superficial_stitches": (lambda right: replace(right, superficial_stitches=4), "closure"),
    "infiltrate": (
        lambda right: replace(right, infiltrate=Infiltrate("ropivacaine", 2.0, 40.0)),
        "dose",
    ),
}


@pytest.mark.parametrize("decision", [field.name for field in fields(Marking)])
def test_every_decision_is_shown_somewhere(decision):
    """Whichever single decision differs, one kind of picture shows it."""
    right = shown(planned()).marking
    change, picture = CHANGES[decision]
    assert what_changes(right, change(right)) == picture


def test_first_picture_wins():
    """Of several differences the surface counts before the section, the closure and the dose."""
    right = shown(planned()).marking
    wrong, expected = right, ["dose", "closure", "section", "surface"]
    for decision, picture in zip(
        ("infiltrate", "deep_stitches", "depth", "side"), expected, strict=True
    ):
        wrong = CHANGES[decision][0](wrong)
        assert what_changes(right, wrong) == picture


def test_same_markings():
    """Two equal markings differ in no picture."""
    right = shown(planned()).marking
    with pytest.raises(ValueError, match="same"):
        what_changes(right, replace(right))
