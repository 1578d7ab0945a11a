"""The page round a drawing: title above, scale bar and caution below, and the scale that fits
between.

All lengths in mm on the page unless said otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from offmidline.figures.page import room
from offmidline.figures.page.drawing import (
    Anchor,
    Drawing,
    Frame,
    Point,
    Shape,
    Writing,
    polyline,
    segments,
)
from offmidline.figures.page.metrics import ASCENT, DESCENT, wrap
from offmidline.figures.page.style import (
    LINE_SPACING,
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    TEXT_SIZE,
    THIN,
    TITLE_SIZE,
    Role,
)
from offmidline.figures.words import number, say
from offmidline.plan import CasePlan
from offmidline.records.base import Side

# Scales of reduction after ISO 5455, the largest first.
SCALES: Final = (1.0, 0.5, 0.2)
BAR_LENGTH: Final = 50.0
ROOM: Final = PAGE_WIDTH - 2 * MARGIN

_TITLE_LINES: Final = 3
_TECHNIQUE_LINES: Final = 2
_BLOCK_GAP: Final = 2.0
_BAR_TICK: Final = 1.6
# Height of a scale bar with its words and the gap below them.
BAR_HEIGHT: Final = TEXT_SIZE * (ASCENT + DESCENT) + _BLOCK_GAP + 1.0


class Strip(Protocol):
    """What stands across the page above or below a drawing."""

    @property
    def height(self) -> float:
        """Height with the gap below it."""

    def writings(self, top: float) -> Sequence[Shape | Writing]:
        """Its texts and lines, set from a height downwards."""


@dataclass(frozen=True)
class Block:
    """Lines of text of one kind, one below the other."""

    gid: str
    lines: tuple[str, ...]
    size: float
    role: Role = "ink"
    bold: bool = False
    anchor: Anchor = "start"

    @property
    def height(self) -> float:
        """Height of the block with its lower gap."""
        if not self.lines:
            return 0.0
        return self.size * (ASCENT + DESCENT + LINE_SPACING * (len(self.lines) - 1)) + _BLOCK_GAP

    def writings(self, top: float, left: float = MARGIN) -> list[Writing]:
        """The lines, set from a height downwards, each with its anchor at an x."""
        several = len(self.lines) > 1
        return [
            Writing(
                f"{self.gid}-{index + 1}" if several else self.gid,
                line,
                left,
                top - self.size * (ASCENT + LINE_SPACING * index),
                self.size,
                self.role,
                self.anchor,
                bold=self.bold,
            )
            for index, line in enumerate(self.lines)
        ]


def paragraph(
    gid: str,
    text: str,
    size: float,
    *,
    role: Role = "ink",
    bold: bool = False,
    most: int = 99,
    room: float = ROOM,
) -> Block:
    """A text wrapped to the page."""
    return Block(gid, wrap(text, room, size, bold=bold, most=most), size, role, bold)


@dataclass(frozen=True)
class Sheet:
    """What stands above and below a drawing; ``barred`` where there is a scale bar."""

    head: tuple[Strip, ...]
    foot: tuple[Strip, ...]
    barred: bool = True

    @property
    def head_height(self) -> float:
        """Height of the head."""
        return sum(block.height for block in self.head)

    @property
    def foot_height(self) -> float:
        """Height of the scale bar and of what stands below it."""
        return self._bar_height + sum(block.height for block in self.foot)

    @property
    def _bar_height(self) -> float:
        return BAR_HEIGHT if self.barred else 0.0

    def height(self, field_height: float) -> float:
        """Height of the page round a field of a height, in whole tenths."""
        height = self.head_height + field_height + self.foot_height + 2 * MARGIN
        return math.ceil(height * 10) / 10

    @property
    def low(self) -> Point:
        """The lower left corner of the field between head and foot."""
        return MARGIN, MARGIN + self.foot_height

    def frame(self, origin: Point, scale: float, side: Side, *, down: bool = False) -> Frame:
        """A frame whose origin lies so far from the field's lower left corner."""
        # Tenths of a millimetre keep the coordinates of the published file short.
        x = round(self.low[0] + origin[0], 1)
        y = round(self.low[1] + origin[1] + room.current().spare, 1)
        return Frame(scale, x, y, side, down)

    def open(
        self, field_height: float, scale: float = 1.0, frame: Frame | None = None
    ) -> tuple[Drawing, Point]:
        """The page with its head and foot, and the upper right corner of the field between."""
        field_height += room.current().spare
        height = self.height(field_height)
        low = self.low
        drawing = Drawing(PAGE_WIDTH, height, frame)
        top = height - MARGIN
        for block in self.head:
            drawing.add(*block.writings(top))
            top -= block.height
        top = low[1]
        if self.barred:
            drawing.add(*scale_bar(top, scale, scale_words(scale)))
        top -= self._bar_height
        for block in self.foot:
            drawing.add(*block.writings(top))
            top -= block.height
        return drawing, (PAGE_WIDTH - MARGIN, low[1] + field_height)


def sheet(
    planned: CasePlan, subtitle: str, more: Sequence[Strip] = (), *, barred: bool = True
) -> Sheet:
    """The sheet of a view: case, view and technique above; further strips and the caution below."""
    head = (
        paragraph("case-title", planned.case.title, TITLE_SIZE, bold=True, most=_TITLE_LINES),
        paragraph("subtitle", subtitle, TEXT_SIZE),
        paragraph(
            "technique", planned.technique.title, SMALL_SIZE, role="muted", most=_TECHNIQUE_LINES
        ),
    )
    caution = paragraph("caution", say("caution"), SMALL_SIZE, role="muted")
    return Sheet(head, (*more, caution), barred)


def scale_words(scale: float) -> str:
    """The scale of the drawing, drawn to real, and the width at which it is true."""
    return say("scale", ratio=ratio_words(scale), width=number(PAGE_WIDTH))


def ratio_words(scale: float) -> str:
    """The scale of a drawing, drawn to real."""
    drawn, real = (1.0, 1 / scale) if scale <= 1 else (scale, 1.0)
    return say("ratio", drawn=number(drawn), real=number(real))


def scale_bar(
    top: float,
    scale: float,
    words: str,
    *,
    left: float = MARGIN,
    right: float = PAGE_WIDTH - MARGIN,
) -> list[Shape | Writing]:
    """The scale bar with its length at the left, and words at the right, below a height."""
    length = BAR_LENGTH * scale
    y = top - TEXT_SIZE * ASCENT + 1.2
    ticks = segments(
        [((x, y - _BAR_TICK / 2), (x, y + _BAR_TICK / 2)) for x in (left, left + length)]
    )
    baseline = top - TEXT_SIZE * ASCENT
    text = say("labels.bar", length=number(BAR_LENGTH))
    return [
        Shape("scale-bar", polyline([(left, y), (left + length, y)]), "ink", THIN),
        Shape("scale-bar-ends", ticks, "ink", THIN),
        Writing("scale-bar-length", text, left + length + 2, baseline, TEXT_SIZE),
        Writing("scale", words, right, baseline, SMALL_SIZE, "muted", "end"),
    ]
