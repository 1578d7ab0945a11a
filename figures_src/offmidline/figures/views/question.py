"""A marking to be judged: one picture for each marking that a question may show, the one that the
technique asks for among them, and none tells which that is.

A picture is named by a code. All of a case are drawn at one scale in one field, symmetric about the
midline, and told by the patient, as the title of a case may give the answer away.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import Final

import numpy as np

from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import Anchor, Drawing, Writing, polyline
from offmidline.figures.page.labels import Column
from offmidline.figures.page.measures import Measure
from offmidline.figures.page.metrics import ASCENT
from offmidline.figures.page.sheet import ROOM, Block, Sheet, paragraph
from offmidline.figures.page.style import (
    CUT,
    DOUBLE_DOT,
    FINE_DOUBLE_DOT,
    SMALL_SIZE,
    TEXT_SIZE,
    TITLE_SIZE,
)
from offmidline.figures.scene.found import Finding
from offmidline.figures.scene.ground import (
    draw_ground,
    draw_midline,
    label_landmarks,
)
from offmidline.figures.scene.layers import draw_findings, undecided
from offmidline.figures.scene.marking_dimensions import (
    caudal_apex_measure,
    label_nothing,
    length_measure,
    offset_measure,
    width_measures,
)
from offmidline.figures.scene.surface import (
    ABOVE_FINDINGS,
    BELOW_VERGE,
    COLUMN_GAP,
    HEAD_ROW,
    LANE,
    Content,
    Surface,
    fit_contents,
)
from offmidline.figures.scene.traces import outline_trace, scar_trace
from offmidline.figures.scene.unjudged_words import found_in_short, unjudged
from offmidline.figures.view import View, right
from offmidline.figures.words import Words, isolated, say
from offmidline.geometry.outline import Outline
from offmidline.mistakes import wrong_plans
from offmidline.once import once
from offmidline.patient_words import patient_words
from offmidline.plan import CasePlan, Plan
from offmidline.variants import what_changes

# What the code of the marking is made from that no mistake has changed.
_UNCHANGED: Final = "right"
# Digits of a code: two markings of a case do not share one by chance.
_DIGITS: Final = 8
# The patient's description takes at most so many lines, the technique's title so many.
_PATIENT_LINES: Final = 3
_TECHNIQUE_LINES: Final = 2
# Lengths that are told also where they are none.
_TOLD: Final = ("offset", "caudal-apex", "reach")

# What decides how the markings of a case look.
READS: Final = (
    "case:findings",
    "case:side",
    "technique:offset",
    "technique:caudal_shift",
    "technique:reach",
    "technique:length_to_width",
    "technique:pit_margin",
    "technique:opening_margin",
    "technique:near_opening",
    "technique:verge_clearance",
)


def question_part(case_id: str, mistake: str | None) -> str:
    """The name of a picture: of a mistake of a case, or (None) of its right marking.

    The same in every build. It keeps a reader from seeing the answer, not a programmer from working
    it out.
    """
    named = f"{case_id}:{mistake or _UNCHANGED}"
    return hashlib.sha256(named.encode()).hexdigest()[:_DIGITS]


@once
def candidates(planned: CasePlan) -> Mapping[str, Plan]:
    """The plans whose markings a question may show, by the names of their pictures and in the order
    of these, which says nothing; raises NoMarkingError where no marking is right.
    """
    case, asked = planned.case.case, right(planned)
    plans = {question_part(case, None): asked}
    for mistake, plan in wrong_plans(planned).items():
        if what_changes(asked.marking, plan.marking) == "surface":
            plans[question_part(case, mistake)] = plan
    return dict(sorted(plans.items()))


@once
def field(planned: CasePlan) -> Content:
    """What every picture of a case must hold: all its markings, on either side."""
    plans = candidates(planned).values()
    rings = np.vstack([plan.outline.ring(32) for plan in plans])
    findings = planned.case.findings
    tops = [pit.at + pit.diameter / 2 for pit in findings.pits]
    tops += [opening.at + opening.diameter / 2 for opening in findings.openings]
    aside = [opening.lateral + opening.diameter / 2 for opening in findings.openings]
    half = max([float(np.abs(rings[:, 0]).max()), *aside])
    highest = max(float(rings[:, 1].max()), max(tops) + ABOVE_FINDINGS)
    return Content(
        (-half, half),
        (min(float(rings[:, 1].min()), -BELOW_VERGE), highest),
        apex=max(plan.outline.cranial_apex for plan in plans),
        beside=False,
    )


def patient_block(planned: CasePlan, size: float) -> Block:
    """What tells the case instead of its title."""
    person = planned.case.patient
    text = isolated(patient_words(person, person.occupation))
    return paragraph("case-title", text, size, bold=True, most=_PATIENT_LINES)


def technique_block(planned: CasePlan) -> Block:
    """The technique by which the marking is to be judged."""
    title = planned.technique.title
    return paragraph("technique", title, SMALL_SIZE, role="muted", most=_TECHNIQUE_LINES)


def caution_block() -> Block:
    """The caution that stands on every figure."""
    return paragraph("caution", say("caution"), SMALL_SIZE, role="muted")


def words_of(view: str, planned: CasePlan, part: str) -> Words:
    """Title, description and caption of a picture of a view of markings to be judged."""
    values = {"code": part, **unjudged(candidates(planned)[part])}
    return Words(
        title=say(f"{view}.title", **values),
        description=say("question.description", **values).strip(),
        caption=say(f"{view}.caption", **values),
    )


def marking_of(part: str) -> str:
    """What a picture is called beside the others."""
    return say("question.part", code=part)


def _draw(planned: CasePlan, part: str) -> Drawing:
    """A marking with its dimensions over what was found."""
    plan = candidates(planned)[part]
    surface = _open(planned, plan)
    outline = plan.outline
    draw_ground(surface, coccyx=False)
    _name_lines(surface.board, outline.offset)
    draw_midline(surface)
    _draw_axis(surface, outline)
    surface.board.edge("outline", outline_trace(outline), "ink", CUT)
    pits, openings = draw_findings(surface, plan, undecided, undecided)
    surface.board.dimensions(_dimensions(surface, outline, [*pits, *openings]))
    label_nothing(surface, outline, _TOLD)
    label_landmarks(surface, coccyx=False)
    return surface.finish()


def _open(planned: CasePlan, plan: Plan) -> Surface:
    """The page of a case with the midline in its middle; columns of labels beside this marking."""
    content, side = field(planned), plan.marking.side
    head = (
        patient_block(planned, TITLE_SIZE),
        paragraph("subtitle", say("question.subtitle"), TEXT_SIZE),
        # Told here, not by labels: it is the same in every picture, and dimensions have more room.
        paragraph("found", found_in_short(plan), TEXT_SIZE),
        technique_block(planned),
    )
    page = Sheet(head, (caution_block(),))
    fitted = fit_contents([content], ROOM - 2 * (LANE + COLUMN_GAP), 0.0)
    frame = page.frame((ROOM / 2, fitted.origin(content, side)[1]), fitted.scale, side)
    drawing, high = page.open(fitted.height, fitted.scale, frame)
    xs = [*plan.outline.ring(32)[:, 0], 0.0, *(opening.x for opening in plan.openings)]
    inner = frame.at(min(xs), 0)[0] - frame.sign * COLUMN_GAP
    outer = frame.at(max(xs), 0)[0] + frame.sign * (LANE + COLUMN_GAP)
    towards_right = frame.sign > 0
    return Surface(
        drawing,
        Board(drawing, frame, page.low, high),
        Column(inner, "end" if towards_right else "start"),
        Column(outer, "start" if towards_right else "end"),
    )


def _draw_axis(surface: Surface, outline: Outline) -> None:
    """The axis of the marking, prolonged to its name, so that the offset can be told beside it."""
    _, highest = surface.levels
    beyond = polyline([outline.cranial_point, (outline.offset, highest)])
    surface.board.line("axis-prolonged", beyond, "newline", FINE_DOUBLE_DOT)
    surface.board.line("axis", scar_trace(outline), "newline", DOUBLE_DOT)


def _name_lines(board: Board, offset: float) -> None:
    """The names of midline and axis at their upper ends, turned away from each other."""
    y = board.high[1] - HEAD_ROW - TEXT_SIZE * ASCENT
    midline, axis = board.frame.at(0, 0)[0], board.frame.at(offset, 0)[0]
    way = 1 if axis > midline else -1
    apart = way * max(0.0, TEXT_SIZE - abs(axis - midline)) / 2
    outward: dict[int, Anchor] = {1: "start", -1: "end"}
    board.write(
        Writing(
            "label-midline",
            say("labels.midline"),
            midline - apart,
            y,
            TEXT_SIZE,
            anchor=outward[-way],
        ),
        Writing(
            "label-axis", say("question.axis"), axis + apart, y, TEXT_SIZE, anchor=outward[way]
        ),
    )


def _dimensions(surface: Surface, outline: Outline, found: Sequence[Finding]) -> Iterator[Measure]:
    """The lengths of a marking as drawn; how far it stays from the verge is left to the learner."""
    return chain(
        offset_measure(surface, outline, found),
        caudal_apex_measure(surface, outline, found),
        width_measures(surface, outline, found),
        [length_measure(surface, outline, found)],
    )


VIEW: Final = View(
    "question",
    lambda planned: tuple(candidates(planned)),
    lambda planned, part: words_of("question", planned, part),
    _draw,
    reads=READS,
    needs="right marking",
    entitle=marking_of,
    listed=False,
)
