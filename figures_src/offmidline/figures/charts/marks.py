"""Marks of a plot, told apart by their forms, and the key that names them (mm on the page)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from offmidline.figures.page.drawing import Point, Shape, Writing, ellipse, polyline, segments
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.style import MARGIN, SMALL_SIZE, SYMBOL

Form = Literal["disc", "ring", "diamond", "square", "triangle", "cross"]

# How far a mark reaches from its middle.
REACH: Final = 1.1
_INDENT: Final = 5.0
_BELOW: Final = 0.6
# From the baseline to the middle of a small letter.
_MIDDLE: Final = 0.28 * SMALL_SIZE


def mark(gid: str, form: Form, centre: Point) -> Shape:
    """A mark round a point: filled where it is a disc or a square, else open on the paper."""
    x, y = centre
    r = REACH
    if form in ("disc", "ring"):
        return Shape(
            gid, ellipse(centre, r, r), "ink", SYMBOL, "ink" if form == "disc" else "paper"
        )
    if form == "cross":
        arms = [((x - r, y - r), (x + r, y + r)), ((x - r, y + r), (x + r, y - r))]
        return Shape(gid, segments(arms), "ink", SYMBOL)
    corners = {
        "diamond": [(x - 1.2 * r, y), (x, y - 1.2 * r), (x + 1.2 * r, y), (x, y + 1.2 * r)],
        "square": [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)],
        "triangle": [(x - r, y - r), (x + r, y - r), (x, y + 1.1 * r)],
    }[form]
    fill = "ink" if form == "square" else "paper"
    return Shape(gid, polyline(corners, closed=True), "ink", SYMBOL, fill)  # type: ignore[arg-type]


@dataclass(frozen=True)
class MarkKey:
    """A strip of the page with a mark and what it stands for."""

    gid: str
    form: Form
    words: str

    @property
    def height(self) -> float:
        """Height with the gap below it."""
        return SMALL_SIZE * (ASCENT + DESCENT) + _BELOW

    def writings(self, top: float) -> list[Shape | Writing]:
        """The mark and its words, set from a height downwards."""
        baseline = top - SMALL_SIZE * ASCENT
        at = (MARGIN + REACH + 0.4, baseline + _MIDDLE)
        return [
            mark(self.gid, self.form, at),
            Writing(f"{self.gid}-text", self.words, MARGIN + _INDENT, baseline, SMALL_SIZE),
        ]
