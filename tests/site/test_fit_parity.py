"""The fit in the browser against the fit in Python: the shipped scripts in Chromium, the same cases
in both.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

import pytest
from tests.generated import cases, technique

from offmidline.infeasible import explain
from offmidline.marking import Fitted, Marking, fit_case, right_marking
from offmidline.records import Case, Technique, load_library
from offmidline.records.ranges import MARKING_REACH

from .conftest import ROOT

pytestmark = [pytest.mark.site, pytest.mark.browser]

ASSETS = ROOT / "handbook" / "assets"
SCRIPTS = ("dom.js", "engine/outline.js", "engine/section.js", "engine/fit.js")
TOLERANCE = 0.02  # mm: a tenth of a pen's line
GENERATED = 200

# Every answer for every case in one call; the case is explained where nothing fits.
RUN = """all => all.map(asked => {
  const fitted = Offmidline.fit.fitCase(asked);
  return {fitted: {...fitted, pits_only: lines(fitted.pits_only)},
    right: Offmidline.fit.rightMarking(asked),
    conflicts: fitted.outline ? null : Offmidline.fit.explain(asked, fitted)};
  function lines(o) {
    return o && {offset: o.offset, caudal_shift: o.caudal_shift, half_width: o.half_width,
      cranial_apex: o.cranial_apex, caudal_apex: o.caudal_apex};
  }
})"""


def lowered(case: Case, by: float) -> Case:
    """The same case nearer to the verge, where many have no marking; no pit leaves the cleft."""
    findings = case.findings
    pits = tuple(pit.model_copy(update={"at": max(pit.at - by, 1.0)}) for pit in findings.pits)
    openings = tuple(
        one.model_copy(update={"at": max(one.at - by, 0.0)}) for one in findings.openings
    )
    moved = findings.model_copy(update={"pits": pits, "openings": openings})
    return case.model_copy(update={"findings": moved})


def every_case() -> list[tuple[Case, Technique]]:
    """The shipped cases, generated ones high and low, and some under other dimensions."""
    library = load_library(ROOT / "scenarios", ("trainee", "examiner"))
    made = cases(GENERATED, seed=41)
    shipped = [(case, library.techniques[case.technique]) for case in library.cases]
    flap, other = technique(), other_technique()
    high = [(case, flap) for case in made[:130]]
    low = [(lowered(case, 28.0), flap) for case in made[130:170]]
    return [*shipped, *high, *low, *((case, other) for case in made[170:])]


def other_technique() -> Technique:
    """Narrower, longer, without a shift, and openings further away counted as near."""
    shipped = technique()
    changed = {
        "offset": 12.0,
        "caudal_shift": 0.0,
        "reach": 8.0,
        "length_to_width": 2.6,
        "near_opening": 24.0,
        "verge_clearance": 12.0,
        "lowest_apex": 6.0,
    }
    dimensions = shipped.dimensions
    fields = {
        name: getattr(dimensions, name).model_copy(update={"value": value})
        for name, value in changed.items()
    }
    return shipped.model_copy(update={"dimensions": dimensions.model_copy(update=fields)})


def asked_of(case: Case, technique: Technique) -> dict[str, Any]:
    """A case as the scripts take it."""
    findings = case.findings
    return {
        "settings": asdict(technique.settings),
        "greatest_reach": MARKING_REACH.high,
        "side": case.flap_side,
        "findings": {
            "pits": [pit.model_dump() for pit in findings.pits],
            "openings": [opening.model_dump() for opening in findings.openings],
            "cavity_depth": findings.cavity_depth,
            "fascia_depth": findings.fascia_depth,
        },
    }


def answer_of(case: Case, technique: Technique) -> dict[str, Any]:
    """What Python makes of a case, in the shape of what the scripts return."""
    fitted = fit_case(case, technique)
    right = right_marking(case, technique, fitted)
    return {
        "pits_only": fitted.pits_only and asdict(fitted.pits_only),
        "excised": sorted(fitted.excised_openings),
        "right": None if right is None else marking_data(right),
        "conflicts": None if fitted.outline else conflicts_of(case, technique, fitted),
    }


def marking_data(marking: Marking) -> dict[str, Any]:
    """A marking as the scripts write it."""
    data = asdict(replace(marking, infiltrate=None))
    data["excised_openings"] = sorted(marking.excised_openings)
    del data["infiltrate"]
    return data


def conflicts_of(case: Case, technique: Technique, fitted: Fitted) -> list[dict[str, Any]]:
    """The conflicts of a case."""
    return [asdict(conflict) for conflict in explain(case, technique, fitted)]


def differences(expected: Any, found: Any, way: str = "") -> Iterator[str]:
    """Where two values differ, numbers by more than the tolerance."""
    if isinstance(expected, dict) and isinstance(found, dict):
        if expected.keys() != found.keys():
            yield f"{way}: {sorted(expected)} / {sorted(found)}"
        for key in expected.keys() & found.keys():
            yield from differences(expected[key], found[key], f"{way}.{key}")
    elif isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        for number, (one, other) in enumerate(zip(expected, found, strict=True)):
            yield from differences(one, other, f"{way}[{number}]")
    elif isinstance(expected, float) and isinstance(found, int | float):
        if abs(expected - found) > TOLERANCE:
            yield f"{way}: {expected} / {found}"
    elif expected != found:
        yield f"{way}: {expected} / {found}"


@pytest.fixture(scope="module")
def every() -> list[tuple[Case, Technique]]:
    """The cases, each under its technique."""
    return every_case()


@pytest.fixture(scope="module")
def expected(every: list[tuple[Case, Technique]]) -> list[dict[str, Any]]:
    """Python's answers."""
    return [answer_of(case, technique) for case, technique in every]


def answers(
    browser: Any, every: list[tuple[Case, Technique]], broken: tuple[str, str] | None = None
) -> list[dict[str, Any]]:
    """The scripts' answers, with the fit changed in one place where a test asks for it."""
    page = browser.new_page()
    for script in SCRIPTS:
        text = (ASSETS / script).read_text("utf-8")
        if broken is not None and script == "engine/fit.js":
            assert broken[0] in text
            text = text.replace(*broken)
        page.add_script_tag(content=text)
    found = page.evaluate(RUN, [asked_of(case, technique) for case, technique in every])
    page.close()
    return [
        {
            "pits_only": one["fitted"]["pits_only"],
            "excised": one["fitted"]["excised_openings"],
            "right": one["right"],
            "conflicts": one["conflicts"],
        }
        for one in found
    ]


def test_browser_and_python_fit_alike(browser, every, expected):
    """Feasible or not, which openings, every number of the marking and of the conflicts."""
    found = answers(browser, every)
    faults = [
        f"{case.case}{fault}"
        for (case, _), one, other in zip(every, expected, found, strict=True)
        for fault in differences(one, other)
    ]
    assert faults == []


def test_the_cases_reach_every_kind_of_answer(expected):
    """With none, some and all openings taken; infeasible by pits, and by openings."""
    kinds = {(one["pits_only"] is None, one["right"] is None) for one in expected}
    assert kinds == {(False, False), (True, True), (False, True)}
    assert sum(one["right"] is None for one in expected) >= 20
    assert len({len(one["excised"]) for one in expected}) >= 3
    named = {conflict["constraint"] for one in expected for conflict in one["conflicts"] or ()}
    assert named >= {"pit_margin", "opening_margin", "verge_clearance", "length_to_width"}


@pytest.mark.parametrize(
    "broken",
    [
        ("found === side ? lateral : -lateral", "found === side ? -lateral : lateral"),
        ("(low + high) / 2, area", "low, area"),
        ("2 * bend * cosine - sign * size", "2 * bend * cosine + sign * size"),
    ],
    ids=["side", "middle", "normal"],
)
def test_a_slip_in_the_script_is_found(browser, every, expected, broken):
    """The comparison sees a wrong sign: otherwise its silence would mean nothing."""
    found = answers(browser, every[:40], broken)
    assert any(
        next(differences(one, other), None) for one, other in zip(expected[:40], found, strict=True)
    )
