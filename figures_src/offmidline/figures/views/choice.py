"""Markings to choose from: the pictures of ``question`` made small, to stand beside each other.

What reads on a phone at full width reads here where four of them share the screen: lines, texts and
symbols are enlarged by as much as the picture is reduced. Lengths in mm on the page unless said
otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.page.board import LEAST_SYMBOL, Kind
from offmidline.figures.page.drawing import (
    Drawing,
    Frame,
    Point,
    Shape,
    Trace,
    Writing,
    ellipse,
    polyline,
    segments,
)
from offmidline.figures.page.metrics import ASCENT, DESCENT, width
from offmidline.figures.page.sheet import BAR_LENGTH, ROOM, Sheet
from offmidline.figures.page.style import (
    CENTRE,
    CUT,
    MARGIN,
    SMALL_SIZE,
    SYMBOL,
    THIN,
    Line,
    Role,
)
from offmidline.figures.scene import anatomy
from offmidline.figures.scene.surface import Content
from offmidline.figures.scene.traces import outline_trace
from offmidline.figures.view import View
from offmidline.figures.views.question import (
    READS,
    candidates,
    caution_block,
    field,
    marking_of,
    patient_block,
    technique_block,
    words_of,
)
from offmidline.figures.words import number, say
from offmidline.plan import CasePlan

# A page of full width on a phone, and one of two beside each other there, px.
_WHOLE_PX: Final = 360.0
_HALF_PX: Final = 160.0
_ENLARGED: Final = _WHOLE_PX / _HALF_PX
_TEXT: Final = SMALL_SIZE * _ENLARGED
_TEXT_HEIGHT: Final = _TEXT * (ASCENT + DESCENT)
_TICK: Final = 1.2 * _ENLARGED
_GAP: Final = 0.6 * _ENLARGED
# Ticks nearer to each other run together on a phone, and so do the numbers at them.
_TICKS_APART: Final = 4.0
_NUMBERS_APART: Final = 5.0
# Steps of the ruler, mm of the patient: from tick to tick, from number to number.
_RULERS: Final = ((10, 20), (10, 50), (50, 100), (50, 200))
# A taller field is reduced, and none is drawn larger than it is.
_GREATEST_HEIGHT: Final = 150.0
_GREATEST_SCALE: Final = 1.0
# Below the content: the ruler with its numbers, then the scale bar.
_RULER_HEIGHT: Final = _TICK + _GAP + _TEXT_HEIGHT
_BELOW: Final = _RULER_HEIGHT + 2 * _GAP + _TEXT_HEIGHT
# Above it: the letters of the two sides.
_ABOVE: Final = _TEXT_HEIGHT + _GAP
# From the middle of a digit to its baseline.
_HALF_DIGIT: Final = 0.365 * _TEXT


@dataclass(frozen=True)
class _Picture:
    """A page with the frame of its marking, and the field of the patient that it shows (mm)."""

    drawing: Drawing
    frame: Frame
    content: Content

    def line(self, gid: str, trace: Trace, role: Role, line: Line) -> None:
        """Draw a line of the plan, so much wider."""
        self.shape(gid, trace.moved(self.frame), role, line)

    def shape(
        self, gid: str, trace: Trace, role: Role, line: Line, fill: Role | None = None
    ) -> None:
        """Draw a line that is given on the page, so much wider."""
        self.drawing.add(Shape(gid, trace, role, _wider(line), fill))

    def text(self, gid: str, words: str, place: Point, role: Role = "ink") -> None:
        """Centre a text on a place of its baseline."""
        self.drawing.add(Writing(gid, words, *place, _TEXT, role, "middle"))


def _draw(planned: CasePlan, part: str) -> Drawing:
    """A marking over what was found, with a ruler across."""
    plan = candidates(planned)[part]
    picture = _open(planned, part)
    _draw_ground(picture)
    picture.line("outline", outline_trace(plan.outline), "ink", CUT)
    for count, pit in enumerate(plan.pits, 1):
        _draw_finding(picture, "pit", count, (0.0, pit.at), pit.diameter)
    for count, opening in enumerate(plan.openings, 1):
        _draw_finding(picture, "opening", count, (opening.x, opening.at), opening.diameter)
    _draw_ruler(picture)
    _draw_bar(picture)
    return picture.drawing


def _open(planned: CasePlan, part: str) -> _Picture:
    """A page at the largest scale at which the field of the case fits."""
    content = field(planned)
    foot = (patient_block(planned, SMALL_SIZE), technique_block(planned), caution_block())
    page = Sheet((), foot, barred=False)
    across, up = (high - low for low, high in (content.xs, content.ys))
    scale = min(ROOM / across, _GREATEST_HEIGHT / up, _GREATEST_SCALE)
    # Hundredths, downwards: a scale that can be told.
    scale = math.floor(100 * scale) / 100
    side = candidates(planned)[part].marking.side
    frame = page.frame((ROOM / 2, _BELOW - scale * content.ys[0]), scale, side)
    drawing, _ = page.open(_BELOW + scale * up + _ABOVE, scale, frame)
    return _Picture(drawing, frame, content)


def _draw_ground(picture: _Picture) -> None:
    """Midline, verge, and which side is which."""
    frame, (lowest, highest) = picture.frame, picture.content.ys
    picture.line("midline", polyline([(0, lowest), (0, highest)]), "midline", CENTRE)
    size = (anatomy.VERGE_HALF_WIDTH, anatomy.VERGE_HALF_HEIGHT)
    picture.line("verge", ellipse((0, 0), *size), "muted", THIN)
    picture.line("verge-folds", anatomy.verge_folds(), "muted", THIN)
    y = frame.at(0, highest)[1] + _GAP + DESCENT * _TEXT
    for side, x in (("left", MARGIN + _TEXT / 2), ("right", MARGIN + ROOM - _TEXT / 2)):
        picture.text(f"letter-{side}", say(f"labels.{side}"), (x, y), "muted")


def _draw_finding(picture: _Picture, kind: Kind, count: int, place: Point, diameter: float) -> None:
    """A pit as a circle, an opening as a square on its corner, hollow as in all figures."""
    frame = picture.frame
    x, y = frame.at(*place)
    radius = max(diameter * frame.scale, LEAST_SYMBOL * _ENLARGED) / 2
    corners = [(x - radius, y), (x, y - radius), (x + radius, y), (x, y + radius)]
    ring = ellipse((x, y), radius, radius) if kind == "pit" else polyline(corners, closed=True)
    picture.shape(f"{kind}-{count}", ring, "ink", SYMBOL, "paper")


def _draw_ruler(picture: _Picture) -> None:
    """A ruler below the field that counts from the midline to both sides."""
    frame = picture.frame
    half = picture.content.xs[1]
    tick, numbered = _steps(half, frame.scale)
    middle, top = frame.at(0, picture.content.ys[0])
    places = [(middle + value * frame.scale, value) for value in _multiples(tick, half)]
    strokes = [((x, top), (x, top - _TICK)) for x, _ in places]
    ends = ((middle - half * frame.scale, top), (middle + half * frame.scale, top))
    picture.shape("ruler", segments([ends, *strokes]), "muted", THIN)
    baseline = top - _TICK - _GAP - ASCENT * _TEXT
    texts = ((x, number(abs(value))) for x, value in places if value % numbered == 0)
    # At the ends of a wide field a number would leave the page.
    whole = [(x, text) for x, text in texts if abs(x - middle) + width(text, _TEXT) / 2 <= ROOM / 2]
    for count, (x, text) in enumerate(whole, 1):
        picture.text(f"ruler-{count}", text, (x, baseline), "muted")


def _steps(half: float, scale: float) -> tuple[int, int]:
    """The finest steps of a ruler that can be read at a scale; the coarsest where none can."""
    for tick, numbered in _RULERS:
        room = width(number(half // numbered * numbered), _TEXT) + _NUMBERS_APART
        if tick * scale >= _TICKS_APART and numbered * scale >= room:
            return tick, numbered
    return _RULERS[-1]


def _multiples(step: int, most: float) -> Iterable[int]:
    """The multiples of a step up to a value to both sides of 0."""
    count = int(most // step)
    return range(-count * step, count * step + 1, step)


def _draw_bar(picture: _Picture) -> None:
    """The scale bar with its length, below the ruler."""
    top = picture.frame.at(0, picture.content.ys[0])[1] - _RULER_HEIGHT - 2 * _GAP
    baseline = top - ASCENT * _TEXT
    y, length = baseline + _HALF_DIGIT, BAR_LENGTH * picture.frame.scale
    words = say("labels.bar", length=number(BAR_LENGTH))
    # Bar and words stand in the middle together.
    room = length + 2 * _GAP + width(words, _TEXT)
    left = MARGIN + (ROOM - room) / 2
    ends = np.array([(left, y), (left + length, y)])
    ticks = [((x, y - _TICK / 2), (x, y + _TICK / 2)) for x, _ in ends]
    picture.shape("scale-bar", polyline(ends), "ink", CUT)
    picture.shape("scale-bar-ends", segments(ticks), "ink", CUT)
    place = (left + room - width(words, _TEXT) / 2, baseline)
    picture.text("scale-bar-length", words, place)


def _wider(line: Line) -> Line:
    return Line(line.width * _ENLARGED, line.dashes)


VIEW: Final = View(
    "choice",
    lambda planned: tuple(candidates(planned)),
    lambda planned, part: words_of("choice", planned, part),
    _draw,
    reads=READS,
    needs="right marking",
    entitle=marking_of,
    listed=False,
)
