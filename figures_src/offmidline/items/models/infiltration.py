"""Arithmetic of the infiltration: an exercise against a named label and its limits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from offmidline import amounts, messages, rules
from offmidline.dose import Dose, Limit, dose_against, smaller_limit
from offmidline.items.model import (
    Candidate,
    ItemModel,
    Material,
    Question,
    Scale,
    slip,
    standing_of_rule,
)
from offmidline.items.value import Number, value_model
from offmidline.items.worded import option, worded
from offmidline.patient_words import patient_words
from offmidline.plan import Plan
from offmidline.records import AgentLimit

_MILLIGRAMS: Final = Scale("mg")
_VOLUME: Final = Scale("ml", decimals=1)
_TENFOLD: Final = 10.0
_PERCENT: Final = 100.0
# 1 percent is 1 g in 100 ml.
_MG_PER_ML_A_PERCENT: Final = 10.0
_BY_PRACTICE: Final = "common practice"


def _drawn_up(plan: Plan) -> Dose | None:
    """The dose that the case draws up, within the limit or over it."""
    given = plan.case.infiltration
    if given is None or plan.dose is None:
        return None
    limit = Limit(plan.dose.limit_mg, plan.dose.limited_by)
    return dose_against(limit, given.concentration_mg_per_ml, given.volume_ml)


def _agent(plan: Plan) -> AgentLimit | None:
    given = plan.case.infiltration
    return None if given is None else plan.technique.infiltration[given.agent]


def _concentration(plan: Plan) -> float:
    """In mg/ml; only asked where the case has an infiltration."""
    given = plan.case.infiltration
    return math.nan if given is None else given.concentration_mg_per_ml


def _volume(plan: Plan) -> float:
    """In ml; only asked where the case has an infiltration."""
    given = plan.case.infiltration
    return math.nan if given is None else given.volume_ml


def _by_weight(plan: Plan) -> float | None:
    """The limit by body weight, mg."""
    agent, weight = _agent(plan), plan.case.patient.weight_kg
    if agent is None or agent.per_kg_mg is None or weight is None:
        return None
    return agent.per_kg_mg * weight


def _larger_limit(plan: Plan) -> float | None:
    """Where there are two limits and they differ, mg."""
    agent, by_weight = _agent(plan), _by_weight(plan)
    if agent is None or by_weight is None or by_weight == agent.fixed_mg:
        return None
    return max(agent.fixed_mg, by_weight)


def _other_agent(plan: Plan) -> tuple[str, float] | None:
    """Name and limit (mg) of the first other agent of the technique whose limit differs."""
    weight, own = plan.case.patient.weight_kg, plan.dose
    if weight is None or own is None:
        return None
    for agent in plan.technique.infiltration.values():
        limit = smaller_limit(agent.fixed_mg, agent.per_kg_mg, weight).limit_mg
        if limit != own.limit_mg:
            return agent.name, limit
    return None


def _downwards(volume_ml: float) -> float:
    """A volume rounded down to a tenth of a ml, so that no limit is passed by rounding."""
    # A quotient may be a hair below the tenth that it is.
    return math.floor(volume_ml * _TENFOLD + 1e-9) / _TENFOLD


def _largest_volume(plan: Plan) -> float | None:
    dose = _drawn_up(plan)
    return None if dose is None else _downwards(dose.limit_mg / _concentration(plan))


def _volume_left(plan: Plan) -> float | None:
    """What the limit leaves room for after the volume that was given; None where it leaves none."""
    dose = _drawn_up(plan)
    if dose is None or dose.dose_mg >= dose.limit_mg:
        return None
    return _downwards((dose.limit_mg - dose.dose_mg) / _concentration(plan))


def _told(plan: Plan) -> Mapping[str, str]:
    """What the words of these models need; nothing where the case has no infiltration."""
    agent, dose, person = _agent(plan), _drawn_up(plan), plan.case.patient
    if agent is None or dose is None:
        return {}
    by_weight, other = _by_weight(plan), _other_agent(plan)
    limits = {
        "agent": agent.name,
        "label": agent.label,
        "country": agent.country,
        "fixed": amounts.with_unit(agent.fixed_mg, "mg"),
        "per_kg": "" if agent.per_kg_mg is None else amounts.with_unit(agent.per_kg_mg, "mg/kg"),
        "interval": "" if agent.interval is None else f" {agent.interval}",
        "taught": "".join(_taught(agent)),
        "limit": amounts.with_unit(dose.limit_mg, "mg"),
    }
    which = "fixed" if by_weight is None else "both"
    against = "over" if dose.dose_mg > dose.limit_mg else "within"
    return {
        **limits,
        "limits": messages.text(f"items.limits.{which}", **limits),
        "patient": patient_words(person, person.occupation),
        "weight": amounts.with_unit(person.weight_kg or 0.0, "kg"),
        "by_weight": "" if by_weight is None else amounts.with_unit(by_weight, "mg"),
        "concentration": amounts.with_unit(_concentration(plan), "mg/ml"),
        "percentage": f"{amounts.ratio(_concentration(plan) / _MG_PER_ML_A_PERCENT)} %",
        "volume": amounts.with_unit(_volume(plan), "ml"),
        "dose": amounts.with_unit(dose.dose_mg, "mg"),
        "against": messages.text(f"items.limits.{against}", **limits),
        "other": "" if other is None else other[0],
    }


def _taught(agent: AgentLimit) -> Iterator[str]:
    """What of the limits is usual teaching, so that no reader takes it for a label's."""
    if agent.status == _BY_PRACTICE:
        yield messages.text("items.limits.taught_fixed")
    if agent.per_kg_mg is not None and agent.per_kg_standing == _BY_PRACTICE:
        yield messages.text("items.limits.taught_per_kg")


def _dose_judged(material: Material) -> Question | None:
    """Against both limits; where there are two."""
    plan, model = material.right, "dose-judged"
    if plan is None:
        return None
    agent, dose, by_weight = _agent(plan), _drawn_up(plan), _by_weight(plan)
    if agent is None or dose is None or by_weight is None:
        return None
    over_fixed, over_weight = dose.dose_mg > agent.fixed_mg, dose.dose_mg > by_weight
    names = {
        (False, False): "within-both",
        (False, True): "over-weight",
        (True, False): "over-fixed",
        (True, True): "over-both",
    }
    right = names.pop((over_fixed, over_weight))
    words = {**_told(plan), "answer": option(model, right)}
    return worded(
        model,
        words,
        standing_of_rule(rules.INFILTRATION_DOSE, plan),
        key=Candidate(text=option(model, right)),
        wrong=[
            slip(f"judged-{name}", None, option(model, name), **words) for name in names.values()
        ],
    )


def _model(model: str, wanted: Number) -> ItemModel:
    return value_model(model, "infiltration", wanted, rule=rules.INFILTRATION_DOSE, given=_told)


def _dose_mg(plan: Plan) -> float | None:
    dose = _drawn_up(plan)
    return None if dose is None else dose.dose_mg


def _limit_mg(plan: Plan) -> float | None:
    """Where there are two limits to choose from."""
    return plan.dose.limit_mg if plan.dose is not None and _larger_limit(plan) else None


def _percent_of_limit(plan: Plan) -> float | None:
    dose = _drawn_up(plan)
    return None if dose is None else dose.percent_of_limit


def _limits_added(plan: Plan) -> float | None:
    agent, by_weight = _agent(plan), _by_weight(plan)
    return None if agent is None or by_weight is None else agent.fixed_mg + by_weight


def _of_larger(plan: Plan, per_limit_mg: float) -> float | None:
    larger = _larger_limit(plan)
    return None if larger is None else larger * per_limit_mg


MODELS: Final[tuple[ItemModel, ...]] = (
    _model(
        "dose-mg",
        Number(
            _dose_mg,
            slips={
                "dose-divided": lambda plan: _volume(plan) / _concentration(plan),
                "volume-as-dose": _volume,
                "dose-tenfold": lambda plan: _TENFOLD * _volume(plan) * _concentration(plan),
            },
            scale=_MILLIGRAMS,
        ),
    ),
    _model(
        "dose-from-percent",
        Number(
            _dose_mg,
            slips={
                "percent-as-mg-per-ml": lambda plan: (
                    _volume(plan) * _concentration(plan) / _MG_PER_ML_A_PERCENT
                ),
                "volume-as-dose": _volume,
                "percent-as-hundredths-of-g": lambda plan: (
                    _TENFOLD * _volume(plan) * _concentration(plan)
                ),
            },
            scale=_MILLIGRAMS,
        ),
    ),
    _model(
        "dose-limit",
        Number(
            _limit_mg,
            slips={
                "larger-limit-taken": _larger_limit,
                "limits-added": _limits_added,
                "other-agent-taken": lambda plan: (
                    None if (other := _other_agent(plan)) is None else other[1]
                ),
            },
            scale=_MILLIGRAMS,
        ),
    ),
    _model(
        "largest-volume",
        Number(
            _largest_volume,
            slips={
                "volume-at-larger-limit": lambda plan: _of_larger(plan, 1 / _concentration(plan)),
                "milligrams-as-ml": lambda plan: plan.dose.limit_mg if plan.dose else None,
                "percent-divided-by": lambda plan: (
                    plan.dose.limit_mg / (_concentration(plan) / _MG_PER_ML_A_PERCENT)
                    if plan.dose
                    else None
                ),
            },
            scale=_VOLUME,
        ),
    ),
    _model(
        "percent-of-limit",
        Number(
            _percent_of_limit,
            slips={
                "percent-of-larger-limit": lambda plan: (
                    None
                    if (larger := _larger_limit(plan)) is None
                    else _PERCENT * (_dose_mg(plan) or 0.0) / larger
                ),
                "volume-over-limit": lambda plan: (
                    _PERCENT * _volume(plan) / plan.dose.limit_mg if plan.dose else None
                ),
                "limit-over-dose": lambda plan: (
                    _PERCENT * _PERCENT / (_percent_of_limit(plan) or math.nan)
                ),
            },
            scale=Scale("percent"),
        ),
    ),
    _model(
        "volume-left",
        Number(
            _volume_left,
            slips={
                "given-volume-forgotten": _largest_volume,
                "milligrams-left-as-ml": lambda plan: (
                    None if (dose := _drawn_up(plan)) is None else dose.limit_mg - dose.dose_mg
                ),
                "left-of-larger-limit": lambda plan: (
                    None
                    if (most := _of_larger(plan, 1 / _concentration(plan))) is None
                    else most - _volume(plan)
                ),
            },
            scale=_VOLUME,
        ),
    ),
    ItemModel("dose-judged", "infiltration", _dose_judged),
)
