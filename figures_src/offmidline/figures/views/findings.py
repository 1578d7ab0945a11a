"""The findings of a case for which no marking satisfies the technique, and the constraints that
conflict.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from offmidline import messages
from offmidline.figures.board import Kind
from offmidline.figures.drawing import Drawing, Point, ellipse
from offmidline.figures.labels import Label
from offmidline.figures.measures import round_about
from offmidline.figures.sheet import paragraph, sheet
from offmidline.figures.style import DASHED, TEXT_SIZE
from offmidline.figures.surface import (
    Content,
    bounds,
    draw_finding,
    draw_ground,
    draw_midline,
    label_landmarks,
    open_surface,
)
from offmidline.figures.words import conflict_words, number, say
from offmidline.marking import opening_x
from offmidline.plan import CasePlan

_AROUND: Final = 26.0
# Directions (degrees) in which the distance to be kept is drawn.
_DOWN_RIGHT: Final = -40.0
_DOWN_LEFT: Final = 220.0


def draw_conflict(planned: CasePlan) -> Drawing:
    """What was found, the distance to be kept from the verge, and why no marking exists."""
    case, settings = planned.case, planned.technique.settings
    side = case.flap_side
    pits = [(0.0, pit.at) for pit in case.findings.pits]
    openings = [(opening_x(o, side), o.at) for o in case.findings.openings]
    kept = settings.verge_clearance
    more = [paragraph("explanation", messages.text("conflicts.explanation"), TEXT_SIZE)]
    more += [
        paragraph(f"conflict-{index + 1}", f"• {line}", TEXT_SIZE)
        for index, line in enumerate(conflict_words(planned.conflicts))
    ]
    page = sheet(planned, say("marking.subtitle_none", side=say(side)), more)
    xs, ys = bounds([np.array([*pits, *openings, (_AROUND, kept), (-_AROUND, -kept)])])
    surface = open_surface(page, Content(xs, (ys[0] - 2, ys[1] + 8)), side)
    board, frame = surface.board, surface.board.frame
    draw_ground(surface)
    draw_midline(surface)
    if kept > 0:
        board.line("verge-clearance", ellipse((0, 0), kept, kept), "flap", DASHED)
        text = say("labels.verge_radius", value=number(kept))
        direction = _DOWN_LEFT if side == "left" else _DOWN_RIGHT
        board.dimensions(
            [round_about("verge-clearance", text, frame.at(0, 0), kept * frame.scale, direction)]
        )
    found: list[tuple[Kind, int, Point, float]] = [
        ("pit", n + 1, (0.0, pit.at), pit.diameter) for n, pit in enumerate(case.findings.pits)
    ]
    found += [
        ("opening", n + 1, place, one.diameter)
        for n, (one, place) in enumerate(zip(case.findings.openings, openings, strict=True))
    ]
    for kind, count, place, diameter in found:
        drawn = draw_finding(surface, kind, count, place, diameter, "found")
        text = say(f"labels.{kind}", at=number(place[1]))
        gid = f"label-{kind}-{count}"
        board.label(Label(gid, (text,), (drawn.centre,), surface.columns, drawn.radius))
    label_landmarks(surface)
    return surface.finish()
