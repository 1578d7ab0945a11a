"""When the complications come: a bar for each from its first to its last day, on an axis on which
equal factors of time take equal room.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from offmidline.figures.chart import Chart, Citation, Subject
from offmidline.figures.charts.log_axis import LogAxis
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.page.drawing import (
    Anchor,
    Drawing,
    Group,
    Point,
    Shape,
    Trace,
    Writing,
    polyline,
    segments,
)
from offmidline.figures.page.metrics import ASCENT, DESCENT, width
from offmidline.figures.page.style import (
    LINE_SPACING,
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    SYMBOL,
    TEXT_SIZE,
    THIN,
)
from offmidline.figures.view import WHOLE
from offmidline.figures.words import Words, say
from offmidline.quantities import DAYS_A_YEAR, MONTHS_A_YEAR

if TYPE_CHECKING:
    from offmidline.records.complication import Complication

# Where the axis begins and ends, and its named times; days after the operation.
_HOUR: Final = 1 / 24
_MONTH: Final = float(DAYS_A_YEAR / MONTHS_A_YEAR)
_YEAR: Final = float(DAYS_A_YEAR)
_START: Final = _HOUR
_END: Final = 5 * _YEAR
_TIMES: Final = (
    ("hour", _HOUR),
    ("hours", 6 * _HOUR),
    ("day", 1.0),
    ("days", 3.0),
    ("week", 7.0),
    ("weeks", 14.0),
    ("six-weeks", 42.0),
    ("half-year", 6 * _MONTH),
    ("year", _YEAR),
    ("years", _END),
)

# Text of a bar, the bar, and the gap to the next one; mm on the page.
_TEXT: Final = TEXT_SIZE * (ASCENT + DESCENT) + 0.6
_BAR: Final = 3.2
_BELOW: Final = 2.6
_ROW: Final = _TEXT + _BAR + _BELOW
_TICK: Final = 1.4
_LINES: Final = 2
_PITCH: Final = SMALL_SIZE * LINE_SPACING
_SCALE: Final = _TICK + 0.8 + _PITCH * _LINES
_APART: Final = 2.4
# Half the height and the length of the point of an open end.
_POINT: Final = 2.4


@dataclass(frozen=True)
class Bar:
    """A complication with its first and last day; None where it has no last day."""

    gid: str
    title: str
    first: float
    last: float | None
    words: str


def bars(subject: Subject) -> tuple[Bar, ...]:
    """The complications by their first day, then by their last."""
    found = [_bar(one) for one in subject.complications]
    return tuple(sorted(found, key=lambda bar: (bar.first, bar.last or _END, bar.gid)))


def _bar(one: Complication) -> Bar:
    first = one.window.start * _MONTH
    last = None if one.window.end is None else one.window.end * _MONTH
    return Bar(one.complication, one.title, first, last, _span(first, last))


def _span(first: float, last: float | None) -> str:
    """The time of a complication in words."""
    start = say("charts.timeline.operation") if first == 0 else time_words(first)
    if last is None:
        return say("charts.timeline.open", start=start)
    return say("charts.timeline.span", start=start, end=time_words(last))


def time_words(days: float) -> str:
    """A time in the largest unit of which it is a whole number: 2 hours, 3 days, 6 weeks."""
    units = (
        ("years", _YEAR),
        ("months", _MONTH),
        ("weeks", 7.0),
        ("days", 1.0),
        ("hours", _HOUR),
        ("minutes", _HOUR / 60),
    )
    for unit, length in units:
        count = round(days / length)
        # Days are said as days up to three weeks, as everybody counts them at the bedside.
        least = 4 if unit == "weeks" else 1
        if count >= least and abs(count * length - days) < 1e-6 * days:
            break
    key = unit if count != 1 else unit.removesuffix("s")
    return say(f"charts.timeline.units.{key}", count=count)


def _keys(subject: Subject) -> tuple[str, ...]:
    return (WHOLE,) if subject.complications else ()


def _cites(subject: Subject, _: str) -> tuple[Citation, ...]:
    sources = [source for one in subject.complications for source in one.source]
    return tuple(Citation(source) for source in dict.fromkeys(sources))


def _describe(subject: Subject, _: str) -> Words:
    told = "; ".join(
        say("charts.timeline.told", title=bar.title, span=bar.words) for bar in bars(subject)
    )
    return Words(
        say("charts.timeline.title"),
        say("charts.timeline.description", told=told),
        say("charts.timeline.caption", count=len(subject.complications)),
    )


def _paint(subject: Subject, _: str) -> Drawing:
    shown = bars(subject)
    page = chart_sheet(
        say("charts.timeline.title"),
        say("charts.timeline.subtitle"),
        notes=[say("charts.timeline.note")],
    )
    drawing, (right, top) = page.open(2 * _SCALE + _ROW * len(shown) + 2 * _BELOW)
    axis = LogAxis(_START, _END, MARGIN + 1.0, right - 5.0)
    high = round(top - _SCALE, 1)
    low = high - _BELOW - _ROW * len(shown)
    group = Group("plot", axis.frame(low))
    drawing.add(group)
    _draw_times(group, axis, (low, high))
    y = high - _BELOW
    for bar in shown:
        group.add(*_draw(bar, axis, y))
        y -= _ROW
    return drawing


def _draw_times(group: Group, axis: LogAxis, ends: tuple[float, float]) -> None:
    """The axis at both ends with its named times, in two lines where they would run together."""
    low, high = ends
    strokes = [((axis.left, y), (axis.right, y)) for y in ends]
    for _, days in _TIMES:
        x = axis.at(days)
        strokes += [((x, low), (x, low - _TICK)), ((x, high), (x, high + _TICK))]
    group.add(Shape("axis", segments(strokes), "muted", THIN))
    taken = [-1e9] * _LINES
    for name, days in _TIMES:
        text = say(f"charts.timeline.times.{name}")
        half = width(text, SMALL_SIZE) / 2
        x = min(max(axis.at(days), MARGIN + half), PAGE_WIDTH - MARGIN - half)
        line = next((at for at in range(_LINES) if x - half >= taken[at] + _APART), _LINES - 1)
        taken[line] = x + half
        down = low - _TICK - 0.8 - SMALL_SIZE * ASCENT - _PITCH * line
        up = high + _TICK + 0.8 + SMALL_SIZE * DESCENT + _PITCH * line
        for end, y in (("low", down), ("high", up)):
            group.add(Writing(f"{end}-{name}", text, x, y, SMALL_SIZE, "muted", "middle"))


def _draw(bar: Bar, axis: LogAxis, top: float) -> list[Shape | Writing]:
    """A bar below its title; it ends in a point where the time goes on beyond."""
    left = axis.at(max(bar.first, _START))
    right = axis.right if bar.last is None else axis.at(min(bar.last, _END))
    text = say("charts.timeline.told", title=bar.title, span=bar.words)
    x, anchor = _beside(text, left)
    y = top - TEXT_SIZE * ASCENT
    upper, lower = top - _TEXT, top - _TEXT - _BAR
    trace = _outline((left, right), (lower, upper), (bar.first < _START, bar.last is None))
    return [
        Writing(f"{bar.gid}-text", text, x, y, TEXT_SIZE, anchor=anchor),
        Shape(bar.gid, trace, "ink", SYMBOL, "cavity-tint"),
    ]


def _beside(text: str, left: float) -> tuple[float, Anchor]:
    """Where the text of a bar starts: over its left end, or as far left as it needs."""
    end = PAGE_WIDTH - MARGIN
    return (left, "start") if left + width(text, TEXT_SIZE) <= end else (end, "end")


def _outline(xs: Point, ys: Point, open_ends: tuple[bool, bool]) -> Trace:
    """A bar, with a point outwards at an end that lies beyond the axis."""
    (left, right), (low, high) = xs, ys
    middle = (low + high) / 2
    points = [(left, low), (right, low)]
    points += [(right + _POINT, middle)] if open_ends[1] else []
    points += [(right, high), (left, high)]
    points += [(left - _POINT, middle)] if open_ends[0] else []
    return polyline(points, closed=True)


CHART: Final = Chart("timeline", _keys, _describe, _paint, _cites)
