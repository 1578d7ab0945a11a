"""The findings: what is seen before marking, with its levels and its distances from the midline.

For a case without a possible marking also the constraints that conflict.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from offmidline import messages
from offmidline.figures.page.board import Kind
from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Array, Drawing, Point, ellipse
from offmidline.figures.page.labels import Label
from offmidline.figures.page.measures import Measure, level, round_about, upright
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import Block, paragraph, sheet
from offmidline.figures.page.style import DASHED, TEXT_SIZE
from offmidline.figures.scene import anatomy
from offmidline.figures.scene.found import Finding, draw_finding
from offmidline.figures.scene.found_words import describe
from offmidline.figures.scene.ground import (
    buttock_seen,
    draw_ground,
    draw_midline,
    label_landmarks,
    name_midline,
)
from offmidline.figures.scene.marking_dimensions import FROM_MIDLINE_EXTENDED, LEAST, free_height
from offmidline.figures.scene.surface import (
    ABOVE_FINDINGS,
    BELOW_VERGE,
    Content,
    Surface,
    bounds,
    label_line,
    open_surface,
)
from offmidline.figures.view import View, single
from offmidline.figures.words import conflict_words, number, say
from offmidline.marking import opening_x
from offmidline.plan import CasePlan
from offmidline.records import Findings

# What is shown at least, mm: to each side, and up to where the contours of the buttocks are seen.
_AROUND: Final = 34.0
_CONTOURS: Final = 138.0
# More pits than this share one label.
_MOST_NAMED: Final = 4
# Levels at which the wall of the cleft may be named.
_WALL: Final = (4.0, 62.0)
# Directions (degrees) in which the distance to be kept is drawn.
_DOWN_RIGHT: Final = -40.0
_DOWN_LEFT: Final = 220.0
# Places on the page, mm: the dimension of the lowest pit from the midline; heights, from an
# opening's, at which its distance from the midline is drawn, and how far apart two such lines are.
_ASIDE: Final = 19.0
_BESIDE: Final = (5.5, -5.5, 9.5, -9.5, 14.0, -14.0, 18.5, -18.5, 23.0, -23.0)
_APART: Final = 6.5


def draw_found(planned: CasePlan, subtitle: str) -> Drawing:
    """What was found; where no marking exists, also the distance to be kept from the verge, and
    why there is none.
    """
    case = planned.case
    side, found = case.flap_side, case.findings
    page = sheet(planned, subtitle, _conflict(planned))
    surface = open_surface(page, _content(planned), side)
    draw_ground(surface)
    name_midline(surface.board)
    draw_midline(surface)
    kept = [] if planned.shown is not None else list(_kept_free(surface, planned))
    places = [(opening_x(one, side), one.at) for one in found.openings]
    pits = [
        draw_finding(surface, "pit", count, (0.0, pit.at), pit.diameter, "found")
        for count, pit in enumerate(found.pits, 1)
    ]
    openings = [
        draw_finding(surface, "opening", count, place, one.diameter, "found")
        for count, (one, place) in enumerate(zip(found.openings, places, strict=True), 1)
    ]
    surface.board.dimensions(
        [
            *kept,
            *_lowest_pit(surface, found),
            *_from_midline(surface, places, [*pits, *openings]),
        ]
    )
    _label(surface, "pit", [pit.at for pit in found.pits], pits)
    _label(surface, "opening", [y for _, y in places], openings)
    label_landmarks(surface)
    if planned.shown is not None:
        _label_contours(surface)
    return surface.finish()


def _content(planned: CasePlan) -> Content:
    """The findings with the landmarks round them, or with the distance to be kept."""
    findings, side = planned.case.findings, planned.case.flap_side
    places = [(0.0, pit.at) for pit in findings.pits]
    places += [(opening_x(one, side), one.at) for one in findings.openings]
    highest = max(y for _, y in places) + ABOVE_FINDINGS
    if planned.shown is None:
        kept = planned.technique.settings.verge_clearance
        around = [(_AROUND, kept), (-_AROUND, -kept - 2)]
    else:
        around = [(_AROUND, _CONTOURS), (-_AROUND, -BELOW_VERGE)]
    xs, ys = bounds([np.array([*places, *around, (0.0, highest)])])
    return Content(xs, ys)


def _conflict(planned: CasePlan) -> list[Block]:
    """Which constraints conflict, where they do."""
    if planned.shown is not None:
        return []
    return [
        paragraph("explanation", messages.text("conflicts.explanation"), TEXT_SIZE),
        *(
            paragraph(f"conflict-{index + 1}", f"• {line}", TEXT_SIZE)
            for index, line in enumerate(conflict_words(planned.conflicts))
        ),
    ]


def _kept_free(surface: Surface, planned: CasePlan) -> Iterator[Measure]:
    """The distance to be kept from the verge, if there is one."""
    kept, board = planned.technique.settings.verge_clearance, surface.board
    if kept > 0:
        board.line("verge-clearance", ellipse((0, 0), kept, kept), "flap", DASHED)
        text = say("labels.verge_radius", value=number(kept))
        direction = _DOWN_LEFT if board.frame.side == "left" else _DOWN_RIGHT
        centre, radius = board.frame.at(0, 0), kept * board.frame.scale
        yield round_about("verge-clearance", text, centre, radius, direction)


def _lowest_pit(surface: Surface, found: Findings) -> Iterator[Measure]:
    """From the centre of the verge to the centre of the lowest pit, on the medial side."""
    frame = surface.board.frame
    lowest = min(found.pits, key=lambda pit: pit.at)
    ends = (
        frame.at(-anatomy.VERGE_HALF_WIDTH, 0.0),
        frame.at(-lowest.diameter / 2, lowest.at),
    )
    x = frame.at(0, 0)[0] - frame.sign * _ASIDE
    key = "lowest_pit" if len(found.pits) > 1 else "pit"
    text = say(f"labels.{key}", at=number(lowest.at))
    yield upright("lowest-pit", text, ends, x, Choices(beside=True))


def _from_midline(surface: Surface, places: list[Point], drawn: list[Finding]) -> Iterator[Measure]:
    """How far each opening lies from the midline, at the nearest height that is free."""
    frame = surface.board.frame
    top = frame.at(0, surface.levels[1])[1] - _APART
    taken: list[float] = []
    for count, (x, y) in enumerate(places, 1):
        if abs(x) <= LEAST:
            continue
        foot, centre = frame.at(0, y), frame.at(x, y)
        free = [
            step
            for step in _BESIDE
            if centre[1] + step <= top and all(abs(centre[1] + step - at) >= _APART for at in taken)
        ]
        height = free_height(centre[1], free or _BESIDE, (foot[0], centre[0]), drawn)
        taken.append(height)
        text = say("labels.lateral", value=number(abs(x)))
        yield level(f"lateral-{count}", text, (foot, centre), height, FROM_MIDLINE_EXTENDED)


def _label(surface: Surface, kind: Kind, levels: list[float], drawn: list[Finding]) -> None:
    """What and at which level each finding is; many of a kind share a label."""
    named = list(zip(levels, drawn, strict=True))
    if len(named) > _MOST_NAMED:
        text = say(
            f"labels.{kind}s_found",
            count=len(named),
            low=number(min(levels)),
            high=number(max(levels)),
        )
        centres = tuple(one.centre for one in drawn)
        clear = max(one.radius for one in drawn)
        label = Label(f"label-{kind}s", (text,), centres, surface.columns, clear)
        surface.board.label(label)
        return
    # The dimension of the lowest pit names it.
    lowest = min(levels, default=0.0) if kind == "pit" else None
    for count, (at, one) in enumerate(named, 1):
        if at != lowest:
            text = say(f"labels.{kind}", at=number(at))
            gid = f"label-{kind}-{count}"
            surface.board.label(Label(gid, (text,), (one.centre,), surface.columns, one.radius))


def _label_contours(surface: Surface) -> None:
    """The names of the cleft's wall and of the buttock's contour, where they are on the page."""
    low, high = _WALL
    walls = [_between(run, low, high) for half in (-1, 1) for run in anatomy.cleft(half)[:1]]
    label_line(surface, "cleft", np.vstack(walls), say("labels.cleft"), role="muted")
    # Not to the very ends: a leader would seem to prolong the contour.
    seen = [run[1:-1] for half in (-1, 1) for run in buttock_seen(surface.board, half)]
    anchors = tuple((float(x), float(y)) for run in seen for x, y in run)
    if anchors:
        lines = wrap(say("labels.buttock"), surface.room, TEXT_SIZE)
        columns = surface.columns
        surface.board.label(Label("label-buttock", lines, anchors, columns, role="muted"))


def _between(points: Array, low: float, high: float) -> Array:
    return points[(points[:, 1] >= low) & (points[:, 1] <= high)]


def _draw(planned: CasePlan) -> Drawing:
    side = say(planned.case.flap_side)
    return draw_found(planned, say("findings.subtitle", side=side))


VIEW: Final[View] = single(
    "findings", describe, _draw, reads=("case:findings", "case:side"), needs="findings"
)
