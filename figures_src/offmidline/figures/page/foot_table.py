"""A table of texts below a drawing, whose cells are wrapped to their columns (mm on the page)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from offmidline.figures.page.drawing import Writing
from offmidline.figures.page.metrics import ASCENT, DESCENT, wrap
from offmidline.figures.page.sheet import ROOM
from offmidline.figures.page.style import LINE_SPACING, MARGIN, SMALL_SIZE

_GAP: Final = 3.0
_BELOW: Final = 2.0
# From the bottom of a row to the top of the next one.
_BETWEEN: Final = 0.9


@dataclass(frozen=True)
class FootTable:
    """Rows of texts in columns, the first row in bold: a strip of the page.

    Attributes:
        gid: begins the names of its texts: ``<gid>-<row>-<column>``, rows from 0, columns from 1,
            with the line's number where a cell has several.
        rows: a text for each column.
        shares: how the width is parted among the columns.
    """

    gid: str
    rows: Sequence[tuple[str, ...]]
    shares: tuple[float, ...]

    @property
    def height(self) -> float:
        """Height of the table with the gap below it."""
        return sum(_height(cells) + _BETWEEN for cells in self._cells) - _BETWEEN + _BELOW

    def writings(self, top: float) -> list[Writing]:
        """The texts, set from a height downwards."""
        found = []
        lefts = [sum(self._widths[:column]) for column in range(len(self.shares))]
        for row, cells in enumerate(self._cells):
            for column, (left, lines) in enumerate(zip(lefts, cells, strict=True)):
                name = f"{self.gid}-{row}-{column + 1}"
                found += [
                    Writing(
                        f"{name}-{line + 1}" if len(lines) > 1 else name,
                        text,
                        MARGIN + left,
                        top - SMALL_SIZE * (ASCENT + LINE_SPACING * line),
                        SMALL_SIZE,
                        bold=row == 0,
                    )
                    for line, text in enumerate(lines)
                    if text
                ]
            top -= _height(cells) + _BETWEEN
        return found

    @property
    def _widths(self) -> list[float]:
        """Width of each column with the gap to the next one."""
        return [(ROOM + _GAP) * share / sum(self.shares) for share in self.shares]

    @property
    def _cells(self) -> Iterator[list[tuple[str, ...]]]:
        """Each row as the lines of its cells."""
        for index, row in enumerate(self.rows):
            yield [
                wrap(text, room - _GAP, SMALL_SIZE, bold=index == 0)
                for text, room in zip(row, self._widths, strict=True)
            ]


def _height(cells: Sequence[tuple[str, ...]]) -> float:
    most = max(map(len, cells))
    return SMALL_SIZE * (ASCENT + DESCENT + LINE_SPACING * (most - 1))
