"""A technique in words: its dimensions with their standing, the limits of its drugs, its steps.

Its steps name the dimensions as chapters do (``{{ offset }}``); everything else that people wrote
is plain text.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from offmidline import amounts, messages
from offmidline.quantities import plain
from offmidline.records import AgentLimit, Fault, Phase, Step, Technique
from offmidline.site import escape
from offmidline.site.markup import Group, table
from offmidline.site.standing import standing
from offmidline.site.template import expand, unknown
from offmidline.site.values import dimension, dimension_names, technique_values


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


def steps_list(technique: Technique, phase: str, path: Path) -> tuple[str, list[Fault]]:
    """The steps of a phase as a numbered list, and the faults in the names that they use.

    ``path`` is the technique's file. Raises UnknownNameError for a phase that the technique lacks.
    """
    phases = {one.phase: one for one in technique.steps}
    if phase not in phases:
        raise unknown(phase, phases)
    faults: list[Fault] = []
    values = technique_values(technique)

    def look(name: str) -> str:
        if name not in values:
            raise unknown(name, values)
        return values[name]

    def filled(text: str) -> str:
        out, found = expand(text, str(path), look, escape.text)
        faults.extend(_in_file(fault, text, path) for fault in found)
        return out

    return _list(phases[phase], filled), faults


def _list(phase: Phase, filled: Callable[[str], str]) -> str:
    items = "\n".join(_step(step, filled) for step in phase.steps)
    return f'<ol class="om-steps">\n{items}\n</ol>'


def _step(step: Step, filled: Callable[[str], str]) -> str:
    rows = [("why", step.why), ("check", step.check), ("wrong", step.wrong)]
    details = "".join(
        f'<div class="om-{name}"><dt>{messages.text(f"site.steps.{name}")}</dt>'
        f"<dd>{filled(text)}</dd></div>"
        for name, text in rows
        if text is not None
    )
    pause = (
        f'<span class="om-pause">{messages.text("site.steps.pause")}</span>' if step.pause else ""
    )
    who = f'<span class="om-who">{messages.section("site.steps.who")[step.who]}</span>'
    return (
        f'<li id="step-{escape.attribute(step.step)}"><div class="om-do">{filled(step.do)}</div>'
        f'<div class="om-tags">{who}{pause}</div><dl>{details}</dl></li>'
    )


def _in_file(fault: Fault, text: str, path: Path) -> Fault:
    """The fault of a text of the technique at its place in the technique's file.

    The reader has folded the text's lines, so that the place is sought by the name itself.
    """
    source = path.read_text("utf-8")
    at = source.find(text[fault.column - 1 :].partition("}}")[0])
    if at < 0:
        return Fault(str(path), 1, 1, fault.message)
    return Fault(
        str(path), source.count("\n", 0, at) + 1, at - source.rfind("\n", 0, at), fault.message
    )
