"""The words of figures: titles, captions and descriptions, computed from the plan that is drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from offmidline import messages
from offmidline.infeasible import Conflict
from offmidline.plan import CasePlan, OpeningMeasure, Plan

_SECTION: Final = "figures"
# Marks that begin a change of writing direction, and the pair that keeps it to the text between.
_DIRECTIONS: Final = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)
_MINUS: Final = "−"
_ISOLATE: Final = ("\u2068", "\u2069")


@dataclass(frozen=True)
class Words:
    """What is said about a figure: its title, a description instead of it, a caption under it."""

    title: str
    description: str
    caption: str


def say(name: str, /, **values: object) -> str:
    """A text of the figures' section, by its dotted name."""
    return messages.text(f"{_SECTION}.{name}", **values)


def number(value: float) -> str:
    """A measure as figures print it: one decimal, and none where it is a whole number."""
    # Adding 0.0 turns a rounded -0.0 into 0.0.
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0").replace("-", _MINUS)


def isolated(text: str) -> str:
    """A foreign text that may hold marks of writing direction, kept from turning its
    surroundings.
    """
    if any(mark in _DIRECTIONS for mark in text):
        return text.join(_ISOLATE)
    return text


def marking_words(planned: CasePlan) -> Words:
    """Title, description and caption of the marking, or of the findings where there is none."""
    plan = planned.shown
    case = isolated(planned.case.title)
    if plan is None:
        return Words(
            title=say("marking.title_none", case=case),
            description=_findings(planned),
            caption=say("marking.caption_none"),
        )
    outline = plan.outline
    side = say(plan.marking.side)
    return Words(
        title=say("marking.title", case=case),
        description=_marked(plan),
        caption=say(
            "marking.caption",
            side=side,
            length=number(outline.length),
            width=number(outline.width),
            offset=number(outline.offset),
            caudal=number(outline.caudal_point[0]),
        ),
    )


def section_words(planned: CasePlan) -> Words:
    """Title, description and caption of the section; raises LookupError where there is no
    marking.
    """
    plan = section_plan(planned)
    marking, outline = plan.marking, plan.outline
    measures = {
        "width": number(outline.width),
        "depth": number(marking.depth),
        "thickness": number(marking.flap_thickness),
        "undermining": number(marking.undermining),
    }
    return Words(
        title=say("section.title", case=isolated(planned.case.title)),
        description=say(
            "section.description",
            **measures,
            level=number(outline.widest_level),
            medial=number(-outline.reach),
            far=number(outline.offset + outline.half_width),
            offset=number(outline.offset),
            side=say(marking.side),
            base=number(plan.base_width),
            medial_cut=number(marking.medial_cut_deg),
            lateral_cut=number(marking.lateral_cut_deg),
            cavity=number(planned.case.findings.cavity_depth),
            fascia=number(planned.case.findings.fascia_depth),
            deep_gap=number(plan.deep_gap),
        ),
        caption=say("section.caption", **measures, lateral=number(marking.lateral_cut_deg)),
    )


class NoMarkingError(LookupError):
    """A view needs a marking, and no marking satisfies the technique."""


def section_plan(planned: CasePlan) -> Plan:
    """The plan that a section shows; raises NoMarkingError where there is none."""
    if planned.shown is None:
        raise NoMarkingError(say("section.none", case=planned.case.case))
    return planned.shown


def conflict_words(conflicts: Iterable[Conflict]) -> list[str]:
    """Each constraint that cannot be kept, with what it asks and the nearest that can be had."""
    lines = []
    for conflict in conflicts:
        at = "" if conflict.at is None else number(conflict.at)
        name = messages.text(f"conflicts.{conflict.constraint}", at=at)
        key = "conflicts.hopeless" if conflict.nearest is None else "conflicts.nearest"
        nearest = "" if conflict.nearest is None else _asked(conflict, conflict.nearest)
        lines.append(
            messages.text(
                key, constraint=name, required=_asked(conflict, conflict.required), nearest=nearest
            )
        )
    return lines


def _asked(conflict: Conflict, value: float) -> str:
    if conflict.constraint == "length_to_width":
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return f"{number(value)} mm"


def _marked(plan: Plan) -> str:
    outline = plan.outline
    reach = outline.reach
    covered = plan.midline_covered
    return say(
        "marking.description",
        side=say(plan.marking.side),
        cranial_level=number(outline.cranial_apex),
        caudal_level=number(outline.caudal_apex),
        offset=number(outline.offset),
        caudal=number(outline.caudal_point[0]),
        length=number(outline.length),
        width=number(outline.width),
        reach=say(
            "marking.reach" if reach >= 0 else "marking.reach_short", value=number(abs(reach))
        ),
        covered=say("marking.not_covered")
        if covered is None
        else say("marking.covered", low=number(covered[0]), high=number(covered[1])),
        pits=" ".join(
            say(
                "marking.pit_excised" if pit.excised else "marking.pit_left",
                at=number(pit.at),
                margin=number(pit.margin),
            )
            for pit in plan.pits
        ),
        openings=" ".join(map(_opening, plan.openings)) or say("marking.no_openings"),
        scar=number(outline.scar_length),
        passes=number(outline.passes_verge_at),
        clearance=number(plan.verge_clearance),
        undermining=number(plan.marking.undermining),
    )


def fate(opening: OpeningMeasure) -> str:
    """What a marking does to an opening: it is excised, left, or missed though it should be
    taken.
    """
    if opening.margin >= 0:
        return "excised"
    return "missed" if opening.decision == "excise" else "left"


def _opening(opening: OpeningMeasure) -> str:
    return say(
        f"marking.opening_{fate(opening)}",
        at=number(opening.at),
        lateral=number(opening.lateral),
        side=say(opening.side),
        margin=number(opening.margin),
    )


def _findings(planned: CasePlan) -> str:
    findings = planned.case.findings
    openings = [
        say(
            "marking.opening_found",
            at=number(opening.at),
            lateral=number(opening.lateral),
            side=say(opening.side),
        )
        for opening in findings.openings
    ]
    return say(
        "marking.description_none",
        pits=" ".join(say("marking.pit_found", at=number(pit.at)) for pit in findings.pits),
        openings=" ".join(openings) or say("marking.no_openings"),
        explanation=messages.text("conflicts.explanation"),
        conflicts=" ".join(f"{line}." for line in conflict_words(planned.conflicts)),
    )
