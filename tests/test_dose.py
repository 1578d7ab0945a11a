"""Infiltration arithmetic against named labels; an exercise, not a prescription."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.generated import technique
from tests.strategies import examples

from offmidline.dose import Dose, Limit, dose_against, smaller_limit


def limit(agent: str, weight_kg: float) -> Limit:
    """The limit of an agent of the shipped technique at a body weight."""
    found = technique().infiltration[agent]
    return smaller_limit(found.fixed_mg, found.per_kg_mg, weight_kg)


@pytest.mark.parametrize(
    ("weight", "limit_mg", "limited_by"),
    [(50, 150, "per_kg"), (60, 180, "per_kg"), (70, 200, "fixed")],
)
def test_ropivacaine(weight, limit_mg, limited_by):
    """3 mg/kg (common practice, no source) up to 200 mg [bnf-ropivacaine, secondary-read]: three
    weights (calc).
    """
    assert limit("ropivacaine", weight) == Limit(limit_mg, limited_by)


@pytest.mark.parametrize(("weight", "volume"), [(50, 75), (60, 90), (70, 100)])
def test_ropivacaine_volume(weight, volume):
    """Of 2 mg/ml the limit is reached with 75, 90 and 100 ml at 50, 60 and 70 kg (calc)."""
    dose = dose_against(limit("ropivacaine", weight), 2.0, volume)
    assert dose.dose_mg == dose.limit_mg
    assert dose.percent_of_limit == 100.0


def test_ropivacaine_cap():
    """The fixed limit takes over at 66.7 kg (calc)."""
    assert limit("ropivacaine", 66.6).limited_by == "per_kg"
    assert limit("ropivacaine", 66.7).limited_by == "fixed"


def test_lidocaine_sources_disagree():
    """At 70 kg plain: 300 mg in the United States, 4.5 x 70 = 315 [us-label-lidocaine]; 200 in
    Britain [lidocaine-uk-smpc].
    """
    american, british = limit("lidocaine-us", 70), limit("lidocaine", 70)
    assert american == Limit(300, "fixed")
    assert british == Limit(200, "fixed")
    assert american.limit_mg / british.limit_mg == 1.5
    assert limit("lidocaine-us", 60) == Limit(270, "per_kg")
    countries = {technique().infiltration[agent].country for agent in ("lidocaine", "lidocaine-us")}
    assert countries == {"United Kingdom", "United States"}


def test_lidocaine_with_adrenaline():
    """7 mg/kg is 490 mg at 70 kg, under the general maximum of 500 [us-label-lidocaine,
    secondary-read].
    """
    assert limit("lidocaine-adrenaline", 70) == Limit(490, "per_kg")
    assert limit("lidocaine-adrenaline", 80) == Limit(500, "fixed")


def test_levobupivacaine_has_no_limit_by_weight():
    """150 mg at once, 60 ml of 2.5 mg/ml, whatever the weight [levobupivacaine-smpc,
    secondary-read].
    """
    for weight in (40, 70, 150):
        assert limit("levobupivacaine", weight) == Limit(150, "fixed")
    assert dose_against(limit("levobupivacaine", 70), 2.5, 60) == Dose(150, 150, "fixed")


def test_bupivacaine_by_weight():
    """2 mg/kg is 120 mg at 60 kg [bahamas-formulary]."""
    assert limit("bupivacaine", 60) == Limit(120, "per_kg")


def test_equal_limits():
    """Where both limits agree the fixed one is named."""
    assert smaller_limit(210, 3, 70) == Limit(210, "fixed")


@given(st.floats(1, 1000), st.floats(0.1, 20) | st.none(), st.floats(30, 300))
@examples(60)
def test_always_the_smaller(fixed, per_kg, weight):
    """The limit is never above either of the two, and is one of them."""
    found = smaller_limit(fixed, per_kg, weight)
    asked = [fixed] if per_kg is None else [fixed, per_kg * weight]
    assert found.limit_mg == min(asked)
    assert (found.limited_by == "per_kg") == (per_kg is not None and per_kg * weight < fixed)


def test_percent_of_limit():
    """A dose is its concentration times its volume, told in percent of its limit."""
    dose = dose_against(Limit(150.0, "per_kg"), 2.0, 90.0)
    assert dose == Dose(180.0, 150.0, "per_kg")
    assert dose.percent_of_limit == pytest.approx(120.0)
