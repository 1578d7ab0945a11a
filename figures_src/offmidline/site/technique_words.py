"""A technique in words: its dimensions with their standing, and the limits of its drugs."""

from __future__ import annotations

from offmidline import amounts, messages
from offmidline.dimension_words import dimension, dimension_names
from offmidline.markup import Group, table
from offmidline.quantities import plain
from offmidline.records import AgentLimit, Technique
from offmidline.site import escape
from offmidline.site.standing import standing


def technique_page(technique: Technique) -> str:
    """The page of a technique, before numbering."""
    return "\n\n".join(
        [
            f"# {page_title(technique)}",
            messages.text("site.technique.lead"),
            f"## {messages.text('site.technique.dimensions')} {{ #dimensions }}",
            dimensions_table(technique),
            f"## {messages.text('site.technique.limits')} {{ #limits }}",
            messages.text("site.technique.limits_lead"),
            limits_table(technique),
        ]
    )


def page_title(technique: Technique) -> str:
    """The title of a technique's page."""
    return messages.text("site.technique.title", technique=escape.text(technique.title))


def dimensions_table(technique: Technique) -> str:
    """Every dimension: its value, why it is so, and how it stands."""
    rows = []
    for name, setting in dimension_names().items():
        record = getattr(technique.dimensions, setting)
        rows.append(
            (
                messages.text(f"site.dimensions.{name}"),
                f'<span class="om-value">{dimension(setting, record.value)}</span>',
                f"{escape.text(record.why)} {standing(record.status, record.source)}",
            )
        )
    return table(
        "dimensions-table",
        messages.text("site.technique.dimensions_caption"),
        [messages.text(f"site.technique.{head}") for head in ("dimension", "value", "reason")],
        [Group("", rows)],
        "om-reasons",
    )


def limits_table(technique: Technique) -> str:
    """The limits of every local anaesthetic, with label, country, and where sources disagree."""
    return table(
        "limits-table",
        messages.text("site.technique.limits_caption"),
        [messages.text(f"site.technique.{head}") for head in ("agent", "fixed", "per_kg", "label")],
        [Group("", [_limit(agent) for agent in technique.infiltration.values()])],
        "om-reasons",
    )


def _limit(agent: AgentLimit) -> tuple[str, ...]:
    interval = "" if agent.interval is None else f" {escape.text(agent.interval)}"
    per_kg = "–" if agent.per_kg_mg is None else f"{plain(agent.per_kg_mg)} mg/kg"
    by_weight = messages.section("site.standing_short")[agent.per_kg_standing]
    remark = (
        f' <span class="om-standing">{by_weight}</span>' if by_weight and agent.per_kg_mg else ""
    )
    texts = (f"{agent.label}, {agent.country}.", agent.why, agent.note or "")
    reason = " ".join(escape.text(text) for text in texts if text)
    return (
        escape.text(agent.name),
        f"{amounts.with_unit(agent.fixed_mg, 'mg')}{interval}",
        per_kg + remark,
        f"{reason} {standing(agent.status, agent.source)}",
    )
