"""The way of a patient round the operation."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.generated import SCENARIOS, cases, technique

from offmidline.pathway import body_mass_index, least_length, pathway
from offmidline.plan import CasePlan, plan_case
from offmidline.records import Case, read_case


def planned(name: str, **changes: object) -> CasePlan:
    """A shipped case, with changes of its parts."""
    case = read_case(SCENARIOS / "cases" / f"{name}.yml", SCENARIOS)
    return plan_case(case.model_copy(update=changes), technique())


def patient(name: str, **changes: object) -> dict[str, object]:
    """The change of a case whose patient differs."""
    case = read_case(SCENARIOS / "cases" / f"{name}.yml", SCENARIOS)
    return {"patient": case.patient.model_copy(update=changes)}


def test_body_mass_index_is_weight_over_height_squared() -> None:
    """A man of 178 cm and 95 kg has 30.0 kg/m2, as in the worked example of the weight scalars."""
    person = planned(
        "beekeeper", **patient("beekeeper", weight_kg=95.0, height=1780.0)
    ).case.patient
    assert body_mass_index(person) == pytest.approx(29.98, abs=0.01)
    assert body_mass_index(person.model_copy(update={"height": None})) is None


def test_factors_are_what_the_case_holds() -> None:
    """A smoker operated on before, with an outline longer than the least, has these three."""
    assert pathway(planned("quarry-mechanic")).factors == (
        "long-outline",
        "earlier-excision",
        "smoker",
        "obesity",
    )
    assert pathway(planned("beekeeper")).factors == ()
    assert "low-pit" in pathway(planned("rowing-coach")).factors


@pytest.mark.parametrize(("index", "there"), [(29.9, False), (30.0, True), (39.9, True)])
def test_obesity_begins_at_thirty(index: float, there: bool) -> None:
    """Obesity begins at 30 kg/m2 [who-894, from memory]."""
    height = 1800.0
    weight = index * 1.8**2
    way = pathway(planned("beekeeper", **patient("beekeeper", weight_kg=weight, height=height)))
    assert ("obesity" in way.factors) is there
    assert "obesity" not in way.referrals


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        (patient("beekeeper", asa=3), "risk-class"),
        (patient("beekeeper", age_years=15.0), "age"),
        (patient("beekeeper", weight_kg=140.0, height=1800.0), "obesity"),
    ],
)
def test_referral_by_what_the_patient_is(changes: dict[str, object], reason: str) -> None:
    """Risk class III, an age under 16, and an index of 40 ask for another surgeon or place.

    Common practice, no source.
    """
    assert pathway(planned("beekeeper")).referrals == ()
    assert pathway(planned("beekeeper", **changes)).referrals == (reason,)


def test_a_case_without_a_marking_is_referred() -> None:
    """No marking: refer, and there is nothing to look at closer."""
    way = pathway(planned("rowing-coach"))
    assert way.referrals == ("no-marking",)
    assert way.closer_look is None


@pytest.mark.parametrize(
    ("name", "look"),
    [
        ("glazier", "caudal-shift"),
        ("tram-driver", "openings"),
        ("quarry-mechanic", "levels"),
        ("bookbinder", "coverage"),
    ],
)
def test_the_closer_look_is_at_what_is_particular(name: str, look: str) -> None:
    """A forgotten shift, several openings, the fascia, or else the covered midline."""
    assert pathway(planned(name)).closer_look == look


@pytest.mark.parametrize("case", cases(40, seed=44), ids=lambda case: case.case)
def test_a_long_outline_is_longer_than_the_least(case: Case) -> None:
    """The factor tells just whether the outline passes the least length of the technique."""
    plan = plan_case(case, technique())
    long = plan.shown is not None and plan.shown.outline.length > least_length(plan) + 0.01
    assert ("long-outline" in pathway(plan).factors) is long


def test_the_least_length_follows_the_technique() -> None:
    """Twice the width of offset and reach, times the ratio: 2 x 2 x (20 + 5) = 100 mm."""
    plan = planned("beekeeper")
    assert least_length(plan) == pytest.approx(100.0)
    changed = technique().model_copy()
    changed.__dict__["settings"] = replace(changed.settings, reach=7.0)
    assert least_length(replace(plan, technique=changed)) == pytest.approx(108.0)
