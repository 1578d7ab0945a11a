"""A plan as plain data: the object that ``offmidline measure --format json`` prints.

Its keys are relied on elsewhere: keys may be added, not renamed. mm and degrees to three decimals.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from offmidline import messages
from offmidline.geometry.closure import StitchRow
from offmidline.geometry.outline import Outline
from offmidline.infeasible import Conflict
from offmidline.plan import CasePlan, Plan
from offmidline.quantities import plain
from offmidline.rules import Requirement, Value, Verdict, judge

_DECIMALS = 3


def report(planned: CasePlan) -> dict[str, Any]:
    """The measures of what a case shows, and the conflicts where no marking satisfies its
    technique.
    """
    plan = planned.shown
    head = {
        "case": planned.case.case,
        "technique": planned.technique.technique,
        "caution": messages.text("caution.text"),
    }
    conflicts = [_conflict(conflict) for conflict in planned.conflicts]
    if plan is None:
        empty = dict.fromkeys(("outline", "scar", "trough", "closure", "infiltration"))
        lists: dict[str, list[Any]] = {"pits": [], "openings": [], "rules": []}
        return {**head, "side": planned.case.flap_side, **empty, **lists, "conflicts": conflicts}
    return {
        **head,
        "side": plan.marking.side,
        "outline": _outline(plan),
        "pits": [
            {"at": _round(pit.at), "margin": _round(pit.margin), "excised": pit.excised}
            for pit in plan.pits
        ],
        "openings": [
            {
                "at": _round(opening.at),
                "lateral": _round(opening.lateral),
                "side": opening.side,
                "margin": _round(opening.margin),
                "decision": opening.decision,
            }
            for opening in plan.openings
        ],
        "scar": _scar(plan.outline, plan.verge_clearance),
        "trough": {
            "depth": _round(plan.marking.depth),
            "base_width": _round(plan.base_width),
            "area_mm2": _round(plan.trough_area_mm2),
            "volume_ml": _round(plan.volume_ml),
        },
        "closure": {
            "skin_gap": _round(plan.skin_gap),
            "deep_gap": _round(plan.deep_gap),
            "rows": [
                _row("deep", plan.deep_row),
                _row("superficial", plan.superficial_row),
            ],
        },
        "infiltration": _infiltration(plan),
        "rules": [_verdict(verdict) for verdict in judge(plan)],
        "conflicts": conflicts,
    }


def report_text(planned: CasePlan) -> str:
    """The report for a terminal: a measure a line, a verdict a line, and the caution."""
    data = report(planned)
    lines = [
        f"{name}: {value}"
        for key, content in data.items()
        if key not in ("caution", "rules", "conflicts")
        for name, value in _lines(key, content)
    ]
    lines += [_verdict_line(verdict) for verdict in data["rules"]]
    if data["conflicts"]:
        lines.append(messages.text("conflicts.explanation"))
        lines += [f"- {line}" for line in conflict_lines(planned.conflicts)]
    return "\n".join([*lines, "", messages.text("caution.text")])


def conflict_lines(conflicts: Iterable[Conflict]) -> list[str]:
    """Each conflict as a sentence: what is asked, and the nearest that can be had."""
    lines = []
    for conflict in conflicts:
        at = None if conflict.at is None else plain(round(conflict.at, 1))
        words = {
            "constraint": messages.text(f"conflicts.{conflict.constraint}", at=at),
            "required": _asked(conflict, conflict.required),
        }
        if conflict.nearest is None:
            lines.append(messages.text("conflicts.hopeless", **words))
        else:
            nearest = _asked(conflict, conflict.nearest)
            lines.append(messages.text("conflicts.nearest", **words, nearest=nearest))
    return lines


def _asked(conflict: Conflict, value: float) -> str:
    if conflict.constraint == "length_to_width":
        return plain(round(value, 2))
    return f"{plain(round(value, 1))} mm"


def _lines(name: str, content: Any) -> list[tuple[str, Any]]:
    """Nested measures as dotted names; lists of measures are numbered from 1."""
    if isinstance(content, dict):
        return [line for key, value in content.items() for line in _lines(f"{name}.{key}", value)]
    if isinstance(content, list) and content and isinstance(content[0], dict):
        numbered = enumerate(content, start=1)
        return [line for number, item in numbered for line in _lines(f"{name}.{number}", item)]
    return [(name, "none" if content is None else content)]


def _verdict_line(verdict: dict[str, Any]) -> str:
    line = f"{verdict['verdict']}: {verdict['rule']}"
    if verdict["verdict"] == "not applicable":
        return line
    unit = f" {verdict['unit']}" if verdict["unit"] else ""
    required = verdict["required"]
    asked = " and ".join(map(str, required)) if isinstance(required, list) else required
    return f"{line}: {verdict['measured']}{unit}, {verdict['comparison']} {asked}{unit} required"


def _outline(plan: Plan) -> dict[str, Any]:
    outline = plan.outline
    covered = plan.midline_covered
    return {
        "cranial_apex": [_round(value) for value in outline.cranial_point],
        "caudal_apex": [_round(value) for value in outline.caudal_point],
        "offset": _round(outline.offset),
        "caudal_shift": _round(outline.caudal_shift),
        "reach": _round(outline.reach),
        "length": _round(outline.length),
        "width": _round(outline.width),
        "length_to_width": _round(outline.length_to_width),
        "area_mm2": _round(outline.area_mm2),
        "perimeter": _round(outline.perimeter),
        "medial_edge": _round(outline.medial_edge),
        "lateral_edge": _round(outline.lateral_edge),
        "edge_mismatch_percent": _round(outline.edge_mismatch_percent),
        "cranial_angle_deg": _round(outline.cranial_angle_deg),
        "caudal_angle_deg": _round(outline.caudal_angle_deg),
        "midline_covered": None if covered is None else [_round(level) for level in covered],
    }


def _scar(outline: Outline, verge_clearance: float) -> dict[str, Any]:
    return {
        "length": _round(outline.scar_length),
        "caudal_angle_deg": _round(outline.scar_angle_deg),
        "passes_verge_at": _round(outline.passes_verge_at),
        "verge_clearance": _round(verge_clearance),
    }


def _row(name: str, row: StitchRow) -> dict[str, Any]:
    return {"row": name, "stitches": row.stitches, "spacing": _round(row.spacing)}


def _infiltration(plan: Plan) -> dict[str, Any] | None:
    dose, infiltrate = plan.dose, plan.marking.infiltrate
    if dose is None or infiltrate is None:
        return None
    agent = plan.technique.infiltration[infiltrate.agent]
    return {
        "agent": infiltrate.agent,
        "label": agent.label,
        "country": agent.country,
        "dose_mg": _round(dose.dose_mg),
        "limit_mg": _round(dose.limit_mg),
        "limited_by": dose.limited_by,
        "percent_of_limit": _round(dose.percent_of_limit),
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "rule": verdict.rule,
        "verdict": verdict.verdict,
        "measured": _value(verdict.measured),
        "required": _required(verdict.required),
        "comparison": verdict.required.comparison if verdict.required else None,
        "unit": verdict.unit,
        "why": verdict.why,
        "status": verdict.status,
        "source": list(verdict.source),
    }


def _required(required: Requirement | None) -> Any:
    if required is None:
        return None
    if required.upper is None:
        return _value(required.value)
    return [_value(required.value), _round(required.upper)]


def _conflict(conflict: Conflict) -> dict[str, Any]:
    return {
        "constraint": conflict.constraint,
        "at": None if conflict.at is None else _round(conflict.at),
        "required": _round(conflict.required),
        "nearest": None if conflict.nearest is None else _round(conflict.nearest),
    }


def _value(value: Value | None) -> Any:
    return _round(value) if isinstance(value, float) else value


def _round(value: float) -> float:
    # Adding 0.0 turns a rounded -0.0 into 0.0.
    return round(float(value), _DECIMALS) + 0.0
