"""Plots of a report: rows of values with intervals, bars, and a free plot, each as ``<svg>``.

Lengths in mm on the page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.charts.marks import Form, MarkKey, mark
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.page import export
from offmidline.figures.page.axes import HALF_DIGIT, Axis, above, axes, below, beside
from offmidline.figures.page.drawing import Drawing, Writing, segments
from offmidline.figures.page.metrics import shorten, width
from offmidline.figures.page.plot import Plot, open_plot
from offmidline.figures.page.style import MARGIN, PAGE_WIDTH, SMALL_SIZE, SYMBOL
from offmidline.figures.words import Words

_PITCH: Final = 5.6
# Between two panels, and what a tick's text may pass the end of its axis.
_GAP: Final = 5.0
_OVERHANG: Final = 3.0
# The names of rows take so much of the page at most.
_NAMES: Final = 40.0
_AFTER_NAME: Final = 2.0
# A scale of whole persons has no halves.
_FEWEST_UP: Final = 5.0
_HEIGHT: Final = 60.0
_PLOT_HEIGHT: Final = 85.0
_BAR: Final = 0.8


@dataclass(frozen=True)
class Dot:
    """A value of a row with its interval; without one, its ends are the value itself."""

    value: float
    low: float
    high: float
    form: Form = "disc"


@dataclass(frozen=True)
class Panel:
    """One value of every row on one axis; None where a row has none."""

    axis: Axis
    dots: Sequence[Dot | None]
    guides: Sequence[float] = ()


def rows(
    ident: str,
    words: Words,
    subtitle: str,
    names: Sequence[str],
    panels: Sequence[Panel],
    key: Sequence[tuple[Form, str]],
    notes: Sequence[str] = (),
) -> str:
    """A row for each name, and panels side by side."""
    keys = [MarkKey(f"key-{form}", form, text) for form, text in key]
    page = chart_sheet(words.title, subtitle, keys, notes)
    height = _PITCH * len(names)
    left = min(_NAMES, max(width(name, SMALL_SIZE) for name in names)) + _AFTER_NAME
    room = (PAGE_WIDTH - 2 * MARGIN - left - _GAP * (len(panels) - 1)) / len(panels) - _OVERHANG
    foot = max(below(panel.axis, room) for panel in panels)
    drawing, (_, top) = page.open(height + foot + HALF_DIGIT)
    bottom = top - height - HALF_DIGIT
    for at, name in enumerate(names):
        y = bottom + height - (at + 0.5) * _PITCH - HALF_DIGIT
        text = shorten(name, left, SMALL_SIZE)
        drawing.add(Writing(f"name-{at + 1}", text, MARGIN, y, SMALL_SIZE))
    for number, panel in enumerate(panels, 1):
        x = MARGIN + left + (number - 1) * (room + _OVERHANG + _GAP)
        _draw_panel(drawing, f"panel-{number}", panel, (x, bottom), (room, height))
    return _svg(drawing, ident, words)


def _draw_panel(
    drawing: Drawing,
    gid: str,
    panel: Panel,
    low: tuple[float, float],
    size: tuple[float, float],
) -> None:
    count = len(panel.dots)
    made = axes(low, size, panel.axis, Axis(0.0, float(count), ticked=False))
    field_low = (low[0], low[1] - below(panel.axis, size[0]))
    plot = open_plot(drawing, gid, made, field_low, (low[0] + size[0], low[1] + size[1]))
    plot.guides("guides", panel.guides, "x") if panel.guides else None
    plot.draw_axes()
    shown = [(count - at - 0.5, dot) for at, dot in enumerate(panel.dots) if dot is not None]
    spans = [((dot.low, y), (dot.high, y)) for y, dot in shown if dot.low < dot.high]
    if spans:
        plot.board.line("intervals", segments(spans), "ink", SYMBOL)
    for at, (y, dot) in enumerate(shown, 1):
        plot.board.page.add(mark(f"dot-{at}", dot.form, made.frame.at(dot.value, y)))


def bars(
    ident: str, words: Words, subtitle: str, counts: Sequence[int], names: tuple[str, str]
) -> str:
    """A bar for 0, 1, 2 and so on, as high as the count; ``names`` are those of the axes."""
    x = Axis(-0.5, len(counts) - 0.5, names[0])
    y = Axis(0.0, max(_FEWEST_UP, 1.05 * max(counts)), names[1])
    points = np.array([(at, count) for at, count in enumerate(counts) if count], dtype=float)

    def paint(plot: Plot) -> None:
        plot.bars("bars", points, _BAR, ("ink", "flap-tint"))

    return free(ident, words, subtitle, (x, y), paint, height=_HEIGHT)


def free(
    ident: str,
    words: Words,
    subtitle: str,
    both: tuple[Axis, Axis],
    paint: Callable[[Plot], None],
    *,
    notes: Sequence[str] = (),
    height: float = _PLOT_HEIGHT,
) -> str:
    """A plot with two axes, x and y, on which something is painted."""
    x, y = both
    page = chart_sheet(words.title, subtitle, notes=notes)
    room = PAGE_WIDTH - 2 * MARGIN
    top, foot, left = above(y, room), below(x, room), beside(y, height)
    drawing, corner = page.open(top + height + foot)
    at = (page.low[0] + left, corner[1] - top - height)
    made = axes(at, (corner[0] - at[0] - _OVERHANG, height), x, y)
    plot = open_plot(drawing, "plot", made, page.low, corner)
    paint(plot)
    plot.draw_axes()
    return _svg(drawing, ident, words)


def _svg(drawing: Drawing, ident: str, words: Words) -> str:
    return export.svg(
        drawing, "css", figure_id=ident, title=words.title, description=words.description
    )
