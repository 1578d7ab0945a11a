"""The key of a line below a drawing: a piece of it, and what it is (mm on the page)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from offmidline.figures.page.drawing import Shape, Writing, polyline
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.style import MARGIN, SMALL_SIZE, Line, Role
from offmidline.figures.words import say

_LENGTH: Final = 14.0
_GAP: Final = 2.0
_BELOW: Final = 2.0
# From the baseline to the middle of a small letter.
_MIDDLE: Final = 0.28 * SMALL_SIZE


@dataclass(frozen=True)
class LineKey:
    """A strip of the page that tells what a line is; ``words`` names a text of the figures."""

    gid: str
    words: str
    role: Role
    line: Line

    @property
    def height(self) -> float:
        """Height with the gap below it."""
        return SMALL_SIZE * (ASCENT + DESCENT) + _BELOW

    def writings(self, top: float) -> list[Shape | Writing]:
        """The line and its text, set from a height downwards."""
        baseline = top - SMALL_SIZE * ASCENT
        y = baseline + _MIDDLE
        piece = polyline([(MARGIN, y), (MARGIN + _LENGTH, y)])
        return [
            Shape(self.gid, piece, self.role, self.line),
            Writing(
                f"{self.gid}-text", say(self.words), MARGIN + _LENGTH + _GAP, baseline, SMALL_SIZE
            ),
        ]
