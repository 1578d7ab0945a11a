"""The verdicts of all the rules as a table, and the arithmetic of the infiltration as steps."""

from __future__ import annotations

from offmidline import amounts, messages, rule_words
from offmidline.markup import Group, bullets, table
from offmidline.plan import Plan
from offmidline.quantities import plain
from offmidline.records import AgentLimit
from offmidline.rules import NOISE, Verdict
from offmidline.site import escape
from offmidline.site.standing import standing

_NONE = "–"
_CLASSES = {"met": "om-met", "not met": "om-broken", "not applicable": "om-idle"}


def rules_table(verdicts: tuple[Verdict, ...]) -> str:
    """Every rule with its verdict, what was measured and asked, the reason and its standing."""
    heads = [
        messages.text(f"site.rules.{head}") for head in ("rule", "verdict", "measured", "required")
    ]
    rows = [_rule_row(verdict) for verdict in verdicts]
    return table(
        "rules-table", messages.text("site.rules.caption"), heads, [Group("", rows)], "om-rules"
    )


def _rule_row(verdict: Verdict) -> tuple[str, ...]:
    reason = f"{escape.text(verdict.why)} {standing(verdict.status, verdict.source)}"
    outcome = messages.section("verdicts")[verdict.verdict]
    return (
        f'{escape.text(verdict.title)}<span class="om-reason">{reason}</span>',
        f'<span class="{_CLASSES[verdict.verdict]}">{outcome}</span>',
        _NONE if verdict.measured is None else rule_words.value(verdict.measured, verdict.unit),
        _NONE if verdict.required is None else rule_words.asked(verdict.required, verdict.unit),
    )


def infiltration(plan: Plan) -> str:
    """The dose against both limits, which of them counts, and where sources disagree; "" without
    one.
    """
    dose, given, weight = plan.dose, plan.marking.infiltrate, plan.case.patient.weight_kg
    if dose is None or given is None or weight is None:
        return ""
    agent = plan.technique.infiltration[given.agent]
    steps = [
        _say(
            "dose",
            agent=escape.text(agent.name),
            volume=plain(given.volume_ml),
            concentration=plain(given.concentration_mg_per_ml),
            dose=amounts.with_unit(dose.dose_mg, "mg"),
        ),
        _fixed(agent),
        _by_weight(agent, weight),
        _say(
            f"binds_{dose.limited_by}",
            limit=amounts.with_unit(dose.limit_mg, "mg"),
        ),
        _say(
            "over" if dose.dose_mg > dose.limit_mg + NOISE else "within",
            dose=amounts.with_unit(dose.dose_mg, "mg"),
            percent=amounts.percent(dose.percent_of_limit),
        ),
    ]
    reason = [f"{escape.text(agent.why)}"]
    if agent.note:
        reason.append(escape.text(agent.note))
    caution = f'<p class="om-inline-caution">{_say("caution")}</p>'
    return "\n".join(
        [bullets(steps, "om-sum"), *(f"<p>{sentence}</p>" for sentence in reason), caution]
    )


def _fixed(agent: AgentLimit) -> str:
    interval = "" if agent.interval is None else f" {escape.text(agent.interval)}"
    return _say(
        "fixed",
        limit=amounts.with_unit(agent.fixed_mg, "mg") + interval,
        label=escape.text(agent.label),
        country=escape.text(agent.country),
        standing=standing(agent.status, agent.source),
    )


def _by_weight(agent: AgentLimit, weight_kg: float) -> str:
    if agent.per_kg_mg is None:
        return _say("no_limit_by_weight")
    sources = agent.source if agent.per_kg_standing == "sourced" else ()
    return _say(
        "by_weight",
        per_kg=plain(agent.per_kg_mg),
        weight=plain(weight_kg),
        limit=amounts.with_unit(agent.per_kg_mg * weight_kg, "mg"),
        standing=standing(agent.per_kg_standing, sources),
    )


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.infiltration.{name}", **values)
