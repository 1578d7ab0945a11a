"""What the outline takes and what it leaves: the side, the pits, the openings, the midline."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from offmidline import amounts, messages, rules
from offmidline.figures.views.question import question_part
from offmidline.geometry.margin import disc_gap
from offmidline.items.item import Picture
from offmidline.items.model import (
    Candidate,
    ItemModel,
    Material,
    Question,
    Scale,
    mistake,
    slip,
    standing_of_rule,
)
from offmidline.items.value import Number, value_model
from offmidline.items.worded import TOLD, lengths, option, worded
from offmidline.marking import OTHER_SIDE, opening_x
from offmidline.patient_words import patient_words
from offmidline.plan import CasePlan, PitMeasure, Plan

# How closely a length is read by the scale bar of a figure, mm. Common practice, no source.
_BAR_STEP: Final = 3.0
# The rim of a pit is told and asked to a tenth of a mm.
_RIM: Final = Scale(decimals=1, reading=0.05)
_LETTERS: Final = "ABCDEFGH"
_FEWEST_PITS: Final = 2


def _side_to_choose(material: Material) -> Question | None:
    """Where one side has more openings than the other, and the flap goes there."""
    plan, case = material.right, material.planned.case
    counts = {side: sum(one.side == side for one in case.findings.openings) for side in OTHER_SIDE}
    if plan is None or counts[case.flap_side] <= counts[OTHER_SIDE[case.flap_side]]:
        return None
    model, side = "side-to-choose", plan.required_side
    words = {
        "patient": patient_words(case.patient, case.patient.occupation),
        "openings": _openings_found(plan),
        "side": messages.text(f"rule_words.{side}"),
    }
    return worded(
        model,
        words,
        standing_of_rule(rules.SIDE, plan),
        key=Candidate(text=option(model, side)),
        wrong=(
            mistake("wrong-side", None, option(model, OTHER_SIDE[side])),
            mistake("centred-on-midline", None, option(model, "midline")),
        ),
    )


def _openings_found(plan: Plan) -> str:
    """The openings of a case, each by its letter, level and distance to its side."""
    found = (
        messages.text(
            "items.findings.opening",
            letter=letter,
            **lengths(one, "at", "lateral"),
            side=messages.text(f"rule_words.{one.side}"),
        )
        for letter, one in zip(_LETTERS, plan.openings, strict=False)
    )
    return "; ".join(found)


def _openings_to_take(material: Material) -> Question | None:
    """Where the outline for the pits decides about every opening."""
    plan, planned = material.right, material.planned
    if plan is None or planned.fitted.pits_only is None or not plan.openings:
        return None
    near = plan.technique.settings.near_opening
    gaps = _gaps_to_pits_outline(planned)
    key = frozenset(index for index, gap in enumerate(gaps) if gap <= near)
    # An opening that only the second outline reaches cannot be told from the first.
    if key != planned.fitted.excised_openings or len(gaps) > len(_LETTERS):
        return None
    words = {
        "patient": patient_words(plan.case.patient, plan.case.patient.occupation),
        "openings": _openings_found(plan),
        "gaps": "; ".join(map(_gap_words, _LETTERS, gaps)),
        "near": amounts.millimetres(near),
    }
    return worded(
        "openings-to-take",
        {**words, "answer": _taken(key, len(gaps))},
        standing_of_rule(rules.DISTANT_OPENINGS_LEFT, plan),
        key=Candidate(text=_taken(key, len(gaps))),
        wrong=[
            one
            for one in _other_openings(material, plan, gaps)
            if one.text != _taken(key, len(gaps))
        ],
    )


def _gaps_to_pits_outline(planned: CasePlan) -> list[float]:
    """How far each opening's rim lies outside the outline fitted to the pits alone, mm."""
    outline = planned.fitted.pits_only
    if outline is None:
        return []
    return [
        disc_gap(outline, opening_x(one, planned.case.flap_side), one.at, one.diameter)
        for one in planned.case.findings.openings
    ]


def _gap_words(letter: str, gap: float) -> str:
    kind = "outside" if gap > 0 else "reached"
    return messages.text(f"items.findings.{kind}", letter=letter, gap=amounts.millimetres(gap))


def _other_openings(material: Material, plan: Plan, gaps: Sequence[float]) -> Iterable[Candidate]:
    """The openings that named mistakes take instead."""
    count = len(gaps)
    if "near-opening-missed" in material.wrong:
        reached = frozenset(index for index, gap in enumerate(gaps) if gap <= 0)
        yield mistake("near-opening-missed", None, _taken(reached, count))
    if "distant-opening-chased" in material.wrong:
        chased = material.wrong["distant-opening-chased"].marking.excised_openings
        yield mistake("distant-opening-chased", None, _taken(chased, count))
    same_side = (index for index, one in enumerate(plan.openings) if one.side == plan.required_side)
    yield slip("openings-of-the-side", None, _taken(frozenset(same_side), count))
    yield slip("openings-all-left", None, _taken(frozenset(), count))
    farthest = max(range(count), key=lambda index: abs(plan.openings[index].x))
    yield slip("farthest-alone", None, _taken(frozenset({farthest}), count))


def _taken(indices: frozenset[int], count: int) -> str:
    """Which openings are excised and which are left, as an option says it."""
    taken = [_LETTERS[index] for index in range(count) if index in indices]
    left = [_LETTERS[index] for index in range(count) if index not in indices]
    return option("openings-to-take", "set", taken=_listed(taken), left=_listed(left))


def _listed(names: Sequence[str]) -> str:
    if not names:
        return messages.text("items.findings.nothing")
    *rest, last = names
    both = messages.text("items.findings.listed", first=", ".join(rest), last=last)
    return both if rest else last


def _pits_left_behind(material: Material) -> Question | None:
    """By an outline whose caudal apex lies just below the lowest pit."""
    plan = material.wrong.get("caudal-pit-outside")
    if plan is None or len(plan.pits) < _FEWEST_PITS:
        return None
    pits = sorted(plan.pits, key=lambda pit: pit.at)
    left = [pit for pit in pits if not pit.excised]
    # A pit whose rim the line touches cannot be judged by eye.
    if not left or any(abs(pit.margin) <= rules.LINE_TOLERANCE for pit in pits):
        return None
    case = plan.case.case
    words = {
        **lengths(plan.outline, "cranial_apex", "caudal_apex"),
        "pits": _listed([amounts.millimetres(pit.at) for pit in pits]),
        "answer": _pits(left, pits),
    }
    others = {
        "apexes-trusted": (),
        "far-pit-named": pits[-1:],
        "near-pit-alone": pits[:1],
        "whole-row-lost": pits,
    }
    return worded(
        "pits-left-behind",
        words,
        standing_of_rule(rules.PITS_COVERED, plan),
        key=Candidate(text=_pits(left, pits)),
        wrong=[
            slip(name, None, _pits(some, pits), **words)
            for name, some in others.items()
            if list(some) != left
        ],
        pictures=(Picture("question", question_part(case, "caudal-pit-outside")),),
    )


def _pits(left: Sequence[PitMeasure], pits: Sequence[PitMeasure]) -> str:
    """Which pits lie inside and which are left behind, as an option says it."""
    levels = [amounts.millimetres(pit.at) for pit in pits]
    behind = [level for level, pit in zip(levels, pits, strict=True) if pit in left]
    inside = [level for level in levels if level not in behind]
    return option("pits-left-behind", "set", inside=_listed(inside), left=_listed(behind))


def _midline_by_the_bar(material: Material) -> Question | None:
    """Read off the figure of the right marking."""
    plan = material.right
    if plan is None or plan.midline_covered is None:
        return None
    low, high = plan.midline_covered
    lowest, highest = plan.case.findings.midline_extent
    words = {
        **lengths(plan.outline, "length"),
        "covered": amounts.span(round(low), round(high)),
        "answer": amounts.millimetres(round(high - low)),
    }
    return worded(
        "midline-covered",
        words,
        standing_of_rule(rules.PITS_COVERED, plan),
        key=Candidate(value=high - low),
        wrong=(
            slip("whole-length-taken", plan.outline.length, **words),
            slip("pits-extent-taken", highest - lowest, **words),
        ),
        scale=Scale(step=_BAR_STEP, always_numeric=True),
        pictures=(Picture("question", question_part(plan.case.case, None)),),
    )


def _caudal_stretch(plan: Plan) -> float | None:
    covered = plan.midline_covered
    return None if covered is None else covered[0] - plan.outline.caudal_apex


def _crossings(plan: Plan) -> Mapping[str, str]:
    low, high = plan.midline_covered or (0.0, 0.0)
    return {
        **lengths(plan.outline, "cranial_apex", "caudal_apex"),
        "low": amounts.millimetres(low),
        "high": amounts.millimetres(high),
    }


def _nearest_pit(plan: Plan) -> PitMeasure:
    """The pit with the narrowest rim."""
    return min(plan.pits, key=lambda pit: pit.margin)


def _rim(plan: Plan) -> dict[str, str]:
    pit = _nearest_pit(plan)
    return {
        **lengths(pit, "at", "diameter"),
        "distance": amounts.millimetres(pit.margin + pit.diameter / 2),
        "asked": amounts.millimetres(plan.technique.settings.pit_margin),
    }


MODELS: Final[tuple[ItemModel, ...]] = (
    ItemModel("side-to-choose", "marking", _side_to_choose),
    ItemModel("openings-to-take", "marking", _openings_to_take),
    value_model(
        "pit-rim",
        "marking",
        Number(
            lambda plan: _nearest_pit(plan).margin,
            slips={
                "rim-from-centre": lambda plan: (
                    _nearest_pit(plan).margin + _nearest_pit(plan).diameter / 2
                ),
                "whole-pit-taken-off": lambda plan: (
                    _nearest_pit(plan).margin - _nearest_pit(plan).diameter / 2
                ),
                "half-pit-added": lambda plan: (
                    _nearest_pit(plan).margin + _nearest_pit(plan).diameter
                ),
            },
            scale=_RIM,
        ),
        rule=rules.PITS_COVERED,
        given=_rim,
    ),
    ItemModel("pits-left-behind", "marking", _pits_left_behind),
    ItemModel("midline-covered", "marking", _midline_by_the_bar),
    value_model(
        "caudal-stretch",
        "marking",
        Number(
            _caudal_stretch,
            slips={
                "apexes-trusted-all-along": lambda _: 0.0,
                "crossing-level-taken": lambda plan: (plan.midline_covered or (0.0, 0.0))[0],
                "covered-stretch-taken": lambda plan: (
                    None
                    if plan.midline_covered is None
                    else plan.midline_covered[1] - plan.midline_covered[0]
                ),
            },
            scale=Scale(reading=TOLD),
        ),
        rule=rules.PITS_COVERED,
        given=_crossings,
    ),
)
