"""The engine in the browser against the one in Python: the shipped scripts in Chromium, the same
markings in both.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
from tests.generated import cases
from tests.strategies import a_technique, library

from offmidline.exercise import (
    SECTION_RULES,
    SURFACE_RULES,
    Judged,
    exercise_data,
    judge_answer,
    marking_data,
)
from offmidline.geometry.closure import stitches_needed
from offmidline.geometry.outline import Outline
from offmidline.geometry.walls import walls
from offmidline.marking import Marking
from offmidline.mistakes import MISTAKES, wrong_plans
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.records import Case, Technique
from offmidline.rules import RULES

from .conftest import ROOT

pytestmark = [pytest.mark.site, pytest.mark.browser]

ASSETS = ROOT / "handbook" / "assets"
SCRIPTS = ("dom.js", "engine/outline.js", "engine/section.js", "engine/judge.js")
MARKINGS = 2000
FEW = 400  # are enough to find a fault that was put in
GENERATED = 15
# mm, mm2, ml, degrees, relative where above 1. The two do the same sums; the issue allows 0.02 mm.
TOLERANCE = 1e-6
LEVELS = 9
RING = 16

ASKED_RULES = {"all": SURFACE_RULES | SECTION_RULES, "surface": SURFACE_RULES}
ASKED_RULES |= {"section": SECTION_RULES}

OUTLINE_MEASURES = (
    *("reach", "length", "half_length", "width", "widest_level", "radius", "alpha"),
    *("length_to_width", "area_mm2", "cranial_point", "caudal_point", "medial_edge"),
    *("lateral_edge", "perimeter", "edge_mismatch_percent", "scar_length"),
    *("axis_slope_at_caudal_apex", "cranial_angle_deg", "caudal_angle_deg", "scar_angle_deg"),
    *("passes_verge_at", "scar_nearest_midline"),
)
PLAN_MEASURES = (
    *("midline_covered", "verge_clearance", "nearest_to_verge", "base_width", "trough_area_mm2"),
    *("volume_ml", "deep_gap", "skin_gap", "required_side"),
)

# Everything that the scripts say about each marking, in one call; as text, which goes over faster.
RUN = """text => {
  const [exercises, asked, names] = JSON.parse(text);
  const {outline, section, answer} = Offmidline;
  const rules = {all: undefined, surface: answer.SURFACE_RULES, section: answer.SECTION_RULES};
  return JSON.stringify(asked.map(({at, marking, narrowed}) => {
    const judged = answer.judge(exercises[at], marking, rules[narrowed]);
    if (!judged) return null;
    const {plan, ...rest} = judged, o = plan.outline, {settings, ...found} = plan;
    const level = (i) => o.caudal_apex - 5 + (o.length + 10) * i / (names.levels - 1);
    const levels = Array.from({length: names.levels}, (_, i) => level(i));
    return {...rest, plan: {...found,
      outline: Object.fromEntries(names.outline.map((name) => [name, o[name]])),
      drawn: {
        axis: levels.map((y) => outline.axis(o, y)),
        half_width: levels.map((y) => outline.halfWidthAt(o, y)),
        medial: levels.map((y) => outline.edgeX(o, "medial", y)),
        lateral: levels.map((y) => outline.edgeX(o, "lateral", y)),
        ring: outline.ring(o, names.ring),
        walls: section.walls(plan.trough, -o.reach, o.width - o.reach),
        stitches: section.stitchesNeeded(o.medial_edge, settings.deep_spacing),
      }}};
  }));
}"""


@dataclass(frozen=True)
class Asked:
    """A marking put to both: of which plan, and which rules judge it."""

    at: int
    marking: Marking | None
    data: Mapping[str, Any]
    narrowed: str


# --- what is asked


@lru_cache(maxsize=1)
def planned() -> tuple[CasePlan, ...]:
    """The trainees' shipped cases and generated ones, some under another technique, that have a
    right marking.
    """
    shipped = library()
    other = a_technique(
        offset="14 mm",
        caudal_shift="0 mm",
        reach="9 mm",
        length_to_width="2.5",
        lateral_cut="110 deg",
        flap_thickness="16 mm",
        near_opening="25 mm",
    ).model_copy(update={"weights": {"side": 0.3, "offset": 0.7}})
    usual = shipped.techniques["off-midline-flap"]
    made = cases(GENERATED, seed=5)
    pairs: list[tuple[Case, Technique]] = [
        *((case, usual) for case in shipped.cases if case.audience == "trainee"),
        *((case, usual if number % 3 else other) for number, case in enumerate(made)),
    ]
    plans = (plan_case(case, technique) for case, technique in pairs)
    return tuple(plan for plan in plans if plan.right is not None)


@lru_cache(maxsize=1)
def asked() -> tuple[Asked, ...]:
    """Seeded markings: right ones, named mistakes, near misses, wild ones, and impossible ones."""
    chance = random.Random(61)
    return tuple(one_asked(chance, number) for number in range(MARKINGS))


def one_asked(chance: random.Random, number: int) -> Asked:
    """One marking of one of the plans."""
    at = number % len(planned())
    plan = planned()[at]
    data = marking_data(start_of(chance, plan))
    lines = data["outline"]
    kind = chance.choice(["as it is", "near", "edge", "wild", "wild"])
    if kind == "near":
        for name in chance.sample(list(lines), chance.randint(1, 5)):
            lines[name] += chance.choice([chance.gauss(0, 3), chance.randint(-6, 6) / 2])
    elif kind == "edge":  # just on what the technique asks, or on its tolerance
        settings = plan.technique.settings
        lines["offset"] = settings.offset + chance.choice([-1, 0, 1])
        lines["caudal_shift"] = settings.caudal_shift + chance.choice([-1, 0, 1])
        lines["half_width"] = lines["offset"] + chance.choice([0, 1, settings.reach])
        data["lateral_cut_deg"] = settings.lateral_cut_deg + chance.choice([-5, 0, 5])
        data["flap_thickness"] = min(settings.flap_thickness, data["depth"])
    elif kind == "wild":
        lines |= wild_lines(chance)
    if chance.random() < 0.3:
        data |= wild_section(chance)
    openings = range(len(plan.case.findings.openings))
    if chance.random() < 0.5:
        data["excised_openings"] = [index for index in openings if chance.random() < 0.5]
    if chance.random() < 0.15:
        data["side"] = chance.choice(["left", "right"])
    return Asked(at, marking_of(data), data, chance.choice(list(ASKED_RULES)))


def start_of(chance: random.Random, plan: CasePlan) -> Marking:
    """The right marking, or one of the mistakes that apply."""
    assert plan.right is not None
    wrong = [made.marking for made in wrong_plans(plan).values()]
    return chance.choice(wrong) if chance.random() < 0.6 else plan.right.marking


def wild_lines(chance: random.Random) -> dict[str, float]:
    """Five numbers as a hand may set them: any side of the midline, low apexes, now and then
    wider than long or turned round.
    """
    half_width, caudal = chance.uniform(-1, 50), chance.uniform(-50, 90)
    length = 2 * half_width * chance.choice([chance.uniform(0.9, 4), 1.0, 2.0])
    return {
        "offset": chance.uniform(-40, 50),
        "caudal_shift": chance.choice([0.0, chance.uniform(-40, 40)]),
        "half_width": half_width,
        "cranial_apex": caudal + length,
        "caudal_apex": caudal,
    }


def wild_section(chance: random.Random) -> dict[str, float]:
    """A section beyond what anyone would cut."""
    return {
        "depth": chance.choice([0.0, *(chance.uniform(0.1, 120) for _ in range(9))]),
        "lateral_cut_deg": chance.choice([90.0, chance.uniform(3, 177)]),
        "medial_cut_deg": chance.choice([90.0, 180.0, *(chance.uniform(3, 177) for _ in range(9))]),
        "flap_thickness": chance.uniform(0.1, 40),
        "undermining": chance.choice([0.0, chance.uniform(0, 80)]),
        "deep_stitches": chance.randint(0, 60),
        "superficial_stitches": chance.randint(0, 60),
    }


def marking_of(data: Mapping[str, Any]) -> Marking | None:
    """The marking in Python; None where its outline is none."""
    try:
        outline = Outline(**data["outline"])
    except ValueError:
        return None
    taken = frozenset(data["excised_openings"])
    return Marking(**{**data, "outline": outline, "excised_openings": taken, "infiltrate": None})


# --- what each says


@lru_cache(maxsize=1)
def said_by_python() -> tuple[dict[str, Any] | None, ...]:
    """Everything that Python says about each marking."""
    return tuple(python_says(one) for one in asked())


def python_says(one: Asked) -> dict[str, Any] | None:
    """The judgement as plain data; None where there is nothing to judge."""
    if one.marking is None:
        return None
    try:
        judged = judge_answer(planned()[one.at], one.marking, ASKED_RULES[one.narrowed])
    except ValueError:
        return None
    return judged_data(judged)


def judged_data(judged: Judged) -> dict[str, Any]:
    """A judgement under the names that the scripts use."""
    verdicts = [
        {
            "rule": verdict.rule,
            "verdict": verdict.verdict,
            "measured": verdict.measured,
            "required": None if verdict.required is None else vars(verdict.required),
            "unit": verdict.unit,
        }
        for verdict in judged.verdicts
    ]
    return {
        "plan": plan_data(judged.plan),
        "verdicts": verdicts,
        "points": judged.points,
        "most": judged.most,
        "mistake": judged.mistake,
    }


def plan_data(plan: Plan) -> dict[str, Any]:
    """A plan under the names that the scripts use."""
    outline = plan.outline
    levels = np.linspace(outline.caudal_apex - 5, outline.cranial_apex + 5, LEVELS)
    drawn = walls(plan.trough, -outline.reach, outline.width - outline.reach)
    return {
        **{name: getattr(plan, name) for name in PLAN_MEASURES},
        "outline": {name: getattr(outline, name) for name in OUTLINE_MEASURES},
        "pits": [{**vars(pit), "excised": pit.excised} for pit in plan.pits],
        "openings": [vars(opening) for opening in plan.openings],
        "depth_window": vars(plan.depth_window),
        "deep_row": vars(plan.deep_row),
        "superficial_row": vars(plan.superficial_row),
        "drawn": {
            "axis": outline.axis(levels).tolist(),
            "half_width": outline.half_width_at(levels).tolist(),
            "medial": outline.edge_x("medial", levels).tolist(),
            "lateral": outline.edge_x("lateral", levels).tolist(),
            "ring": outline.ring(RING).tolist(),
            "walls": {"medial": drawn.medial, "lateral": drawn.lateral, "meet": drawn.meet},
            "stitches": stitches_needed(outline.medial_edge, plan.technique.settings.deep_spacing),
        },
    }


def said_by(page: Any, texts: Mapping[str, str], count: int = MARKINGS) -> list[Any]:
    """Everything that these scripts say about the first markings."""
    page.goto("about:blank")
    for name in SCRIPTS:
        page.add_script_tag(content=texts[name])
    exercises = [exercise_data(plan) for plan in planned()]
    markings = [
        {"at": one.at, "marking": one.data, "narrowed": one.narrowed} for one in asked()[:count]
    ]
    names = {"outline": OUTLINE_MEASURES, "levels": LEVELS, "ring": RING}
    said: list[Any] = json.loads(page.evaluate(RUN, json.dumps([exercises, markings, names])))
    return said


# --- where they differ


def flat(node: Any, way: str = "") -> Iterator[tuple[str, Any]]:
    """The leaves of a tree with the ways to them."""
    if isinstance(node, Mapping):
        for name, part in node.items():
            yield from flat(part, f"{way}.{name}")
    elif isinstance(node, list | tuple):
        yield f"{way}.count", len(node)
        for number, part in enumerate(node):
            yield from flat(part, f"{way}.{number}")
    else:
        yield way, node


def apart(ours: Any, theirs: Any) -> float:
    """How far two leaves lie apart; infinitely where they are no numbers and differ."""
    numbers = all(
        isinstance(leaf, int | float) and not isinstance(leaf, bool) for leaf in (ours, theirs)
    )
    if not numbers:
        return 0.0 if ours == theirs and type(ours) is type(theirs) else float("inf")
    return float(abs(ours - theirs) / max(1.0, abs(ours)))


def differences(theirs: list[Any]) -> dict[str, float]:
    """The largest difference at each leaf, over the markings; a leaf that is missing counts."""
    found: dict[str, float] = {}
    for expected, said in zip(said_by_python()[: len(theirs)], theirs, strict=True):
        leaves = dict(flat(said))
        for way, leaf in flat(expected):
            far = apart(leaf, leaves[way]) if way in leaves else float("inf")
            found[way] = max(found.get(way, 0.0), far)
    return found


@pytest.fixture(scope="module")
def page(browser) -> Iterator[Any]:
    """An empty page."""
    opened = browser.new_page()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def shipped_scripts() -> dict[str, str]:
    """The texts of the shipped scripts."""
    return {name: (ASSETS / name).read_text(encoding="utf-8") for name in SCRIPTS}


def test_the_browser_says_what_python_says(page, shipped_scripts):
    """Measures, verdicts, requirements, points and named mistakes agree on every marking."""
    found = differences(said_by(page, shipped_scripts))
    assert {way: far for way, far in found.items() if far > TOLERANCE} == {}
    # Nothing that is counted, decided or named may differ at all.
    assert {found[way] for way in (".points", ".most", ".mistake")} == {0.0}


def test_the_markings_try_everything():
    """Every rule is met and not met, every mistake is named, and some markings are impossible."""
    said = said_by_python()
    possible = [one for one in said if one is not None]
    verdicts = {(v["rule"], v["verdict"]) for one in possible for v in one["verdicts"]}
    for rule in SURFACE_RULES | SECTION_RULES:
        assert {(rule, "met"), (rule, "not met")} <= verdicts
    drawn = {mistake.mistake for mistake in MISTAKES if not mistake.mistake.startswith("dose-")}
    assert {one["mistake"] for one in possible} == drawn | {None}
    assert len(said) - len(possible) > MARKINGS // 50
    assert len(possible) > MARKINGS * 3 // 4


@pytest.mark.parametrize(
    ("script", "right", "wrong"),
    [
        (
            "engine/outline.js",
            "o.offset + o.caudal_shift * u * u;",
            "o.offset - o.caudal_shift * u * u;",
        ),
        ("engine/outline.js", "? distance : -distance", "? distance : distance"),
        ("engine/outline.js", "turn * Math.cos(2 * phi) -", "turn * Math.cos(2 * phi) +"),
        ("engine/section.js", "- (taper * depth * depth) / 2;", "+ (taper * depth * depth) / 2;"),
        ("engine/judge.js", "<= tolerance;", "< tolerance;"),
        ("engine/judge.js", "const NOISE = 0.01;", "const NOISE = 0.02;"),
        ("engine/judge.js", "if (far < least)", "if (far > 0)"),
        ("engine/judge.js", "lacks(taken, chosen)", "lacks(chosen, taken)"),
    ],
)
def test_a_changed_script_is_found(page, shipped_scripts, script, right, wrong):
    """The comparison can fail: one sign in one script is enough."""
    assert shipped_scripts[script].count(right) == 1
    changed = {**shipped_scripts, script: shipped_scripts[script].replace(right, wrong)}
    assert any(far > TOLERANCE for far in differences(said_by(page, changed, FEW)).values())


def test_the_lists_of_rules_agree(page, shipped_scripts):
    """The scripts narrow the judgement to the same rules."""
    said_by(page, shipped_scripts, 0)
    for name, rules in (("SURFACE_RULES", SURFACE_RULES), ("SECTION_RULES", SECTION_RULES)):
        listed = page.evaluate(f"Offmidline.answer.{name}")
        assert listed == [rule.rule for rule in RULES if rule.rule in rules]
