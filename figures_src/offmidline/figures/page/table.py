"""Names and values in a column of a page: names flush left, values flush right (mm on the page)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

from offmidline.figures.page.drawing import Writing
from offmidline.figures.page.metrics import ASCENT, DESCENT, width, wrap
from offmidline.figures.page.style import SMALL_SIZE, TEXT_SIZE

# From line to line, between groups, from a name to its value, and before what is carried over.
PITCH: Final = 1.13 * SMALL_SIZE
_GROUP_GAP: Final = 2.0
_APART: Final = 3.0
_INDENT: Final = 3.0
# What two groups that are not read in order cost, mm of the longer column.
_DISORDER: Final = 1.0
_TITLE: Final = TEXT_SIZE * (ASCENT + DESCENT) + 0.6


@dataclass(frozen=True)
class Row:
    """A value under a name; ``gid`` names both in the published file. Without a name the value is
    a sentence.
    """

    gid: str
    name: str
    value: str


@dataclass(frozen=True)
class RowGroup:
    """Rows under a title."""

    gid: str
    title: str
    rows: tuple[Row, ...]

    def height(self, room: float) -> float:
        """What the group takes of a column of a width, with the gap below it."""
        return _TITLE + PITCH * sum(len(list(_lines(row, room))) for row in self.rows) + _GROUP_GAP

    def writings(self, left: float, top: float, room: float) -> Iterator[Writing]:
        """The texts of the group from a height downwards."""
        baseline = top - TEXT_SIZE * ASCENT
        yield Writing(f"group-{self.gid}", self.title, left, baseline, TEXT_SIZE, bold=True)
        baseline = top - _TITLE - SMALL_SIZE * ASCENT
        for row in self.rows:
            for name, value in _lines(row, room):
                if name is not None:
                    yield Writing(name.gid, name.text, left + name.indent, baseline, SMALL_SIZE)
                if value is not None:
                    yield Writing(
                        value.gid, value.text, left + room, baseline, SMALL_SIZE, anchor="end"
                    )
                baseline -= PITCH


@dataclass(frozen=True)
class _Piece:
    gid: str
    text: str
    indent: float = 0.0


def _lines(row: Row, room: float) -> Iterator[tuple[_Piece | None, _Piece | None]]:
    """The lines of a row: what stands left and what stands right in each.

    A value that does not fit beside its name goes to the next line, one that fits into no line runs
    on indented, as a sentence does.
    """
    name, value = f"{row.gid}-name", f"{row.gid}-value"
    if not row.name:
        yield from ((piece, None) for piece in _pieces(value, wrap(row.value, room, SMALL_SIZE)))
        return
    names = _pieces(name, wrap(row.name, room, SMALL_SIZE))
    yield from ((piece, None) for piece in names[:-1])
    if width(names[-1].text, SMALL_SIZE) + _APART + width(row.value, SMALL_SIZE) <= room:
        yield names[-1], _Piece(value, row.value)
        return
    yield names[-1], None
    if width(row.value, SMALL_SIZE) <= room:
        yield None, _Piece(value, row.value)
        return
    lines = wrap(row.value, room - _INDENT, SMALL_SIZE)
    yield from ((piece, None) for piece in _pieces(value, lines, _INDENT))


def _pieces(gid: str, lines: Sequence[str], indent: float = 0.0) -> list[_Piece]:
    several = len(lines) > 1
    return [
        _Piece(f"{gid}-{index + 1}" if several else gid, line, indent)
        for index, line in enumerate(lines)
    ]


def balanced(
    groups: Sequence[RowGroup], room: float, used: tuple[float, float]
) -> tuple[list[RowGroup], list[RowGroup]]:
    """Groups in two columns of which so much is used, so that the longer one is short and they are
    read in order, first column first, as far as that costs little; each column keeps their order.
    """
    heights = [group.height(room) for group in groups]

    def badness(second: Sequence[bool]) -> float:
        ends = list(used)
        disorder = 0
        for index, (height, there) in enumerate(zip(heights, second, strict=True)):
            ends[there] += height
            disorder += 0 if there else sum(second[:index])
        return round(max(ends) + _DISORDER * disorder, 3)

    best = min(product((False, True), repeat=len(groups)), key=badness)
    first = [group for group, there in zip(groups, best, strict=True) if not there]
    return first, [group for group, there in zip(groups, best, strict=True) if there]
