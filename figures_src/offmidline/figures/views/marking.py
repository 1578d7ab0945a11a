"""The marking: what is drawn on the skin, seen from above, with its dimensions.

One datum for lateral lengths (the midline) and one for levels (the centre of the anal verge). Where
no marking satisfies the technique the findings are shown, and which constraints conflict.
"""

from __future__ import annotations

from typing import Final

from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.sheet import sheet
from offmidline.figures.scene.found_words import describe_found
from offmidline.figures.scene.ground import label_landmarks
from offmidline.figures.scene.layers import (
    draw_findings,
    draw_lines,
    label_findings,
    label_lines,
    plan_content,
)
from offmidline.figures.scene.marking_dimensions import marking_dimensions
from offmidline.figures.scene.plan_words import told
from offmidline.figures.scene.surface import open_surface
from offmidline.figures.view import View, single
from offmidline.figures.views import findings
from offmidline.figures.words import Words, isolated, say
from offmidline.plan import CasePlan


def _draw(planned: CasePlan) -> Drawing:
    """The marking of a case, or its findings and the conflict where there is none."""
    if planned.shown is None:
        side = say(planned.case.flap_side)
        return findings.draw_found(planned, say("marking.subtitle_none", side=side))
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
            description=describe_found(planned),
            caption=say("marking.caption_none"),
        )
    values = told(plan)
    return Words(
        title=say("marking.title", case=case),
        description=say("marking.description", **values),
        caption=say("marking.caption", **values),
    )


VIEW: Final[View] = single(
    "marking", _words, _draw, reads=("case:findings", "case:side", "case:marking"), needs="findings"
)
