"""What surrounds the operation in one case: why it is chosen here, who should do it, and what is
more likely to go wrong.

Only what a published source or usual teaching names counts, and nothing is given a threshold that
no source gives: an outline counts as long against the least that the technique allows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from offmidline.plan import CasePlan
from offmidline.records import Case, Patient
from offmidline.records.complication import Factor
from offmidline.rules import NOISE, judge

# Body mass index from which obesity is spoken of, and from which it is of class III; kg/m2.
# [who-894, from memory]
OBESE: Final = 30.0
OBESE_III: Final = 40.0
# Three or more pits, smoking, and an abscess before: more recurrences after the smallest
# procedures. [pitpick-longterm, iesalnieks-2015]
MANY_PITS: Final = 3
# When somebody else should operate: common practice, no source.
MOST_EXCISIONS: Final = 2
LEAST_AGE_YEARS: Final = 16
GRAVE_RISK_CLASS: Final = 3

Referral = Literal["no-marking", "excisions", "risk-class", "obesity", "age"]
CloserLook = Literal["caudal-shift", "openings", "levels", "coverage"]


@dataclass(frozen=True)
class Pathway:
    """The way of one patient round the operation.

    Attributes:
        factors: what makes a complication more likely, in a fixed order.
        referrals: why somebody more experienced, or another place, should decide or operate.
        closer_look: what is particular about this case and has a view; None without a marking.
    """

    factors: tuple[Factor, ...]
    referrals: tuple[Referral, ...]
    closer_look: CloserLook | None


def body_mass_index(person: Patient) -> float | None:
    """Weight over the square of the height, kg/m2; None where either is unknown."""
    if person.weight_kg is None or person.height is None:
        return None
    return person.weight_kg / (person.height / 1000) ** 2


def pathway(planned: CasePlan) -> Pathway:
    """What surrounds the operation in a case."""
    return Pathway(_factors(planned), _referrals(planned), _closer_look(planned))


def least_length(planned: CasePlan) -> float:
    """Length of the least outline that the technique allows for any findings, mm."""
    settings = planned.technique.settings
    return settings.length_to_width * 2 * (settings.offset + settings.reach)


def _factors(planned: CasePlan) -> tuple[Factor, ...]:
    case, plan = planned.case, planned.shown
    index = body_mass_index(case.patient)
    present: dict[Factor, bool] = {
        "low-pit": planned.right is None
        or (plan is not None and plan.verge_clearance < planned.technique.settings.verge_clearance),
        "long-outline": plan is not None and plan.outline.length > least_length(planned) + NOISE,
        "earlier-excision": _excised(case) > 0,
        "smoker": case.patient.smoker is True,
        "obesity": index is not None and index >= OBESE,
    }
    return tuple(factor for factor, there in present.items() if there)


def _referrals(planned: CasePlan) -> tuple[Referral, ...]:
    person = planned.case.patient
    index = body_mass_index(person)
    present: dict[Referral, bool] = {
        "no-marking": planned.right is None,
        "excisions": _excised(planned.case) > MOST_EXCISIONS,
        "risk-class": person.asa is not None and person.asa >= GRAVE_RISK_CLASS,
        "obesity": index is not None and index >= OBESE_III,
        "age": person.age_years < LEAST_AGE_YEARS,
    }
    return tuple(reason for reason, there in present.items() if there)


def _closer_look(planned: CasePlan) -> CloserLook | None:
    plan = planned.shown
    if plan is None:
        return None
    broken = {verdict.rule for verdict in judge(plan) if verdict.verdict == "not met"}
    if "caudal-shift" in broken:
        return "caudal-shift"
    if len(plan.openings) > 1:
        return "openings"
    return "levels" if plan.ends_on_fascia else "coverage"


def _excised(case: Case) -> int:
    return 0 if case.history is None or case.history.excised is None else case.history.excised
