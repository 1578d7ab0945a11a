"""The marking: what is drawn on the skin, seen from above, with its dimensions.

One datum for lateral lengths (the midline) and one for levels (the centre of the anal verge). Where
no marking satisfies the technique the findings are shown, and which constraints conflict.
"""

from __future__ import annotations

from typing import Final

from offmidline import messages
from offmidline.figures.drawing import Drawing
from offmidline.figures.layers import (
    draw_findings,
    draw_lines,
    label_findings,
    label_lines,
    plan_content,
)
from offmidline.figures.marking_dimensions import marking_dimensions
from offmidline.figures.sheet import sheet
from offmidline.figures.surface import label_landmarks, open_surface
from offmidline.figures.view import View, single
from offmidline.figures.views import findings
from offmidline.figures.words import Words, conflict_words, fate, isolated, number, say
from offmidline.plan import CasePlan, OpeningMeasure, Plan


def _draw(planned: CasePlan) -> Drawing:
    """The marking of a case, or its findings and the conflict where there is none."""
    if planned.shown is None:
        return findings.draw_conflict(planned)
    plan = planned.shown
    page = sheet(planned, say("marking.subtitle", side=say(plan.marking.side)))
    surface = open_surface(page, plan_content(plan), plan.marking.side)
    draw_lines(surface, plan)
    pits, openings = draw_findings(surface, plan)
    surface.board.dimensions(marking_dimensions(surface, plan, [*pits, *openings]))
    label_findings(surface, plan, pits, openings)
    label_lines(surface, plan)
    label_landmarks(surface)
    return surface.finish()


def _words(planned: CasePlan) -> Words:
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


MARKING: Final[View] = single(
    "marking", _words, _draw, reads=("case:findings", "case:side", "case:marking"), needs="findings"
)
