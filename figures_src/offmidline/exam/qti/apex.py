"""A question that no printed paper asks: where on the figure of the findings the caudal apex goes.

No kind of question scores a drawn outline, but a point can be scored. The level is told, so that
what is asked is the way to the side: offset and caudal shift, and on which side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from offmidline import amounts, messages
from offmidline.figures.page.drawing import Point
from offmidline.figures.words import say
from offmidline.mistakes import wrong_plans
from offmidline.patient_words import patient_words
from offmidline.plan import CasePlan, Plan

# How far from the apex (mm) a point still counts. Common practice, no source.
TOLERANCE: Final = 4.0
# The mistakes that put the apex elsewhere at the same level.
_MISTAKES: Final = (
    "wrong-side",
    "centred-on-midline",
    "caudal-shift-forgotten",
    "caudal-shift-towards-midline",
)


class NoPlaceError(LookupError):
    """A case gives no question for the apex; the message says why."""


@dataclass(frozen=True)
class Slip:
    """Where a mistake puts the apex (mm, in the frame of the plan), and what is told of it."""

    at: Point
    title: str
    feedback: str


@dataclass(frozen=True)
class Apex:
    """The question for a case.

    Attributes:
        at: where the apex goes, mm in the frame of the plan.
        tolerance: how far from it a point still counts, mm.
        slips: the mistakes that are told apart from it.
    """

    planned: CasePlan
    stem: str
    lead_in: str
    explanation: str
    at: Point
    tolerance: float
    slips: tuple[Slip, ...]


def apex_question(planned: CasePlan) -> Apex:
    """The question for a case.

    Raises:
        NoPlaceError: where no marking satisfies the technique, or a mistake's apex lies so near
            that it would count as right.
    """
    plan = planned.right
    if plan is None:
        raise NoPlaceError(_say("no_marking"))
    at = plan.outline.caudal_point
    slips = _apart(
        _slip(name, plan, wrong)
        for name, wrong in wrong_plans(planned).items()
        if name in _MISTAKES
    )
    # Nearer, and its area would meet that of the right place.
    if any(math.dist(slip.at, at) <= 2 * TOLERANCE for slip in slips):
        raise NoPlaceError(_say("too_near"))
    settings, person = planned.technique.settings, planned.case.patient
    words = {
        "patient": patient_words(person, person.occupation),
        "side": say(plan.marking.side),
        "offset": amounts.millimetres(settings.offset),
        "shift": amounts.millimetres(settings.caudal_shift),
        "lateral": amounts.millimetres(at[0]),
        "level": amounts.millimetres(at[1]),
        "tolerance": amounts.millimetres(TOLERANCE),
    }
    return Apex(
        planned=planned,
        stem=_say("stem", **words),
        lead_in=_say("lead_in", **words),
        explanation=_say("explanation", **words),
        at=at,
        tolerance=TOLERANCE,
        slips=tuple(slips),
    )


def _slip(name: str, right: Plan, wrong: Plan) -> Slip:
    """A mistake's apex at the level that is told, on whichever side the mistake puts it."""
    lateral, level = wrong.outline.caudal_point[0], right.outline.caudal_point[1]
    same_side = wrong.marking.side == right.marking.side
    words = messages.section(f"mistakes.{name}")
    return Slip((lateral if same_side else -lateral, level), words["title"], words["feedback"])


def _apart(slips: Iterable[Slip]) -> list[Slip]:
    """The mistakes whose places are told apart, the first of each kept."""
    kept: list[Slip] = []
    for slip in slips:
        if all(math.dist(slip.at, other.at) > TOLERANCE for other in kept):
            kept.append(slip)
    return kept


def _say(key: str, /, **values: object) -> str:
    return messages.text(f"exam.package.apex.{key}", **values)
