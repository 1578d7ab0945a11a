"""The plot of each method: what the judges said, and where the cut comes to lie."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from offmidline import messages
from offmidline.exam.html import figure
from offmidline.exam.picture import Dot, Panel, free, rows
from offmidline.exam.standard.borderline_regression import GradedScores, RegressionCut
from offmidline.exam.standard.cut import Cut
from offmidline.exam.standard.hofstee import Box, HofsteeCut
from offmidline.exam.told import told
from offmidline.figures.charts.marks import Form, mark
from offmidline.figures.page.axes import Axis
from offmidline.figures.page.plot import Plot
from offmidline.figures.page.style import CUT, DASHED, THIN
from offmidline.figures.words import Words

Real = NDArray[np.float64]

IDENT = "fig-standard"
# Free beyond the outermost value, as a share of the span.
_MARGIN = 0.05
_HUNDRED = 100.0


def judges_figure(title: str, judges: Sequence[str], own: Sequence[float], cut: Cut) -> str:
    """Each judge's own cut and the mean with its interval."""
    high = cut.of or max(own)
    words = _words("judges", title, judges=len(judges), cut=told(cut.value), of=told(high, 0))
    low, up = (cut.value if end is None else end for end in (cut.low, cut.high))
    dots = [
        *(Dot(value, value, value, "ring") for value in own),
        Dot(cut.value, max(low, 0.0), min(up, high), "diamond"),
    ]
    panel = Panel(Axis(0.0, high, _say("judges.x")), dots, [cut.value])
    key: list[tuple[Form, str]] = [("ring", _say("own")), ("diamond", _say("cut"))]
    names = [*judges, _say("judges.mean")]
    return figure(rows(IDENT, words, _say("judges.subtitle"), names, [panel], key), words.caption)


def hofstee_figure(title: str, found: HofsteeCut, scores: ArrayLike) -> str:
    """The curve of failures, the box, and the line across it."""
    marks = np.sort(np.asarray(scores, dtype=float))
    box, cut = found.box, found.cut
    result = ""
    if cut is not None and found.fails is not None:
        fails = told(_HUNDRED * found.fails, 1)
        result = _say("hofstee.met", cut=told(cut.value), fails=fails)
    words = _words(
        "hofstee",
        title,
        result=result or messages.text(f"exam.standard.misses.{found.miss}"),
        lowest_cut=told(box.lowest_cut),
        highest_cut=told(box.highest_cut),
        lowest_fail=told(_HUNDRED * box.lowest_fail, 1),
        highest_fail=told(_HUNDRED * box.highest_fail, 1),
    )
    x = _axis([*marks, box.lowest_cut, box.highest_cut], _say("hofstee.x"))
    y = Axis(0.0, _HUNDRED, _say("hofstee.y"))

    def paint(plot: Plot) -> None:
        plot.curve("box", _corners(box), "muted", THIN)
        line = [
            (box.lowest_cut, _HUNDRED * box.highest_fail),
            (box.highest_cut, _HUNDRED * box.lowest_fail),
        ]
        plot.curve("line", np.array(line), "newline", DASHED)
        plot.curve("curve", _steps(marks, x), "ink", CUT)
        if cut is not None and found.fails is not None:
            place = plot.axes.frame.at(cut.value, _HUNDRED * found.fails)
            plot.guides("cut", [cut.value], "x")
            plot.board.page.add(mark("met", "diamond", place))

    notes = [_say("hofstee.note")]
    drawn = free(IDENT, words, _say("hofstee.subtitle"), (x, y), paint, notes=notes)
    return figure(drawn, words.caption)


def regression_figure(
    title: str, graded: GradedScores, found: RegressionCut, borderline: float
) -> str:
    """Every candidate by grade and score, the line, and the cut on it."""
    grades = graded.mean_grades
    cut = found.cut.value
    words = _words(
        "regression",
        title,
        candidates=len(grades),
        borderline=f"{borderline:g}",
        cut=told(cut),
    )
    ends = np.array([grades.min(), grades.max()])
    line = np.column_stack([ends, found.intercept + found.slope * ends])
    x = _axis(grades, _say("regression.x"))
    y = _axis([*graded.scores, *line[:, 1]], _say("regression.y"))

    def paint(plot: Plot) -> None:
        plot.guides("borderline", [borderline], "x")
        plot.guides("cut", [cut], "y")
        plot.curve("line", line, "newline", DASHED)
        for at, (grade, score) in enumerate(zip(grades, graded.scores, strict=True), 1):
            place = plot.axes.frame.at(float(grade), float(score))
            plot.board.page.add(mark(f"candidate-{at}", "ring", place))
        at_cut = plot.axes.frame.at(borderline, cut)
        plot.board.page.add(mark("met", "diamond", at_cut))

    notes = [_say("regression.note")]
    drawn = free(IDENT, words, _say("regression.subtitle"), (x, y), paint, notes=notes)
    return figure(drawn, words.caption)


def _corners(box: Box) -> Real:
    low, high = _HUNDRED * box.lowest_fail, _HUNDRED * box.highest_fail
    return np.array(
        [
            (box.lowest_cut, low),
            (box.highest_cut, low),
            (box.highest_cut, high),
            (box.lowest_cut, high),
            (box.lowest_cut, low),
        ]
    )


def _steps(marks: Real, x: Axis) -> Real:
    """The curve of failures, in per cent, from end to end of the axis."""
    levels, counts = np.unique(marks, return_counts=True)
    after = _HUNDRED * np.cumsum(counts) / len(marks)
    before = np.concatenate([[0.0], after[:-1]])
    corners = np.column_stack([np.repeat(levels, 2), np.column_stack([before, after]).ravel()])
    return np.vstack([[(x.low, 0.0)], corners, [(x.high, _HUNDRED)]])


def _axis(values: ArrayLike, name: str) -> Axis:
    """An axis with some room beyond its values."""
    low, high = float(np.min(values)), float(np.max(values))
    room = _MARGIN * (high - low) or 1.0
    return Axis(low - room, high + room, name)


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.standard.figures.{name}", **values)


def _words(name: str, title: str, /, **values: object) -> Words:
    texts: Mapping[str, Any] = messages.section(f"exam.standard.figures.{name}")
    description, caption = (
        str(texts[key]).format_map(values) for key in ("description", "caption")
    )
    return Words(title, description, caption)
