"""The way of a patient round the operation, in words: why it is done here, what to say before, what
to look at, and what is likely to go wrong.

What is returned is Markdown in which facts, citations and complications are still named.
"""

from __future__ import annotations

from collections.abc import Iterator

from offmidline import amounts, messages
from offmidline.markup import joined
from offmidline.pathway import MANY_PITS, Pathway, least_length
from offmidline.plan import CasePlan, Plan
from offmidline.site.case_words import count

# Where a closer look is drawn: the view, and the picture of it.
_VIEWS = {
    "caudal-shift": "caudal-shift",
    "openings": "marking-steps:openings",
    "levels": "levels",
    "coverage": "coverage",
}


def why_here(planned: CasePlan, way: Pathway) -> list[str]:
    """Why this operation, and not another, is thought of for this patient."""
    return list(_reasons(planned, way))


def consent(planned: CasePlan, way: Pathway) -> list[str]:
    """What this patient hears before agreeing."""
    return list(_consent_points(planned, way))


def closer_look(planned: CasePlan, way: Pathway) -> tuple[str, str] | None:
    """Why a further view matters in this case, and the name of its figure."""
    if way.closer_look is None:
        return None
    figure = f"{{{{ figure:{planned.case.case}:{_VIEWS[way.closer_look]} }}}}"
    return _say(f"look.{way.closer_look}"), figure


def likely(planned: CasePlan, way: Pathway) -> list[str]:
    """What is likely to go wrong, and what makes more of it likely in this patient."""
    points = [_say("likely.first")]
    points += [
        _say(
            f"likely.{factor}",
            length="" if planned.shown is None else _length(planned.shown),
            least=amounts.millimetres(least_length(planned)),
        )
        for factor in way.factors
    ]
    lowest = min(pit.at for pit in planned.case.findings.pits)
    return [*points, _say("likely.lowest", lowest=amounts.millimetres(lowest))]


def _reasons(planned: CasePlan, way: Pathway) -> Iterator[str]:
    case = planned.case
    history, pits = case.history, len(case.findings.pits)
    if history is not None and history.symptoms_months:
        yield _say("why.symptoms")
    if history is not None and history.drained:
        yield _say("why.drained")
    yield _say("why.many_pits" if pits >= MANY_PITS else "why.few_pits", count=count(pits))
    yield _say("why.midline")
    if history is not None and history.excised:
        yield _say("why.excised")
    if way.referrals:
        reasons = [_say_in_line(f"refer.{reason}") for reason in way.referrals]
        yield _say("why.refer", reasons=joined(reasons, messages.text("site.and")))


def _consent_points(planned: CasePlan, way: Pathway) -> Iterator[str]:
    plan = planned.shown
    yield _say("consent.alternatives")
    if plan is not None:
        yield _say(
            "consent.scar",
            length=amounts.millimetres(plan.outline.scar_length),
            side=messages.text(f"site.case.{plan.marking.side}"),
        )
    for key in ("fluid", "gap", "infection", "recurrence", "numbness"):
        yield _say(f"consent.{key}")
    for factor in way.factors:
        if factor in ("smoker", "obesity", "earlier-excision"):
            yield _say(f"consent.{factor}")


def _length(plan: Plan) -> str:
    return amounts.millimetres(plan.outline.length)


def _say(name: str, /, **values: object) -> str:
    sentence = _say_in_line(name, **values)
    return sentence[:1].upper() + sentence[1:]


def _say_in_line(name: str, /, **values: object) -> str:
    return messages.text(f"site.pathway.{name}", **values)
