"""A case as an exercise: the data that a page carries, and the judgement of a learner's marking.

The browser does the same sums; this module is the reference that it is held to. The infiltration
is left out: it is not drawn.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import asdict, dataclass, fields, replace
from typing import Any, Final

from offmidline import rules
from offmidline.geometry.outline import Outline
from offmidline.marking import Marking
from offmidline.mistakes import MISTAKES, Mistake, wrong_plans
from offmidline.plan import CasePlan, Plan, measure
from offmidline.records import Technique
from offmidline.rules import RULES, Verdict, judge

SECTION_RULES: Final = frozenset(
    {
        rules.DEPTH,
        rules.LATERAL_CUT,
        rules.MEDIAL_CUT,
        rules.FLAP_THICKNESS,
        rules.UNDERMINING,
        rules.DEEP_SPACING,
    }
)
SURFACE_RULES: Final = (
    frozenset(rule.rule for rule in RULES) - SECTION_RULES - {rules.INFILTRATION_DOSE}
)
ALL_RULES: Final = SURFACE_RULES | SECTION_RULES

# What a rule weighs in the score where the technique does not say.
USUAL_WEIGHT: Final = 1.0

# The numbers of a marking's section; what decides between two mistakes that both fit.
_SECTION: Final = (
    "depth",
    "lateral_cut_deg",
    "medial_cut_deg",
    "flap_thickness",
    "undermining",
    "deep_stitches",
    "superficial_stitches",
)


_OPENINGS: Final = frozenset({rules.NEAR_OPENINGS_EXCISED, rules.DISTANT_OPENINGS_LEFT})


@dataclass(frozen=True)
class Judged:
    """A learner's marking, judged.

    Attributes:
        plan: what follows from the marking, with the openings that the technique decides to take.
        verdicts: of the rules that were asked for, in their order.
        points, most: weights of the rules that are met, and of those that apply.
        mistake: id of the named mistake that explains all that is broken; None without one.
    """

    plan: Plan
    verdicts: tuple[Verdict, ...]
    points: float
    most: float
    mistake: str | None


def exercise_data(planned: CasePlan) -> dict[str, Any]:
    """What a page needs to set and judge the exercise, with the right marking in it.

    Raises:
        ValueError: where no marking of the case is right.
    """
    findings = planned.case.findings
    return {
        "case": planned.case.case,
        "settings": asdict(planned.technique.settings),
        "weights": weights(planned.technique),
        "findings": {
            "pits": [{"at": pit.at, "diameter": pit.diameter} for pit in findings.pits],
            "openings": [
                {
                    "at": opening.at,
                    "lateral": opening.lateral,
                    "side": opening.side,
                    "diameter": opening.diameter,
                }
                for opening in findings.openings
            ],
            "cavity_depth": findings.cavity_depth,
            "fascia_depth": findings.fascia_depth,
        },
        "side": planned.case.flap_side,
        "right": marking_data(_right(planned)),
        "mistakes": [
            {
                "mistake": mistake.mistake,
                "breaks": sorted(mistake.breaks),
                "may_break": sorted(mistake.may_break),
                "marking": marking_data(marking),
            }
            for mistake, marking in _drawn_mistakes(planned)
        ],
    }


def marking_data(marking: Marking) -> dict[str, Any]:
    """A marking as plain data, without its infiltration."""
    return {
        "side": marking.side,
        "outline": {line.name: getattr(marking.outline, line.name) for line in fields(Outline)},
        "excised_openings": sorted(marking.excised_openings),
        **{name: getattr(marking, name) for name in _SECTION},
    }


def weights(technique: Technique) -> dict[str, float]:
    """What each rule weighs in the score, by the rule's id, in the rules' order."""
    return {rule.rule: technique.weights.get(rule.rule, USUAL_WEIGHT) for rule in RULES}


def judge_answer(planned: CasePlan, marking: Marking, asked: Collection[str] = ALL_RULES) -> Judged:
    """Judge a learner's marking, whose excised openings are those that the learner ticked.

    Raises:
        ValueError: where no marking of the case is right, so that nothing can be asked.
    """
    taken = _right(planned).excised_openings
    plan = measure(
        planned.case,
        planned.technique,
        replace(marking, excised_openings=taken, infiltrate=None),
    )
    verdicts = tuple(
        _ticked(verdict, taken, marking.excised_openings)
        for verdict in judge(plan)
        if verdict.rule in asked
    )
    weigh = weights(planned.technique)
    return Judged(
        plan=plan,
        verdicts=verdicts,
        points=sum(weigh[v.rule] for v in verdicts if v.verdict == "met"),
        most=sum(weigh[v.rule] for v in verdicts if v.verdict != "not applicable"),
        mistake=recognised(planned, verdicts, marking),
    )


def recognised(planned: CasePlan, verdicts: Collection[Verdict], marking: Marking) -> str | None:
    """The named mistake that explains all that is broken, if one does.

    It must lead the same way from the right marking: a shift that is too great breaks the same rule
    as one that was forgotten. Of several that do, the one whose marking lies nearest. All that is
    broken then belongs to the surface or to the section, so that the numbers of that part decide.
    """
    broken = {verdict.rule for verdict in verdicts if verdict.verdict == "not met"}
    numbers = _section_numbers if broken <= SECTION_RULES else _outline_numbers
    own, right = numbers(marking), numbers(_right(planned))
    fitting = [
        (mistake, made)
        for mistake, made in _drawn_mistakes(planned)
        if mistake.breaks <= broken <= mistake.breaks | mistake.may_break
        # An opening is missed or chased by whatever line; that has no direction.
        and (mistake.breaks <= _OPENINGS or _same_way(right, own, numbers(made)))
    ]
    nearest = min(
        fitting,
        key=lambda pair: sum(abs(a - b) for a, b in zip(own, numbers(pair[1]), strict=True)),
        default=None,
    )
    return None if nearest is None else nearest[0].mistake


def _same_way(start: list[float], one: list[float], other: list[float]) -> bool:
    """Whether two sets of numbers lie to the same side of a third, or the other is the third."""
    return sum((a - c) * (b - c) for a, b, c in zip(one, other, start, strict=True)) >= 0


def _right(planned: CasePlan) -> Marking:
    if planned.right is None:
        raise ValueError(f"{planned.case.case} has no right marking: it is no exercise")
    return planned.right.marking


def _drawn_mistakes(planned: CasePlan) -> list[tuple[Mistake, Marking]]:
    """The mistakes that apply to the case, with their markings, but for those of the dose."""
    made = wrong_plans(planned)
    return [
        (mistake, made[mistake.mistake].marking)
        for mistake in MISTAKES
        if mistake.mistake in made and mistake.breaks <= ALL_RULES
    ]


def _ticked(verdict: Verdict, taken: frozenset[int], ticked: frozenset[int]) -> Verdict:
    """The verdict after the learner's ticks: a right line does not mend a wrong decision."""
    forgotten = verdict.rule == rules.NEAR_OPENINGS_EXCISED and taken - ticked
    chased = verdict.rule == rules.DISTANT_OPENINGS_LEFT and ticked - taken
    return replace(verdict, verdict="not met") if forgotten or chased else verdict


def _outline_numbers(marking: Marking) -> list[float]:
    return [getattr(marking.outline, line.name) for line in fields(Outline)]


def _section_numbers(marking: Marking) -> list[float]:
    return [getattr(marking, name) for name in _SECTION]
