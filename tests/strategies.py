"""Cases, techniques and outlines for tests: crafted by hand, shipped, or drawn by Hypothesis.

Crafted ones are YAML-shaped, with every scalar as text, and pass the same models as a file.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import yaml
from hypothesis import settings
from hypothesis import strategies as st
from tests.generated import SCENARIOS, TECHNIQUE_ID, cases, technique

from offmidline.geometry.fit import Demands, Disc
from offmidline.geometry.outline import Outline
from offmidline.plan import CasePlan, plan_case
from offmidline.records import AUDIENCES, Case, Library, Technique, load_library


def examples(count: int) -> settings:
    """Settings for a costly property: that many examples, unless a search asks for its own
    number.
    """
    usual = settings.default
    assert usual is not None
    return settings(usual, max_examples=count if usual.derandomize else usual.max_examples)


# A plain case: two pits that nothing but the length to width decides.
_PLAIN: dict[str, Any] = {
    "case": "crafted",
    "title": "Crafted",
    "audience": "trainee",
    "technique": TECHNIQUE_ID,
    "patient": {"age": "30 years", "sex": "male", "weight": "80 kg"},
    "findings": {
        "pits": [{"at": "70 mm", "diameter": "2 mm"}, {"at": "76 mm", "diameter": "2 mm"}],
        "cavity_depth": "14 mm",
        "fascia_depth": "24 mm",
    },
    "side": "right",
}


def a_case(
    *,
    pits: Sequence[tuple[float, float]] = (),
    openings: Sequence[tuple[float, float, str, float]] = (),
    findings: Mapping[str, str] | None = None,
    **parts: Any,
) -> Case:
    """A crafted case.

    ``pits`` are (level, diameter) and ``openings`` (level, lateral, side, diameter), mm; ``parts``
    replace parts of the file, None takes one away.
    """
    data = copy.deepcopy(_PLAIN)
    data["findings"].update(findings or {})
    if pits:
        data["findings"]["pits"] = [_sized(at, diameter) for at, diameter in pits]
    data["findings"]["openings"] = [
        {**_sized(at, diameter), "lateral": f"{lateral} mm", "side": side}
        for at, lateral, side, diameter in openings
    ]
    data.update(parts)
    return Case.model_validate({key: part for key, part in data.items() if part is not None})


def _sized(at: float, diameter: float) -> dict[str, str]:
    return {"at": f"{at} mm", "diameter": f"{diameter} mm"}


# The dimensions for which expected values are worked out; those that are shipped may change.
_USUAL: dict[str, str] = {
    "offset": "20 mm",
    "caudal_shift": "10 mm",
    "reach": "5 mm",
    "length_to_width": "2",
    "pit_margin": "3 mm",
    "opening_margin": "3 mm",
    "near_opening": "10 mm",
    "verge_clearance": "20 mm",
    "lowest_apex": "0 mm",
    "lateral_cut": "45 deg",
    "medial_cut": "90 deg",
    "clearance_below_cavity": "2 mm",
    "flap_thickness": "10 mm",
    "undermining": "20 mm",
    "deep_spacing": "12 mm",
    "superficial_spacing": "12 mm",
}


def a_technique(**dimensions: str) -> Technique:
    """The usual technique with other values for some of its dimensions."""
    data = copy.deepcopy(_shipped_technique())
    for name, value in {**_USUAL, **dimensions}.items():
        data["dimensions"][name]["value"] = value
    return Technique.model_validate(data)


@lru_cache(maxsize=1)
def _shipped_technique() -> dict[str, Any]:
    path = SCENARIOS / "techniques" / f"{TECHNIQUE_ID}.yml"
    loaded: dict[str, Any] = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)  # noqa: S506 - text only
    return loaded


@lru_cache(maxsize=1)
def library() -> Library:
    """Everything that is shipped, for every audience."""
    return load_library(SCENARIOS, AUDIENCES)


@lru_cache(maxsize=1)
def shipped_plans() -> tuple[CasePlan, ...]:
    """The plans of all shipped cases."""
    shipped = library()
    return tuple(plan_case(case, shipped.techniques[case.technique]) for case in shipped.cases)


@lru_cache(maxsize=8)
def generated_plans(start: int, stop: int) -> tuple[CasePlan, ...]:
    """The plans of some of the generated cases."""
    return tuple(plan_case(case, technique()) for case in generated_cases()[start:stop])


@lru_cache(maxsize=1)
def generated_cases() -> tuple[Case, ...]:
    """The 200 generated cases on which rules, mistakes and fit are tried."""
    return tuple(cases(200, seed=20))


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_subnormal=False)


@st.composite
def outlines(draw: st.DrawFn, *, bent: bool = True) -> Outline:
    """An outline whose edges are convex, as any technique's are."""
    offset, reach = draw(_mm(5, 30)), draw(_mm(0, 20))
    half_width, ratio = offset + reach, draw(_mm(1.2, 4))
    shift = draw(_mm(0, 1)) * 0.95 * half_width / (1 + 1 / ratio**2) if bent else 0.0
    caudal_apex = draw(_mm(-20, 60))
    return Outline(offset, shift, half_width, caudal_apex + 2 * ratio * half_width, caudal_apex)


@st.composite
def demands(draw: st.DrawFn) -> Demands:
    """What some technique may ask; its edges stay convex."""
    offset, reach = draw(_mm(10, 30)), draw(_mm(1, 10))
    ratio = draw(_mm(1.2, 3.5))
    convex = 0.95 * (offset + reach) / (1 + 1 / ratio**2)
    return Demands(
        offset=offset,
        caudal_shift=draw(_mm(0, 1)) * convex,
        least_reach=reach,
        greatest_reach=60.0,
        length_to_width=ratio,
        verge_clearance=draw(_mm(0, 30)),
        lowest_apex=draw(_mm(0, 20)),
    )


@st.composite
def pit_discs(draw: st.DrawFn, *, lowest: float = 40.0) -> list[Disc]:
    """One to four pits with their margin, the lowest at or above a level (mm)."""
    levels = [lowest + draw(_mm(0, 60))]
    for _ in range(draw(st.integers(0, 3))):
        levels.append(levels[-1] + draw(_mm(4, 25)))
    return [Disc(0.0, level, draw(_mm(1, 7))) for level in levels]
