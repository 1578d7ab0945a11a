"""The object that ``offmidline measure --format json`` prints: its keys, its rounding, its
emptiness.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import a_case, a_technique, examples, generated_cases, shipped_plans

from offmidline import messages
from offmidline.dose import Dose
from offmidline.plan import Plan, plan_case
from offmidline.records import Case
from offmidline.report import report, report_text
from offmidline.rules import RULES, judge

TOP = {
    "case",
    "technique",
    "side",
    "outline",
    "pits",
    "openings",
    "scar",
    "trough",
    "closure",
    "infiltration",
    "rules",
    "conflicts",
}
PARTS = {
    "outline": {
        "cranial_apex",
        "caudal_apex",
        "offset",
        "caudal_shift",
        "reach",
        "length",
        "width",
        "length_to_width",
        "area_mm2",
        "perimeter",
        "medial_edge",
        "lateral_edge",
        "edge_mismatch_percent",
        "cranial_angle_deg",
        "caudal_angle_deg",
        "midline_covered",
    },
    "scar": {"length", "caudal_angle_deg", "passes_verge_at", "verge_clearance"},
    "trough": {"depth", "base_width", "area_mm2", "volume_ml"},
    "closure": {"skin_gap", "deep_gap", "rows"},
    "infiltration": {"dose_mg", "limit_mg", "limited_by", "percent_of_limit"},
}
ITEMS = {
    "pits": {"at", "margin", "excised"},
    "openings": {"at", "lateral", "margin", "decision"},
    "rules": {"rule", "verdict", "measured", "required"},
    "conflicts": {"constraint", "at", "required", "nearest"},
}
FULL = a_case(
    pits=[(72, 2), (90, 3)],
    openings=[(80, 30, "right", 4), (80, 60, "left", 6)],
    marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "5 mm"},
    infiltration={"agent": "lidocaine-us", "concentration": "10 mg/ml", "volume": "31 ml"},
    patient={"age": "30 years", "sex": "male", "weight": "70 kg"},
)
LOW = a_case(pits=[(12, 2)])


def reported(case: Case) -> dict[str, Any]:
    """The report of a case under the shipped technique, through JSON and back."""
    text = json.dumps(report(plan_case(case, a_technique())), allow_nan=False)
    read: dict[str, Any] = json.loads(text)
    return read


def numbers(part: Any) -> Iterator[float]:
    """Every float of a report."""
    if isinstance(part, dict):
        for value in part.values():
            yield from numbers(value)
    elif isinstance(part, list):
        for value in part:
            yield from numbers(value)
    elif isinstance(part, float):
        yield part


def test_keys():
    """Every key that others rely on is there, in every part; more may come."""
    data = reported(FULL)
    assert set(data) >= TOP
    for part, keys in PARTS.items():
        assert set(data[part]) >= keys, part
    for part, keys in ITEMS.items():
        for item in data[part]:
            assert set(item) >= keys, part
    assert [row["row"] for row in data["closure"]["rows"]] == ["deep", "superficial"]
    assert all(set(row) >= {"row", "stitches", "spacing"} for row in data["closure"]["rows"])
    assert all(set(item) >= ITEMS["conflicts"] for item in reported(LOW)["conflicts"])


def test_values():
    """Every value is that of the plan, rounded to three decimals."""
    planned = plan_case(FULL, a_technique())
    plan, data = planned.shown, report(planned)
    assert plan is not None
    outline = plan.outline
    assert data["case"] == "crafted"
    assert data["technique"] == "off-midline-flap"
    assert data["side"] == "right"
    assert data["outline"]["cranial_apex"] == [20.0, 132.0]
    assert data["outline"]["caudal_apex"] == [30.0, 12.0]
    assert data["outline"]["midline_covered"] == [
        round(level, 3) for level in plan.midline_covered or ()
    ]
    for key in PARTS["outline"] - {"cranial_apex", "caudal_apex", "midline_covered"}:
        assert data["outline"][key] == round(getattr(outline, key), 3), key
    assert data["scar"] == {
        "length": round(outline.scar_length, 3),
        "caudal_angle_deg": round(outline.scar_angle_deg, 3),
        "passes_verge_at": round(outline.passes_verge_at, 3),
        "verge_clearance": round(plan.verge_clearance, 3),
    }
    assert data["trough"] == {
        "depth": 16.0,
        "base_width": 34.0,
        "area_mm2": 672.0,
        "volume_ml": round(plan.volume_ml, 3),
    }
    assert data["closure"]["skin_gap"] == 50.0
    assert data["closure"]["deep_gap"] == round(plan.deep_gap, 3)
    for row, stitches in zip(
        data["closure"]["rows"], (plan.deep_row, plan.superficial_row), strict=True
    ):
        assert row["stitches"] == stitches.stitches
        assert row["spacing"] == round(stitches.spacing, 3)
    assert [pit["excised"] for pit in data["pits"]] == [True, True]
    assert [pit["margin"] for pit in data["pits"]] == [round(pit.margin, 3) for pit in plan.pits]
    assert [opening["decision"] for opening in data["openings"]] == ["excise", "leave"]
    assert [opening["lateral"] for opening in data["openings"]] == [30.0, 60.0]
    assert [opening["side"] for opening in data["openings"]] == ["right", "left"]
    assert [opening["margin"] for opening in data["openings"]] == [
        round(opening.margin, 3) for opening in plan.openings
    ]


def test_infiltration():
    """The dose stands beside its limit, with the label and the country that set it
    [us-label-lidocaine].
    """
    data = reported(FULL)["infiltration"]
    assert (data["dose_mg"], data["limit_mg"], data["limited_by"]) == (310.0, 300.0, "fixed")
    assert data["percent_of_limit"] == 103.333
    agent = a_technique().infiltration["lidocaine-us"]
    assert (data["label"], data["country"]) == (agent.label, "United States")
    assert reported(a_case())["infiltration"] is None


def test_rules():
    """Every rule has its verdict, what it measured and what it asks, with both ends of a range."""
    data = {found["rule"]: found for found in reported(FULL)["rules"]}
    assert list(data) == [rule.rule for rule in RULES]
    assert data["depth"]["required"] == [16.0, 24.0]
    assert data["offset"]["required"] == 20.0
    assert data["side"]["measured"] == data["side"]["required"] == "right"
    assert data["infiltration-dose"]["verdict"] == "not met"
    assert data["infiltration-dose"]["comparison"] == "at most"
    absent = {found["rule"]: found for found in reported(a_case())["rules"]}["infiltration-dose"]
    assert (absent["verdict"], absent["measured"], absent["required"], absent["comparison"]) == (
        "not applicable",
        None,
        None,
        None,
    )
    shown = plan_case(FULL, a_technique()).shown
    assert shown is not None
    assert [found["why"] for found in data.values()] == [found.why for found in judge(shown)]


def test_no_marking():
    """Where nothing fits the outline is null, every list is empty, and the conflicts are listed."""
    data = reported(LOW)
    assert set(data) == set(reported(FULL))
    for part in ("outline", "scar", "trough", "closure", "infiltration"):
        assert data[part] is None
    assert (data["pits"], data["openings"], data["rules"]) == ([], [], [])
    assert data["side"] == "right"
    names = [found["constraint"] for found in data["conflicts"]]
    assert names == ["pit_margin", "verge_clearance", "lowest_apex"]
    assert data["conflicts"][0]["at"] == 12.0
    assert data["conflicts"][1]["at"] is None
    assert all(found["nearest"] < found["required"] for found in data["conflicts"])
    assert reported(FULL)["conflicts"] == []


def test_prescribed_side_and_rows():
    """The side is that of the marking shown, and each row stands for itself."""
    case = a_case(
        marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "5 mm", "side": "left"},
        closure={"deep_stitches": "5"},
    )
    data = reported(case)
    assert data["side"] == "left"
    assert [row["stitches"] for row in data["closure"]["rows"]] == [5, 11]


def test_midline_that_is_not_covered():
    """An outline that stays beside the midline covers none of it: null, not an empty range."""
    case = a_case(marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "-2 mm"})
    assert reported(case)["outline"]["midline_covered"] is None


def test_no_negative_zero():
    """A value that rounds to nothing is 0.0, never -0.0."""
    case = a_case(
        pits=[(72, 10.0005)],
        marking={"cranial_apex": "132 mm", "caudal_apex": "12 mm", "reach": "5 mm"},
    )
    margin = reported(case)["pits"][0]["margin"]
    assert margin == 0.0
    assert math.copysign(1.0, margin) == 1.0


def test_shipped_reports():
    """Every shipped case gives JSON without a number that is not finite, unrounded, or a negative
    zero.
    """
    for planned in shipped_plans():
        data = report(planned)
        json.dumps(data, allow_nan=False)
        for number in numbers(data):
            assert round(number, 3) == number
            assert number != 0 or math.copysign(1.0, number) == 1.0


@given(st.integers(0, 199))
@examples(12)
def test_mirrored_case(number):
    """A case with left and right exchanged has the same report with left and right exchanged."""
    case = generated_cases()[number]
    assert _swapped(reported(case)) == reported(_mirrored(case))


def test_mirrored_prescription():
    """A prescribed marking mirrors like everything else."""
    case = a_case(
        openings=[(80, 30, "right", 4), (80, 60, "left", 6)],
        marking={
            "cranial_apex": "132 mm",
            "caudal_apex": "12 mm",
            "reach": "5 mm",
            "side": "left",
        },
    )
    assert _swapped(reported(case)) == reported(_mirrored(case))


def _mirrored(case: Case) -> Case:
    """The case with all its sides exchanged."""
    other = {"left": "right", "right": "left"}
    openings = tuple(
        opening.model_copy(update={"side": other[opening.side]})
        for opening in case.findings.openings
    )
    changed: dict[str, Any] = {
        "findings": case.findings.model_copy(update={"openings": openings}),
        "side": other[case.flap_side],
    }
    if case.marking is not None and case.marking.side is not None:
        side = other[case.marking.side]
        changed["marking"] = case.marking.model_copy(update={"side": side})
    return case.model_copy(update=changed)


def _swapped(data: dict[str, Any]) -> dict[str, Any]:
    """The report with every value that is a side exchanged."""
    text = json.dumps(data)
    for word, other in (("left", "?"), ("right", "left"), ("?", "right")):
        text = text.replace(f'"{word}"', f'"{other}"')
    swapped: dict[str, Any] = json.loads(text)
    return swapped


def test_report_as_text():
    """The text for a terminal names every measure, every verdict, the conflicts and the caution."""
    planned = plan_case(FULL, a_technique())
    data, text = report(planned), report_text(planned)
    assert f"outline.width: {data['outline']['width']}\n" in text
    assert f"closure.rows.1.stitches: {data['closure']['rows'][0]['stitches']}\n" in text
    low, high = next(found for found in data["rules"] if found["rule"] == "depth")["required"]
    assert f"met: depth: {low} mm, between {low} and {high} mm required" in text
    assert "\nnot met: infiltration-dose: 310.0 mg, at most 300.0 mg required" in text
    assert text.endswith(data["caution"])
    nothing = report_text(plan_case(LOW, a_technique()))
    assert "\noutline: none\n" in nothing
    assert messages.text("conflicts.explanation") in nothing
    assert messages.text("conflicts.verge_clearance") + ": 20 mm" in nothing
    assert messages.text("conflicts.pit_margin", at="12") in nothing


def test_percent_of_a_small_limit():
    """The percentage follows the limit that counts, here one by weight (3 mg/kg) of the shipped
    technique.
    """
    case = a_case(
        infiltration={"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"},
        patient={"age": "30 years", "sex": "female", "weight": "40 kg"},
    )
    planned = plan_case(case, a_technique())
    assert isinstance(planned.shown, Plan)
    assert planned.shown.dose == Dose(120.0, 120.0, "per_kg")
    assert reported(case)["infiltration"]["percent_of_limit"] == pytest.approx(100.0)
