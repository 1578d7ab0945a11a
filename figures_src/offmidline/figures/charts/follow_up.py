"""Recurrence against the time for which patients were followed: every published proportion whose
time is known, with a table of what each mark is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, get_args

import numpy as np

from offmidline.figures.chart import Chart, Citation, Subject
from offmidline.figures.charts.log_axis import LogAxis
from offmidline.figures.charts.marks import Form, MarkKey, mark
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.charts.published import (
    Result,
    capital,
    citations,
    operation,
    results,
    topic,
)
from offmidline.figures.charts.shares import Share, share_words, shares
from offmidline.figures.page.axes import HALF_DIGIT, TICK, TICK_GAP, Axis
from offmidline.figures.page.drawing import Array, Drawing, Frame, Group, Shape, Writing, segments
from offmidline.figures.page.foot_table import FootTable
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.style import LINE_SPACING, MARGIN, SMALL_SIZE, SYMBOL, THIN
from offmidline.figures.view import WHOLE
from offmidline.figures.words import Words, say

# The form of a mark by operation; what is not named has the last one.
_FORMS: Final[Mapping[str, Form]] = MappingProxyType(
    {
        "this-operation": "disc",
        "this-or-cleft-lift": "ring",
        "cleft-lift": "ring",
        "rhomboid": "diamond",
        "modified-rhomboid": "diamond",
        "midline-closure": "square",
        "pit-excision": "triangle",
        "incision": "triangle",
    }
)
_OTHER: Final[Form] = "cross"

# The axes: months, of which these are named, and percent.
_FIRST: Final = 5.0
_LAST: Final = 300.0
_MONTHS: Final = (6, 12, 24, 36, 60, 120, 240)
_HEIGHT: Final = 95.0
_LEFT: Final = 9.0
# From mark to mark where they stand side by side, mm on the page.
_STEP: Final = 2.6
_NAME: Final = SMALL_SIZE * LINE_SPACING
_BELOW: Final = TICK + TICK_GAP + SMALL_SIZE * (ASCENT + DESCENT) + _NAME + 1.5
# How the width of the table is parted: number, time, operation with design, recurrence.
_SHARES: Final = (9.0, 30.0, 58.0, 48.0)


@dataclass(frozen=True)
class Followed:
    """A proportion with the months for which patients were followed, from and to."""

    result: Result
    share: Share
    first: float
    last: float

    @property
    def middle(self) -> float:
        """Months at which its mark stands: the only time, or the geometric middle of two."""
        return float((self.first * self.last) ** 0.5)

    @property
    def form(self) -> Form:
        """The form of its mark."""
        return _FORMS.get(self.share.operation, _OTHER)


def followed(subject: Subject) -> list[Followed]:
    """Every proportion with a known time, by time and then by size; an arm that two rows share
    comes once.
    """
    found: dict[tuple[object, ...], Followed] = {}
    for result in results(subject):
        row = result.row
        if row.outcome != "recurrence" or row.follow_up is None:
            continue
        for share in shares(result):
            if not topic([share.operation]):
                last = row.follow_up if row.follow_up_to is None else row.follow_up_to
                one = Followed(result, share, row.follow_up, last)
                key = (result.evidence.evidence, share, one.first, last)
                found.setdefault(key, one)
    return sorted(found.values(), key=lambda one: (one.middle, one.share.percent))


def side_by_side(wanted: Sequence[float], step: float) -> Array:
    """Places in the same order, at least a step apart, that lie as near as can be (least squares)
    to those that are wanted: the pool-adjacent-violators algorithm.
    """
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        pools.append((place - index * step, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (one, count), (other, more) = pools[-2:]
            pools[-2:] = [((one * count + other * more) / (count + more), count + more)]
    level = np.repeat([place for place, _ in pools], [count for _, count in pools])
    return np.asarray(level + step * np.arange(len(wanted)))


def _keys(subject: Subject) -> tuple[str, ...]:
    return (WHOLE,) if followed(subject) else ()


def _cites(subject: Subject, _: str) -> tuple[Citation, ...]:
    return citations([one.result for one in followed(subject)])


def _describe(subject: Subject, _: str) -> Words:
    shown = followed(subject)
    told = "; ".join(
        say(
            "charts.follow-up.told",
            time=one.result.follow_up,
            operation=operation(one.share.operation),
            share=share_words(one.share),
        )
        for one in shown
    )
    return Words(
        say("charts.follow-up.title"),
        say("charts.follow-up.description", told=told),
        say("charts.follow-up.caption", count=len(shown)),
    )


def _table(shown: Sequence[Followed]) -> FootTable:
    head = tuple(
        say(f"charts.follow-up.columns.{name}") for name in ("number", "time", "what", "share")
    )
    rows = [
        (
            str(index),
            capital(one.result.follow_up),
            say(
                "charts.follow-up.what",
                operation=capital(operation(one.share.operation)),
                design=str(one.result.evidence.design),
            ),
            share_words(one.share),
        )
        for index, one in enumerate(shown, 1)
    ]
    return FootTable("table", [head, *rows], _SHARES)


def _paint(subject: Subject, _: str) -> Drawing:
    shown = followed(subject)
    forms = {one.form for one in shown}
    keys = [
        MarkKey(f"key-{form}", form, say(f"charts.follow-up.forms.{form}"))
        for form in get_args(Form)
        if form in forms
    ]
    page = chart_sheet(
        say("charts.follow-up.title"),
        say("charts.follow-up.subtitle"),
        more=[*keys, _table(shown)],
        notes=[say("charts.follow-up.note")],
    )
    drawing, (right, top) = page.open(_NAME + HALF_DIGIT + _HEIGHT + _BELOW)
    high = max(one.share.high or one.share.percent for one in shown)
    up = Axis(0.0, high * 1.04)
    base = round(top - _NAME - HALF_DIGIT - _HEIGHT, 1)
    axis = LogAxis(_FIRST, _LAST, MARGIN + _LEFT, right - 3.0)
    frame = axis.frame(base)
    scale = _HEIGHT / up.span
    group = Group("plot", Frame(scale, frame.x, frame.y, "right", across=frame.across))
    drawing.add(group)
    _draw_axes(group, axis, up, base, top)
    places = side_by_side([axis.at(one.middle) for one in shown], _STEP)
    for index, (one, x) in enumerate(zip(shown, places, strict=True), 1):
        group.add(*_draw(one, f"mark-{index}", float(x), axis, (base, scale)))
    return drawing


def _draw_axes(group: Group, axis: LogAxis, up: Axis, base: float, top: float) -> None:
    """Months along the foot, percent at the left, and a faint line across at each tick."""
    ticks = up.ticks(_HEIGHT, "y")
    levels = [(base + _HEIGHT * tick.value / up.span, tick.text) for tick in ticks]
    guides = [((axis.left, y), (axis.right, y)) for y, _ in levels if y > base]
    group.add(Shape("guides", segments(guides), "faint", THIN))
    strokes = [
        ((axis.left, base), (axis.right, base)),
        ((axis.left, base), (axis.left, base + _HEIGHT)),
    ]
    strokes += [((axis.at(month), base), (axis.at(month), base - TICK)) for month in _MONTHS]
    strokes += [((axis.left - TICK, y), (axis.left, y)) for y, _ in levels]
    group.add(Shape("axes", segments(strokes), "muted", THIN))
    low = base - TICK - TICK_GAP - SMALL_SIZE * ASCENT
    for month in _MONTHS:
        group.add(
            Writing(
                f"month-{month}", str(month), axis.at(month), low, SMALL_SIZE, "muted", "middle"
            )
        )
    for index, (y, text) in enumerate(levels, 1):
        x = axis.left - TICK - TICK_GAP
        group.add(Writing(f"percent-{index}", text, x, y - HALF_DIGIT, SMALL_SIZE, "muted", "end"))
    middle = (axis.left + axis.right) / 2
    across = say("charts.follow-up.months")
    group.add(
        Writing("name-x", across, middle, low - _NAME, SMALL_SIZE, anchor="middle"),
        Writing(
            "name-y", say("charts.follow-up.percent"), MARGIN, top - SMALL_SIZE * ASCENT, SMALL_SIZE
        ),
    )


def _draw(one: Followed, gid: str, x: float, axis: LogAxis, up: tuple[float, float]) -> list[Shape]:
    """A mark with its interval as an upright line, and a level one where its time is a range."""
    base, scale = up
    share = one.share
    y = base + scale * share.percent
    found = []
    if one.last > one.first:
        times = segments([((axis.at(one.first), y), (axis.at(one.last), y))])
        found.append(Shape(f"{gid}-times", times, "ink", THIN))
    if share.low is not None and share.high is not None:
        ends = segments([((x, base + scale * share.low), (x, base + scale * share.high))])
        found.append(Shape(f"{gid}-interval", ends, "ink", SYMBOL))
    return [*found, mark(gid, one.form, (x, y))]


CHART: Final = Chart("follow-up", _keys, _describe, _paint, _cites)
