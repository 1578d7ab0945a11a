"""How the comparisons of a forest plot are set: headings, what each side means, and the texts on
both sides of the plot (mm on the page).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from offmidline.figures.charts.comparisons import Comparison, Row
from offmidline.figures.charts.log_axis import LogAxis
from offmidline.figures.charts.published import capital, operation, two_places
from offmidline.figures.page.drawing import Anchor, Point, Writing
from offmidline.figures.page.metrics import ASCENT, DESCENT, width, wrap
from offmidline.figures.page.sheet import ROOM
from offmidline.figures.page.style import (
    LINE_SPACING,
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    TEXT_SIZE,
    Role,
)
from offmidline.figures.words import say

if TYPE_CHECKING:
    from offmidline.records.evidence import Arm

# Columns of texts left and right of the plot, and between columns.
LEFT: Final = 53.0
RIGHT: Final = 41.0
GAP: Final = 3.0
PITCH: Final = SMALL_SIZE * LINE_SPACING
_INDENT: Final = 6.0
_BETWEEN: Final = 2.0
_HEADING: Final = TEXT_SIZE * (ASCENT + DESCENT) + 1.0
_FAVOURS: Final = SMALL_SIZE * (ASCENT + DESCENT) + 1.6
_AFTER_GROUP: Final = 3.0
# From the line of no difference to what is written on its two sides.
_ASIDE: Final = 1.6
# What a place may miss by the rounding of numbers.
_SLACK: Final = 1e-6


def detail(row: Row) -> str:
    """What a row was worked out from: counts, or the measure that its source prints."""
    arms, estimate = row.result.row.arms, row.result.row.estimate
    told: list[str] = []
    if arms:
        told = [say("charts.forest.counts", one=_count(arms[0]), other=_count(arms[1]))]
    elif estimate is not None:
        told = [estimate.measure]
        if estimate.trials is not None:
            told.append(say("charts.forest.trials", count=estimate.trials))
    return ", ".join(filter(None, (*told, row.aside)))


def _count(arm: Arm) -> str:
    return say("charts.forest.count", events=arm.events, of=arm.of)


def measured(row: Row) -> str:
    """The ratio of a row with its interval, and the marks of its notes."""
    mark = say("charts.forest.turned_mark") if row.ratio.turned and not row.result.row.arms else ""
    mark += say("charts.forest.corrected_mark") if row.ratio.corrected else ""
    return (
        say(
            "charts.forest.interval",
            value=two_places(row.ratio.value),
            low=two_places(row.ratio.low),
            high=two_places(row.ratio.high),
        )
        + mark
    )


class Layout:
    """How a comparison is set: heading, what its two sides mean, and its rows."""

    def __init__(self, one: Comparison, axis: LogAxis) -> None:
        self.one = one
        first, second = one.pair
        text = say(
            "charts.forest.heading", first=capital(operation(first)), second=operation(second)
        )
        self.heading = wrap(text, ROOM, TEXT_SIZE, bold=True)
        self._sides = _sides(one.pair, axis)
        lines = 1 + max(side.line for side in self._sides)
        self._head = _HEADING + TEXT_SIZE * LINE_SPACING * (len(self.heading) - 1)
        self._head += _FAVOURS + PITCH * (lines - 1)
        self._row = [PITCH * _lines(row) + _BETWEEN for row in one.rows]

    @property
    def height(self) -> float:
        """Height of all with the gap below."""
        return self._head + sum(self._row) + _AFTER_GROUP

    def head(self, index: int, top: float) -> list[Writing]:
        """The heading, and which side is whose, on both sides of the line of no difference."""
        step = TEXT_SIZE * LINE_SPACING
        found = [
            Writing(
                f"heading-{index}-{line + 1}",
                text,
                MARGIN,
                top - TEXT_SIZE * ASCENT - step * line,
                TEXT_SIZE,
                bold=True,
            )
            for line, text in enumerate(self.heading)
        ]
        first = top - _HEADING - step * (len(self.heading) - 1) - SMALL_SIZE * ASCENT
        for gid, side in zip(("left", "right"), self._sides, strict=True):
            y = first - PITCH * side.line
            found.append(
                Writing(f"{gid}-{index}", side.text, side.x, y, SMALL_SIZE, "muted", side.anchor)
            )
        return found

    def line(self, axis: LogAxis, top: float) -> tuple[Point, Point]:
        """The line of no difference beside the rows."""
        x = axis.at(1.0)
        return (x, top - self._head), (x, top - self.height + _AFTER_GROUP)

    def places(self, top: float) -> list[tuple[Row, float]]:
        """The rows, each with the top of its texts."""
        y = top - self._head
        found = []
        for row, height in zip(self.one.rows, self._row, strict=True):
            found.append((row, y))
            y -= height
        return found


@dataclass(frozen=True)
class _Side:
    """What is written towards one side of the line of no difference, and on which line."""

    text: str
    x: float
    anchor: Anchor
    line: int = 0


def _sides(pair: tuple[str, str], axis: LogAxis) -> tuple[_Side, _Side]:
    """The two texts, next to the line of no difference as far as the page allows, or one below the
    other.
    """
    left = say("charts.forest.fewer_left", which=operation(pair[0]))
    right = say("charts.forest.fewer_right", which=operation(pair[1]))
    wide, other = width(left, SMALL_SIZE), width(right, SMALL_SIZE)
    end = max(axis.at(1.0) - _ASIDE, MARGIN + wide)
    start = min(axis.at(1.0) + _ASIDE, PAGE_WIDTH - MARGIN - other)
    below = int(start < end + 2 * _ASIDE - _SLACK)
    return _Side(left, end, "end"), _Side(right, start, "start", below)


def _study_lines(row: Row) -> list[tuple[str, bool]]:
    """The lines left of the plot, and whether each is of second rank."""
    room = LEFT - _INDENT
    found = [(line, False) for line in wrap(row.result.design, room, SMALL_SIZE)]
    return found + [(line, True) for line in wrap(detail(row), room, SMALL_SIZE)]


def _lines(row: Row) -> int:
    """How many lines the texts of a row take, on the side that has more."""
    return max(len(_study_lines(row)), 1 + len(wrap(row.result.follow_up, RIGHT, SMALL_SIZE)))


def row_texts(row: Row, top: float, right: float) -> list[Writing]:
    """Left of the plot the study with what it counted, right of it the ratio and the time."""
    y = top - SMALL_SIZE * ASCENT
    gid = f"row-{row.number}"
    found = [Writing(f"{gid}-number", str(row.number), MARGIN, y, SMALL_SIZE)]
    for index, (line, muted) in enumerate(_study_lines(row)):
        role: Role = "muted" if muted else "ink"
        at = y - index * PITCH
        found.append(
            Writing(f"{gid}-study-{index + 1}", line, MARGIN + _INDENT, at, SMALL_SIZE, role)
        )
    left = right - RIGHT
    found.append(Writing(f"{gid}-ratio", measured(row), left, y, SMALL_SIZE))
    if row.result.follow_up:
        lines = wrap(row.result.follow_up, RIGHT, SMALL_SIZE)
        found += [
            Writing(f"{gid}-time-{index}", line, left, y - index * PITCH, SMALL_SIZE, "muted")
            for index, line in enumerate(lines, 1)
        ]
    return found
