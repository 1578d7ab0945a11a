"""A learning curve, on a sequence of operations that is invented: the sum of a sequential test
with its two lines.
"""

from __future__ import annotations

import math
from functools import lru_cache
from random import Random
from typing import Final

import numpy as np

from offmidline.figures.chart import Chart, Subject
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.page.axes import Axis, above, axes, below, beside
from offmidline.figures.page.drawing import Anchor, Drawing, Point, Shape, Writing, segments
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.plot import Plot, open_plot
from offmidline.figures.page.style import (
    CUT,
    DASHED,
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    SYMBOL,
    Role,
)
from offmidline.figures.view import WHOLE
from offmidline.figures.words import Words, number, say
from offmidline.learning_curve import Crossing, Plan

# The rates that the chart tells apart, and its two errors.
PLAN: Final = Plan(acceptable=0.10, unacceptable=0.20, false_alarm=0.1, missed=0.1)
# The invented sequence: so many operations, of which the first fail at one rate, the later ones at
# another.
_SEED: Final = 18
_CASES: Final = 60
_EARLY: Final = 20
_EARLY_RATE: Final = 0.25
_LATER_RATE: Final = 0.06

_HEIGHT: Final = 78.0
# Half of a cross that marks a failure, and from the sum to the cross; mm on the page.
_CROSS: Final = 1.1
_LIFT: Final = 0.8
# Between a line and its text.
_ASIDE: Final = 0.8
# Free beyond the lines, in units of the sum.
_BEYOND: Final = 0.9


@lru_cache(maxsize=1)
def invented() -> tuple[bool, ...]:
    """Whether each operation of the invented sequence failed."""
    chance = Random(_SEED)  # noqa: S311 - an example, not a secret
    rates = [_EARLY_RATE] * _EARLY + [_LATER_RATE] * (_CASES - _EARLY)
    return tuple(chance.random() < rate for rate in rates)


def _describe(_: Subject, __: str) -> Words:
    failures = invented()
    path = PLAN.path(failures)
    values = {
        "cases": len(failures),
        "failures": sum(failures),
        "highest": number(max(path), 2),
        "at": path.index(max(path)) + 1,
        "end": number(path[-1], 2),
        "clean": PLAN.clean_run,
        "straight": PLAN.straight_failures,
        "crossed": " ".join(
            say(f"charts.cusum.crossed_{kind}", case=case) for case, kind in PLAN.crossings(path)
        )
        or say("charts.cusum.crossed_nothing"),
        **_rates(),
    }
    return Words(
        say("charts.cusum.title"),
        say("charts.cusum.description", **values),
        say("charts.cusum.caption", **values),
    )


def _rates() -> dict[str, str]:
    """What the chart was planned with, as it is printed."""
    return {
        "acceptable": _percent(PLAN.acceptable),
        "unacceptable": _percent(PLAN.unacceptable),
        "alpha": number(PLAN.false_alarm, 2),
        "beta": number(PLAN.missed, 2),
        "step": number(PLAN.step, 3),
        "rise": number(1 - PLAN.step, 3),
        "lower": number(PLAN.lower, 2),
        "upper": number(PLAN.upper, 2),
    }


def _percent(share: float) -> str:
    return f"{number(100 * share)} %"


def _paint(_: Subject, __: str) -> Drawing:
    failures = invented()
    path = (0.0, *PLAN.path(failures))
    across = Axis(0.0, float(len(failures)), say("charts.cusum.cases_axis"))
    low, high = min(PLAN.lower, *path) - _BEYOND, max(PLAN.upper, *path) + _BEYOND
    up = Axis(low, high, say("charts.cusum.sum_axis"))
    values = _rates()
    page = chart_sheet(
        say("charts.cusum.title"),
        say("charts.cusum.subtitle"),
        notes=[say("charts.cusum.plan", **values), say("charts.cusum.key", **values)],
    )
    room = PAGE_WIDTH - 2 * MARGIN
    top, foot, left = above(up, room), below(across, room), beside(up, _HEIGHT)
    drawing, corner = page.open(top + _HEIGHT + foot)
    at = (page.low[0] + left, round(corner[1] - top - _HEIGHT, 1))
    drawn = axes(at, (corner[0] - at[0] - 2.0, _HEIGHT), across, up)
    plot = open_plot(drawing, "chart", drawn, (page.low[0], page.low[1]), corner)
    plot.draw_axes()
    plot.guides("zero", [0.0])
    _draw_lines(plot)
    points = np.column_stack([np.arange(len(path)), path])
    plot.curve("sum", points, "ink", CUT)
    failed = [case for case, was in enumerate(failures, 1) if was]
    centres = [drawn.frame.at(case, path[case]) for case in failed]
    plot.board.page.add(_crosses([(x, y + _LIFT + _CROSS) for x, y in centres]))
    return drawing


def _draw_lines(plot: Plot) -> None:
    """The two lines of the test with what each says, and the value of each."""
    # Each text lies outside its line, at the end where the sum has not come yet or left long ago.
    lines: tuple[tuple[str, Crossing, float, Role, float, float, Anchor], ...] = (
        ("upper", "suspected", PLAN.upper, "wrong", plot.axes.x.high, DESCENT, "end"),
        ("lower", "acceptable", PLAN.lower, "newline", 0.0, -ASCENT, "start"),
    )
    for gid, kind, value, role, at, shift, anchor in lines:
        run = np.array([[0.0, value], [plot.axes.x.high, value]])
        plot.curve(gid, run, role, DASHED)
        x, y = plot.axes.frame.at(at, value)
        x += _ASIDE if anchor == "start" else 0.0
        y += SMALL_SIZE * shift + math.copysign(_ASIDE, shift)
        text = say(f"charts.cusum.line_{kind}", value=number(value, 2))
        plot.board.write(Writing(f"{gid}-text", text, x, y, SMALL_SIZE, anchor=anchor))


def _crosses(centres: list[Point]) -> Shape:
    """A cross at each of some places of the page."""
    pairs = [
        pair
        for x, y in centres
        for pair in (
            ((x - _CROSS, y - _CROSS), (x + _CROSS, y + _CROSS)),
            ((x - _CROSS, y + _CROSS), (x + _CROSS, y - _CROSS)),
        )
    ]
    return Shape("failures", segments(pairs), "wrong", SYMBOL)


CHART: Final = Chart("cusum", lambda _: (WHOLE,), _describe, _paint)
