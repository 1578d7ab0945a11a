"""A marking as a camera shows it: straight on, at a slant, or put right by four known marks.

A photograph is drawn in its own coordinates: mm from the point that the camera aims at, to the
scale of an untilted picture.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Array, Point, Shape, Trace, polyline, segments
from offmidline.figures.page.measures import Measure, level
from offmidline.figures.page.spots import as_point
from offmidline.figures.page.style import CENTRE, CUT, FINE_DOUBLE_DOT, SYMBOL, THIN
from offmidline.figures.scene.found import Finding, draw_finding, label_group
from offmidline.figures.scene.ground import name_midlines
from offmidline.figures.scene.marking_dimensions import LEAST, UP_AND_DOWN, free_height
from offmidline.figures.scene.surface import Surface, label_line
from offmidline.figures.scene.traces import outline_trace
from offmidline.figures.words import labelled, number, say
from offmidline.geometry.oblique import (
    CAMERA_DISTANCE,
    TILTS_DEG,
    Apparent,
    Camera,
    apparent,
    known_points,
    put_right,
    rectified,
    shortened_percent,
)
from offmidline.plan import PitMeasure, Plan

# Points of each edge of an outline in a photograph, and of a line to which a leader may lead.
_EDGE_POINTS: Final = 20
_ANCHORS: Final = 9
# A known mark is an upright cross with arms of this length, mm on the page.
_MARK: Final = 1.7
# What a text pays for each mm2 over the frame of the marks, in mm of leader.
_OVER_FRAME: Final = 1.0
# From the upper marks to the dimension of the offset; from the lower marks to the names.
_LANE: Final = 5.0
_UNDER: Final = 2.2


@dataclass(frozen=True)
class Photograph:
    """One photograph.

    Attributes:
        gid: the name of its group.
        title, note: what stands above it.
        see: where it shows points (n, 2) of the plan.
        measured: what it seems to show.
    """

    gid: str
    title: str
    note: str
    see: Callable[[Array], Array]
    measured: Apparent

    def marks(self, plan: Plan) -> Array:
        """The four known marks, (4, 2)."""
        return self.see(known_points(plan.outline))

    def upright(self, plan: Plan, x: float) -> Array:
        """A line of the skin along the body at an x, from the lower marks to the upper ones."""
        low, high = known_points(plan.outline)[[0, 2], 1]
        return self.see(np.array([(x, low), (x, high)]))


def pictured(plan: Plan) -> list[PitMeasure]:
    """The pits that a photograph shows: those between the lower and the upper marks."""
    low, high = known_points(plan.outline)[[0, 2], 1]
    return [pit for pit in plan.pits if low < pit.at < high]


def field(plan: Plan) -> Array:
    """Points of the plan between which all lies that a photograph shows, (n, 2)."""
    marks = known_points(plan.outline)
    midline = np.column_stack([np.zeros(len(marks)), marks[:, 1]])
    return np.vstack([plan.outline.ring(_EDGE_POINTS), marks, midline])


def photographs(plan: Plan) -> tuple[list[Photograph], Photograph]:
    """The photographs of a plan at all tilts, and the first slanted one put right."""
    outline, marks = plan.outline, known_points(plan.outline)
    cameras = [Camera(tilt, CAMERA_DISTANCE, _aim(plan)) for tilt in TILTS_DEG]
    taken = []
    for camera in cameras:
        tilt, measured = number(camera.tilt_deg), apparent(outline, camera)
        title = say("oblique.tilted", tilt=tilt) if camera.tilt_deg else say("oblique.straight")
        note = _note(plan, measured) if camera.tilt_deg else say("oblique.true")
        taken.append(Photograph(f"tilt-{tilt}", title, note, camera.see, measured))
    slanted = cameras[1]
    seen_marks = slanted.see(marks)
    right = Photograph(
        "rectified",
        say("oblique.rectified", tilt=number(slanted.tilt_deg)),
        say("oblique.true"),
        lambda points: rectified(slanted.see(points), seen_marks, marks) - _aim(plan),
        put_right(outline, slanted),
    )
    return taken, right


def _note(plan: Plan, measured: Apparent) -> str:
    """By how much width and offset look too short."""
    outline = plan.outline
    width = number(shortened_percent(measured.width, outline.width), 0)
    if abs(outline.offset) <= LEAST:
        return say("oblique.width_short", width=width)
    offset = number(shortened_percent(measured.offset, abs(outline.offset)), 0)
    return say("oblique.short", width=width, offset=offset)


def draw_photograph(
    surface: Surface, plan: Plan, photograph: Photograph, *, true: bool
) -> list[Finding]:
    """The marks, the midlines, the outline, where wanted over the true one, and the pits of a
    photograph; returns the pits.
    """
    board, outline = surface.board, plan.outline
    ring = polyline(photograph.see(outline.ring(_EDGE_POINTS)), closed=True)
    marks = photograph.marks(plan)
    board.line("marks-frame", polyline(marks, closed=True), "faint", THIN, cost=_OVER_FRAME)
    board.edge("outline", ring, "ink", CUT, fill="specimen-tint")
    if true:
        _draw_true_outline(surface, plan)
    new_midline = polyline(photograph.upright(plan, outline.offset))
    board.line("midline", polyline(photograph.upright(plan, 0.0)), "midline", CENTRE)
    board.line("new-midline", new_midline, "newline", CENTRE)
    strokes = [
        ((x + dx, y + dy), (x - dx, y - dy))
        for x, y in board.frame.page(marks)
        for dx, dy in ((_MARK, 0.0), (0.0, _MARK))
    ]
    board.paint(Shape("marks", segments(strokes), "ink", SYMBOL), None)
    pits = pictured(plan)
    places = photograph.see(np.array([(0.0, pit.at) for pit in pits]).reshape(-1, 2))
    return [
        draw_finding(
            surface,
            "pit",
            index + 1,
            as_point(place),
            pit.diameter,
            "excised" if pit.excised else "left",
        )
        for index, (pit, place) in enumerate(zip(pits, places, strict=True))
    ]


def _draw_true_outline(surface: Surface, plan: Plan) -> None:
    """The outline as a straight photograph shows it."""
    true = outline_trace(plan.outline)
    moved = Trace(true.points - _aim(plan), true.codes)
    surface.board.line("true-outline", moved, "muted", FINE_DOUBLE_DOT)


def label_true_outline(surface: Surface, plan: Plan, *, same: bool) -> None:
    """The name of the true outline, or that what is drawn lies on it."""
    word = say("oblique.on_true" if same else "oblique.true_outline")
    label_line(surface, "true-outline", plan.outline.ring(_ANCHORS) - _aim(plan), word)


def _aim(plan: Plan) -> Point:
    """The point at which every camera aims."""
    return plan.outline.offset, plan.outline.widest_level


def photograph_dimensions(
    surface: Surface, plan: Plan, photograph: Photograph, found: list[Finding]
) -> Iterator[Measure]:
    """The width and the offset that a photograph seems to show."""
    outline, frame = plan.outline, surface.board.frame
    widest, x, half = outline.widest_level, outline.offset, outline.half_width
    edges = photograph.see(np.array([(x - half, widest), (x + half, widest)]))
    medial, lateral = (as_point(point) for point in frame.page(edges))
    y = free_height(medial[1], UP_AND_DOWN, (medial[0], lateral[0]), found)
    yield level("width", labelled("width", photograph.measured.width), (medial, lateral), y)
    if abs(outline.offset) > LEAST:
        tops = [photograph.upright(plan, place)[1] for place in (0.0, x)]
        midline, new_midline = (as_point(point) for point in frame.page(np.array(tops)))
        y = max(midline[1], new_midline[1]) + _LANE
        text = labelled("offset", photograph.measured.offset)
        yield level("offset", text, (midline, new_midline), y)


def label_photograph(
    surface: Surface, plan: Plan, photograph: Photograph, pits: list[Finding]
) -> None:
    """The names of the midlines, of the marks and of the pits."""
    marks, board = photograph.marks(plan), surface.board
    midline, new_midline = (photograph.upright(plan, x)[0] for x in (0.0, plan.outline.offset))
    bottom = min(board.frame.at(*as_point(end))[1] for end in (midline, new_midline))
    name_midlines(board, float(new_midline[0]), midline=float(midline[0]), top=bottom - _UNDER)
    label_line(surface, "marks", marks, say("oblique.marks"))
    for excised, outcome in ((True, "excised"), (False, "left")):
        found = [
            one for one, pit in zip(pits, pictured(plan), strict=True) if pit.excised is excised
        ]
        label_group(surface, "pit", outcome, found)
