"""A proportion as 100 persons, so many of whom are affected; two of them side by side where two
operations were compared.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from offmidline.figures.chart import Chart, Citation, Subject
from offmidline.figures.charts.paper import chart_sheet
from offmidline.figures.charts.published import (
    Result,
    capital,
    operation,
    outcome,
    results,
    source_citation,
)
from offmidline.figures.charts.shares import (
    Share,
    counted_words,
    interval_words,
    persons_words,
    shares,
)
from offmidline.figures.page.drawing import (
    Drawing,
    Frame,
    Group,
    Point,
    Shape,
    Trace,
    Writing,
    polyline,
    together,
)
from offmidline.figures.page.metrics import ASCENT, wrap
from offmidline.figures.page.sheet import ROOM
from offmidline.figures.page.style import (
    LINE_SPACING,
    MARGIN,
    SMALL_SIZE,
    TEXT_SIZE,
    THIN,
)
from offmidline.figures.words import Words, say

PERSONS: Final = 100
_ACROSS: Final = 10
# From person to person, how far an affected one and another one reach from their middle, and
# between two groups; mm on the page.
_PITCH: Final = 6.0
_AFFECTED: Final = 2.3
_OTHER: Final = 1.2
_GAP: Final = 8.0
_COLUMN: Final = (ROOM - _GAP) / 2
_FIELD: Final = _PITCH * _ACROSS
_AFTER_FIELD: Final = 2.0
# The corners of an eighth of a turn each, on a circle of radius 1.
_OCTAGON: Final = tuple(
    (x, y)
    for x, y in (
        *((0.9239, 0.3827), (0.3827, 0.9239), (-0.3827, 0.9239), (-0.9239, 0.3827)),
        *((-0.9239, -0.3827), (-0.3827, -0.9239), (0.3827, -0.9239), (0.9239, -0.3827)),
    )
)


def _result(subject: Subject, key: str) -> Result:
    return next(one for one in results(subject) if one.name == key)


def _keys(subject: Subject) -> tuple[str, ...]:
    return tuple(result.name for result in results(subject) if _exact(shares(result)))


def _exact(found: tuple[Share, ...]) -> bool:
    """Whether there are proportions, and not only bounds of them."""
    return bool(found) and all(share.limit is None for share in found)


def _cites(subject: Subject, key: str) -> tuple[Citation, ...]:
    return (source_citation(_result(subject, key)),)


def _title(result: Result) -> str:
    return say("charts.icons.title", outcome=capital(outcome(result.row.outcome)))


def _describe(subject: Subject, key: str) -> Words:
    result = _result(subject, key)
    told = [
        say(
            "charts.icons.told",
            operation=capital(operation(share.operation)),
            persons=persons_words(share),
            exact=counted_words(share),
            interval=interval_words(share),
        )
        for share in shares(result)
    ]
    joined = "; ".join(told)
    caption = say(
        "charts.icons.caption",
        title=_title(result),
        told=joined,
        what=_what(result),
    )
    description = say("charts.icons.description", groups=len(told), told=joined, what=_what(result))
    return Words(_title(result), description, caption)


def _what(result: Result) -> str:
    """Design and follow-up time."""
    return ", ".join(filter(None, (result.design, result.time_words)))


def _paint(subject: Subject, key: str) -> Drawing:
    result = _result(subject, key)
    shown = shares(result)
    page = chart_sheet(
        _title(result),
        f"{_what(result)}.",
        notes=[say("charts.icons.note")],
    )
    heads = [_head(share) for share in shown]
    foots = [_foot(share) for share in shown]
    head = max(len(lines) for lines in heads) * TEXT_SIZE * LINE_SPACING + 2.0
    foot = max(len(lines) for lines in foots) * SMALL_SIZE * LINE_SPACING + 2.0
    drawing, (_, top) = page.open(head + _FIELD + _AFTER_FIELD + foot)
    for index, (share, above, below) in enumerate(zip(shown, heads, foots, strict=True)):
        left = MARGIN + index * (_COLUMN + _GAP)
        gid = f"arm-{index + 1}"
        drawing.add(*_lines(f"{gid}-head", above, (left, top), TEXT_SIZE, bold=True))
        group = Group(gid, Frame(1.0, left, round(top - head, 1), "right"))
        group.add(*_people(share.persons, (left, round(top - head, 1))))
        drawing.add(group)
        at = (left, top - head - _FIELD - _AFTER_FIELD)
        drawing.add(*_lines(f"{gid}-foot", below, at, SMALL_SIZE))
    return drawing


def _head(share: Share) -> tuple[str, ...]:
    return (
        *wrap(capital(operation(share.operation)), _COLUMN, TEXT_SIZE, bold=True),
        *wrap(persons_words(share), _COLUMN, TEXT_SIZE, bold=True),
    )


def _foot(share: Share) -> tuple[str, ...]:
    return (
        *wrap(counted_words(share), _COLUMN, SMALL_SIZE),
        *wrap(interval_words(share), _COLUMN, SMALL_SIZE),
    )


def _lines(
    gid: str, lines: Sequence[str], at: Point, size: float, *, bold: bool = False
) -> list[Writing]:
    left, top = at
    return [
        Writing(
            f"{gid}-{index + 1}",
            line,
            left,
            top - size * (ASCENT + LINE_SPACING * index),
            size,
            bold=bold,
        )
        for index, line in enumerate(lines)
    ]


def _people(affected: int, corner: Point) -> list[Shape]:
    """The persons row by row from an upper left corner, the affected first."""
    left, top = corner
    places = [
        (left + _PITCH * (index % _ACROSS + 0.5), top - _PITCH * (index // _ACROSS + 0.5))
        for index in range(PERSONS)
    ]
    found = []
    if affected:
        marks = [_octagon(place) for place in places[:affected]]
        found.append(Shape("affected", together(marks), fill="ink"))
    if affected < PERSONS:
        others = [_square(place) for place in places[affected:]]
        found.append(Shape("others", together(others), "muted", THIN))
    return found


def _octagon(centre: Point) -> Trace:
    x, y = centre
    corners = [(round(x + _AFFECTED * dx, 2), round(y + _AFFECTED * dy, 2)) for dx, dy in _OCTAGON]
    return polyline(corners, closed=True)


def _square(centre: Point) -> Trace:
    x, y = centre
    corners = [(x - _OTHER, y - _OTHER), (x + _OTHER, y - _OTHER)]
    corners += [(x + _OTHER, y + _OTHER), (x - _OTHER, y + _OTHER)]
    return polyline(np.round(corners, 2), closed=True)


CHART: Final = Chart("icons", _keys, _describe, _paint, _cites)
