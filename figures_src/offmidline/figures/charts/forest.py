"""Published comparisons of one outcome as ratios with their intervals, under a heading for each
pair that is compared.

Nothing is pooled here: what single studies counted stands above what others pooled from trials.
"""

from __future__ import annotations

import math
from typing import Final

from offmidline.figures.chart import Chart, Citation, Subject
from offmidline.figures.charts.comparisons import (
    Row,
    comparisons,
    keys,
    left_out,
    outcome_and_topic,
)
from offmidline.figures.charts.forest_rows import (
    GAP,
    LEFT,
    PITCH,
    RIGHT,
    Layout,
    detail,
    measured,
    row_texts,
)
from offmidline.figures.charts.log_axis import LogAxis, rounded
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.charts.published import capital, citations, operation, outcome
from offmidline.figures.page.drawing import (
    Drawing,
    Group,
    Point,
    Shape,
    Trace,
    Writing,
    polyline,
    segments,
)
from offmidline.figures.page.metrics import ASCENT, DESCENT
from offmidline.figures.page.style import (
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    SYMBOL,
    THIN,
)
from offmidline.figures.words import Words, say

# Between the names of the columns and the first heading, and the ticks of the axis.
_BETWEEN: Final = 2.0
_TICK: Final = 1.6
_AXIS: Final = _TICK + 0.6 + SMALL_SIZE * (ASCENT + DESCENT) + 1.0
# Side of the square of the row with the most weight, and half the height of a diamond.
_SQUARE: Final = 4.0
_DIAMOND: Final = 1.5


def _rows(subject: Subject, key: str) -> list[Row]:
    return [row for comparison in comparisons(subject, key) for row in comparison.rows]


def _cites(subject: Subject, key: str) -> tuple[Citation, ...]:
    return citations([row.result for row in _rows(subject, key)])


def _title(subject: Subject, key: str) -> str:
    found, about = outcome_and_topic(subject, key)
    return say(f"charts.forest.titles.{about or 'operations'}", outcome=capital(outcome(found)))


def _describe(subject: Subject, key: str) -> Words:
    shown = comparisons(subject, key)
    told = " ".join(
        say(
            "charts.forest.compared",
            first=capital(operation(one.pair[0])),
            second=operation(one.pair[1]),
            rows="; ".join(_row_sentence(row) for row in one.rows),
        )
        for one in shown
    )
    count = len(_rows(subject, key))
    missing = left_out(subject, key)
    more = say("charts.forest.left_out", count=missing) if missing else ""
    return Words(
        _title(subject, key),
        say("charts.forest.description", rows=told),
        f"{say('charts.forest.caption', title=_title(subject, key), count=count)} {more}".strip(),
    )


def _row_sentence(row: Row) -> str:
    lines = [row.result.design, measured(row), detail(row)]
    return ", ".join(filter(None, (*lines, row.result.time_words)))


def _paint(subject: Subject, key: str) -> Drawing:
    shown = comparisons(subject, key)
    rows = [row for one in shown for row in one.rows]
    notes = [say("charts.forest.note")]
    if any(row.ratio.turned and not row.result.row.arms for row in rows):
        notes.append(say("charts.forest.turned_note"))
    if any(row.ratio.corrected for row in rows):
        notes.append(say("charts.forest.corrected_note"))
    page = chart_sheet(_title(subject, key), say("charts.forest.subtitle"), notes=notes)
    ends = rounded([end for row in rows for end in (row.ratio.low, row.ratio.high, 1.0)])
    axis = LogAxis(*ends, MARGIN + LEFT + GAP, PAGE_WIDTH - MARGIN - RIGHT - GAP)
    layouts = [Layout(one, axis) for one in shown]
    height = PITCH * 2 + _BETWEEN + sum(one.height for one in layouts) + _AXIS + PITCH
    drawing, (right, top) = page.open(height)
    drawing.add(*_column_names(axis, top))
    y = top - PITCH * 2 - _BETWEEN
    bottom = y - sum(one.height for one in layouts)
    group = Group("plot", axis.frame(bottom))
    drawing.add(group)
    heaviest = max((row.ratio.weight or 0.0 for row in rows), default=1.0)
    ones = []
    for index, layout in enumerate(layouts, 1):
        drawing.add(*layout.head(index, y))
        ones.append(layout.line(axis, y))
        for row, at in layout.places(y):
            group.add(*_marks(row, axis, at, heaviest))
            drawing.add(*row_texts(row, at, right))
        y -= layout.height
    group.items.insert(0, Shape("no-difference", segments(ones), "muted", THIN))
    _draw_axis(group, axis, bottom)
    return drawing


def _column_names(axis: LogAxis, top: float) -> list[Writing]:
    baseline = top - SMALL_SIZE * ASCENT
    texts = [
        ("study", MARGIN, baseline, say("charts.forest.column_study")),
        ("counts", MARGIN, baseline - PITCH, say("charts.forest.column_counts")),
        ("ratio", axis.right + GAP, baseline, say("charts.forest.column_ratio")),
        ("time", axis.right + GAP, baseline - PITCH, say("charts.forest.column_time")),
    ]
    return [Writing(f"column-{gid}", text, x, y, SMALL_SIZE, "muted") for gid, x, y, text in texts]


def _marks(row: Row, axis: LogAxis, top: float, heaviest: float) -> list[Shape]:
    """The interval as a line with a square on it, or as a diamond where it was pooled."""
    y = top - SMALL_SIZE * (ASCENT - 0.36)
    low, value, high = (axis.at(each) for each in (row.ratio.low, row.ratio.value, row.ratio.high))
    gid = f"row-{row.number}"
    if row.ratio.weight is None:
        corners = [(low, y), (value, y + _DIAMOND), (high, y), (value, y - _DIAMOND)]
        return [Shape(gid, polyline(corners, closed=True), "ink", SYMBOL, "specimen-tint")]
    half = _SQUARE / 2 * math.sqrt(row.ratio.weight / heaviest)
    return [
        Shape(f"{gid}-interval", segments([((low, y), (high, y))]), "ink", SYMBOL),
        Shape(gid, _square((value, y), half), fill="ink"),
    ]


def _square(centre: Point, half: float) -> Trace:
    x, y = centre
    corners = [
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
    ]
    return polyline(corners, closed=True)


def _draw_axis(group: Group, axis: LogAxis, y: float) -> None:
    """The axis with its ticks and its name below the rows."""
    ticks = axis.ticks()
    strokes = [((axis.left, y), (axis.right, y))]
    strokes += [((axis.at(tick.value), y), (axis.at(tick.value), y - _TICK)) for tick in ticks]
    strokes += [((axis.at(value), y), (axis.at(value), y - _TICK / 2)) for value in axis.round()]
    group.add(Shape("axis", segments(strokes), "muted", THIN))
    baseline = y - _TICK - 0.6 - SMALL_SIZE * ASCENT
    for index, tick in enumerate(ticks, 1):
        place = axis.at(tick.value)
        group.add(
            Writing(f"tick-{index}", tick.text, place, baseline, SMALL_SIZE, "muted", "middle")
        )
    middle = (axis.left + axis.right) / 2
    name = say("charts.forest.axis")
    group.add(Writing("axis-name", name, middle, baseline - PITCH, SMALL_SIZE, anchor="middle"))


CHART: Final = Chart("forest", keys, _describe, _paint, _cites)
