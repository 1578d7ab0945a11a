"""The arithmetic of an infiltration in words: the dose, and the limits of a named label."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from offmidline.figures.words import number, say
from offmidline.plan import Plan
from offmidline.records import AgentLimit, Status


@dataclass(frozen=True)
class LimitWords:
    """A limit (mg), whether it is the smaller one, which counts, and its name with its value."""

    mg: float
    counts: bool
    words: str


def limits(plan: Plan) -> tuple[LimitWords, ...]:
    """The limits for a plan's infiltration, the one that counts first; none without a dose."""
    found = _agent(plan)
    if found is None or plan.dose is None:
        return ()
    agent, weight = found
    values = {"fixed": agent.fixed_mg}
    if agent.per_kg_mg is not None:
        values["per_kg"] = agent.per_kg_mg * weight
    told = [
        LimitWords(mg, name == plan.dose.limited_by, say(f"dose.limit_{name}", limit=number(mg)))
        for name, mg in values.items()
    ]
    return tuple(sorted(told, key=lambda limit: not limit.counts))


def arithmetic(plan: Plan) -> Iterator[str]:
    """How a plan's dose comes about, and what share of the limit it is."""
    given = plan.marking.infiltrate
    if given is None or plan.dose is None:
        return
    yield say(
        "dose.product",
        volume=number(given.volume_ml),
        concentration=number(given.concentration_mg_per_ml, 2),
    )
    yield say("dose.dose", dose=number(plan.dose.dose_mg))
    yield say("dose.share", percent=number(plan.dose.percent_of_limit))


def limit_lines(plan: Plan) -> Iterator[str]:
    """The agent, its label and limits, and which one counts, a sentence or two each."""
    found = _agent(plan)
    if found is None or plan.dose is None:
        return
    agent, weight = found
    yield say(
        "dose.fixed",
        agent=agent.name,
        limit=number(agent.fixed_mg),
        interval="" if agent.interval is None else f" {agent.interval}",
        label=agent.label,
        country=agent.country,
        standing=_standing(agent.status),
    )
    if agent.per_kg_mg is None:
        yield say("dose.no_limit_by_weight")
    else:
        yield say(
            "dose.by_weight",
            per_kg=number(agent.per_kg_mg, 2),
            weight=number(weight),
            limit=number(agent.per_kg_mg * weight),
            standing=_standing(agent.per_kg_standing),
        )
    yield say("dose.counts", limit=number(plan.dose.limit_mg))


def reservations(plan: Plan) -> Iterator[str]:
    """Where sources disagree about the limits of a plan's infiltration, and the caution."""
    found = _agent(plan)
    if found is None:
        return
    agent, _ = found
    if agent.note:
        yield agent.note
    yield say("dose.caution")


def _agent(plan: Plan) -> tuple[AgentLimit, float] | None:
    """The agent of a plan's infiltration, and the patient's weight (kg)."""
    given, weight = plan.marking.infiltrate, plan.case.patient.weight_kg
    if given is None or weight is None:
        return None
    return plan.technique.infiltration[given.agent], weight


def _standing(status: Status) -> str:
    """How a limit is founded, where that is not in its label."""
    return "" if status == "sourced" else say(f"dose.standing.{status}")
