"""The words of the section in steps: which step it is, and what it shows, with its measures."""

from __future__ import annotations

from typing import Final

from offmidline.figures.scene.plan_words import new_midline_place
from offmidline.figures.scene.stitches import stitches
from offmidline.figures.view import shown
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.closure import StitchRow
from offmidline.geometry.section import VERTICAL_DEG
from offmidline.plan import CasePlan, Plan

NAME: Final = "section-steps"
PARTS: Final = (
    "before",
    "medial-wall",
    "lateral-wall",
    "excised",
    "flap",
    "deep-row",
    "superficial-row",
    "skin",
)


def place(part: str) -> dict[str, object]:
    """Which of how many steps this is, and its name."""
    return {
        "number": PARTS.index(part) + 1,
        "count": len(PARTS),
        "name": say(f"{NAME}.parts.{part}").lower(),
    }


def step_words(planned: CasePlan, part: str) -> Words:
    """Title, description and caption of a step."""
    plan = shown(planned)
    which = place(part)
    values = {**_values(plan), **_cut_values(plan)}
    variant = "_none" if part == "flap" and plan.marking.undermining <= 0 else ""
    return Words(
        title=say(f"{NAME}.title", case=isolated(planned.case.title), **which),
        description=say(
            f"{NAME}.description",
            **which,
            level=number(plan.outline.widest_level),
            side=values["side"],
            shown=say(f"{NAME}.shown_{part}{variant}", **values),
            before="" if part == PARTS[0] else say(f"{NAME}.faint"),
        ),
        caption=say(f"{NAME}.caption_{part}{variant}", **values),
    )


def _values(plan: Plan) -> dict[str, str]:
    """The measures that the words of the steps tell."""
    marking, outline, findings = plan.marking, plan.outline, plan.case.findings
    crosses = marking.undermining > 0 and outline.reach > 0 and outline.offset > 0
    reach = "reach" if outline.reach > 0 else "reach_short" if outline.reach else "reach_none"
    return {
        "side": say(marking.side),
        "new_midline": new_midline_place(plan),
        "new_midline_mm": new_midline_place(plan, " mm"),
        "width": number(outline.width),
        "reach": say(f"{NAME}.{reach}", value=number(abs(outline.reach))),
        "cavity": number(findings.cavity_depth),
        "fascia": number(findings.fascia_depth),
        "thickness": number(marking.flap_thickness),
        "undermining": number(marking.undermining),
        "deep_gap": number(plan.deep_gap),
        "over": say(f"{NAME}.over") if crosses else "",
        "deep_row": _spaced(plan.deep_row),
        "superficial_row": _spaced(plan.superficial_row),
    }


def _cut_values(plan: Plan) -> dict[str, str]:
    """What is told about the trough: its walls, its floor, and what stays lateral of it."""
    marking = plan.marking
    lean = _lean(plan)
    bottom = number(plan.trough.meeting_depth(plan.outline.width))
    depth = number(marking.depth)
    floor = "floor" if plan.base_width > 0 else "floor_none"
    kept = abs(plan.trough.kept_lateral_mm2(plan.outline.width))
    return {
        "medial_cut": number(marking.medial_cut_deg),
        "lateral_cut": number(marking.lateral_cut_deg),
        "depth": depth,
        "bottom": bottom,
        "area": number(plan.trough_area_mm2),
        "lean": say(f"{NAME}.lean_{lean}"),
        "floor": say(f"{NAME}.{floor}", depth=depth, base=number(plan.base_width), bottom=bottom),
        "kept": say(f"{NAME}.kept_{lean}", value=number(kept)),
    }


def _lean(plan: Plan) -> str:
    """How the lateral wall leans."""
    angle = plan.marking.lateral_cut_deg
    if angle == VERTICAL_DEG:
        return "vertical"
    return "narrowing" if angle < VERTICAL_DEG else "widening"


def _spaced(row: StitchRow) -> str:
    """A row's stitches and how far apart they are."""
    return say(f"{NAME}.spaced", stitches=stitches(row.stitches), spacing=number(row.spacing))
