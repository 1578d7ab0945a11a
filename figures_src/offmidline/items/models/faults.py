"""A drawn marking to be judged: what is wrong with it, and which of several is right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import shapely

from offmidline import amounts, messages, rule_words
from offmidline.figures.views.question import question_part
from offmidline.items.item import Picture, Standing
from offmidline.items.model import Candidate, ItemModel, Material, Question, mistake
from offmidline.items.shortlist import first_shortlisted
from offmidline.mistakes import MISTAKES, Mistake
from offmidline.patient_words import patient_words
from offmidline.plan import Plan
from offmidline.rules import Verdict, broken, judge
from offmidline.variants import what_changes

# From this distance (mm) two outlines are told apart on a small picture. Common practice, no
# source.
VISIBLY_APART: Final = 6.0
# Points of an outline between which that distance is taken; more of them move it by hundredths.
_POINTS: Final = 64

_FAULT: Final = "fault-in-marking"
_RIGHT: Final = "right-drawing"


def _name_the_fault(material: Material) -> Question | None:
    """The drawing of a mistake, and the titles of mistakes that it is not."""
    stream = material.stream.fork(_FAULT, material.planned.case.case)
    drawn = _drawn(material)
    questions = (
        question
        for name in stream.shuffled(list(drawn))
        if (question := _fault_question(material, name, drawn)) is not None
    )
    return first_shortlisted(questions, stream)


def _fault_question(material: Material, name: str, drawn: Mapping[str, Plan]) -> Question | None:
    """The question for one mistake; None where the drawing could be that of another one."""
    plan = drawn[name]
    found = broken(plan)
    could_be = [one.mistake for one in _named(drawn) if _explains(one, found)]
    if could_be != [name]:
        return None
    verdicts = {verdict.rule: verdict for verdict in judge(plan)}
    key = mistake(name)
    wrong = (_met(one, verdicts) for one in _named(drawn) if one.mistake != name)
    faults = "; ".join(_finding(verdicts[rule]) for rule in verdicts if rule in found)
    return Question(
        form="fault",
        stem=_say(_FAULT, "stem", **_asked(material, plan)),
        lead_in=_say(_FAULT, "lead_in"),
        explanation=_say(_FAULT, "explanation", feedback=key.feedback, faults=faults),
        standing=_standing(verdicts, found),
        key=Candidate(text=key.title),
        wrong=tuple(one for one in wrong if one is not None),
        pictures=(Picture("question", question_part(plan.case.case, name)),),
    )


def _explains(one: Mistake, found: frozenset[str]) -> bool:
    """Whether a mistake accounts for what a plan breaks: for all of it, and it breaks no more."""
    return one.breaks <= found <= one.breaks | one.may_break


def _met(one: Mistake, verdicts: Mapping[str, Verdict]) -> Candidate | None:
    """The answer of a mistake that was not made, told by the rules that are met; None where a rule
    does not apply.
    """
    met = [verdicts[rule] for rule in verdicts if rule in one.breaks]
    if any(verdict.verdict != "met" for verdict in met):
        return None
    words = mistake(one.mistake)
    rules = "; ".join(_finding(verdict) for verdict in met)
    feedback = _say(_FAULT, "met", rules=rules)
    return Candidate(one.mistake, words.title, title=words.title, feedback=feedback)


def _finding(verdict: Verdict) -> str:
    """What a rule that applies measured and asks."""
    measured = "" if verdict.measured is None else rule_words.value(verdict.measured, verdict.unit)
    asked = "" if verdict.required is None else rule_words.asked(verdict.required, verdict.unit)
    return _say(_FAULT, "finding", rule=verdict.title, measured=measured, asked=asked)


def _standing(verdicts: Mapping[str, Verdict], found: frozenset[str]) -> Standing:
    """The first rule that is broken, in the order of the operation."""
    first = next(verdict for rule, verdict in verdicts.items() if rule in found)
    return Standing(first.title, first.why, first.status, first.source)


def _choose_the_right_one(material: Material) -> Question | None:
    """The right drawing among drawings of mistakes that look unlike it and each other."""
    right = material.right
    if right is None:
        return None
    stream = material.stream.fork(_RIGHT, material.planned.case.case)
    kept: dict[str, Plan] = {}
    for name, plan in stream.shuffled(list(_drawn(material).items())):
        if all(told_apart(plan, other) for other in (right, *kept.values())):
            kept[name] = plan
    case = right.case.case
    wrong = [mistake(name) for name in kept]
    return Question(
        form="drawing",
        stem=_say(_RIGHT, "stem", **_asked(material, right)),
        lead_in=_say(_RIGHT, "lead_in"),
        explanation=_say(_RIGHT, "explanation"),
        standing=Standing(
            _say(_RIGHT, "title"),
            _say(_RIGHT, "why", technique=right.technique.title),
            "local setting",
        ),
        key=Candidate(picture=Picture("choice", question_part(case, None))),
        wrong=tuple(
            Candidate(
                one.mistake,
                title=one.title,
                feedback=one.feedback,
                picture=Picture("choice", question_part(case, one.mistake)),
            )
            for one in wrong
        ),
    )


def told_apart(one: Plan, other: Plan) -> bool:
    """Whether two drawings of a case are seen to differ: by the side, by the openings inside the
    outline, or by an outline that lies elsewhere (``VISIBLY_APART``).
    """
    if one.marking.side != other.marking.side or _inside(one) != _inside(other):
        return True
    ring, beside = (shapely.LinearRing(plan.outline.ring(_POINTS)) for plan in (one, other))
    return float(shapely.hausdorff_distance(ring, beside)) >= VISIBLY_APART


def _inside(plan: Plan) -> tuple[bool, ...]:
    return tuple(opening.margin >= 0 for opening in plan.openings)


def _drawn(material: Material) -> dict[str, Plan]:
    """The mistakes of a case that are seen on the skin."""
    right = material.right
    if right is None:
        return {}
    return {
        name: plan
        for name, plan in material.wrong.items()
        if what_changes(right.marking, plan.marking) == "surface"
    }


def _named(drawn: Mapping[str, Plan]) -> Iterator[Mistake]:
    return (one for one in MISTAKES if one.mistake in drawn)


def _asked(material: Material, plan: Plan) -> dict[str, str]:
    """What the technique asks of every marking, in words."""
    settings, person = plan.technique.settings, material.planned.case.patient
    return {
        "patient": patient_words(person, person.occupation),
        "offset": amounts.millimetres(settings.offset),
        "shift": amounts.millimetres(settings.caudal_shift),
        "reach": amounts.millimetres(settings.reach),
        "ratio": amounts.ratio(settings.length_to_width),
        "margin": amounts.millimetres(settings.pit_margin),
        "near": amounts.millimetres(settings.near_opening),
        "clearance": amounts.millimetres(settings.verge_clearance),
    }


def _say(model: str, key: str, /, **values: object) -> str:
    return messages.text(f"items.models.{model}.{key}", **values)


MODELS: Final[tuple[ItemModel, ...]] = (
    ItemModel(_FAULT, "marking", _name_the_fault),
    ItemModel(_RIGHT, "marking", _choose_the_right_one),
)
