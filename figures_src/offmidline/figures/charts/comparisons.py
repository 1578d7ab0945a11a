"""Published comparisons of an outcome, sorted by what is compared, all of a pair seen from the same
side.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Final

from offmidline.figures.chart import Subject
from offmidline.figures.charts.published import Ratio, Result, ratio, results, topic

# What comes first in a pair, and in the chart, and what comes last.
_FIRST: Final = ("this-operation", "this-or-cleft-lift")
_LAST: Final = ("midline-closure", "no-checklist")
_FEWEST: Final = 2


@dataclass(frozen=True)
class Row:
    """A comparison as it is drawn.

    Attributes:
        ratio: as seen from the first of the pair.
        aside: what sets it apart from another row of the same publication, where there is one.
    """

    number: int
    result: Result
    ratio: Ratio
    aside: str = ""


@dataclass(frozen=True)
class Comparison:
    """The rows that compare the same two, of which the first comes first in all of them."""

    pair: tuple[str, str]
    rows: tuple[Row, ...]


def comparisons(subject: Subject, key: str) -> tuple[Comparison, ...]:
    """What a picture shows, in order; single studies come before pooled ones, each by year."""
    found: dict[frozenset[str], list[tuple[Result, Ratio]]] = {}
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for result in results(subject):
        pair, value = result.compared, ratio(result)
        if pair is None or value is None or _key(result.row.outcome, pair) != key:
            continue
        one = frozenset(pair)
        pairs.setdefault(one, _oriented(pair))
        found.setdefault(one, []).append((result, value if pair == pairs[one] else value.inverse))
    taken = 0
    made = []
    for one in sorted(found, key=lambda each: (_rank(pairs[each]), -len(found[each]), pairs[each])):
        rows = sorted(found[one], key=lambda row: (row[0].pooled, row[0].year or 0))
        published = Counter(result.evidence.evidence for result, _ in rows)
        numbered = [
            Row(
                taken + index,
                result,
                value,
                result.aside if published[result.evidence.evidence] > 1 else "",
            )
            for index, (result, value) in enumerate(rows, 1)
        ]
        made.append(Comparison(pairs[one], tuple(numbered)))
        taken += len(rows)
    return tuple(made)


def left_out(subject: Subject, key: str) -> int:
    """How many comparisons of the outcome cannot be drawn, as they give no ratio with its
    interval.
    """
    count = 0
    for result in results(subject):
        finding = result.row.finding
        pair = result.compared if finding is None else finding.between
        if pair is not None and _key(result.row.outcome, pair) == key:
            count += ratio(result) is None
    return count


def _oriented(pair: tuple[str, str]) -> tuple[str, str]:
    """A pair with the operation of the handbook first, or else with what it is measured against
    last.
    """
    first, second = pair
    return (second, first) if second in _FIRST or first in _LAST else pair


def _rank(pair: tuple[str, str]) -> int:
    return _FIRST.index(pair[0]) if pair[0] in _FIRST else len(_FIRST)


def keys(subject: Subject) -> tuple[str, ...]:
    """The outcomes, each with what is compared, of which there are comparisons to draw."""
    counts = Counter(
        _key(result.row.outcome, result.compared)
        for result in results(subject)
        if result.compared is not None and ratio(result) is not None
    )
    return tuple(key for key, count in counts.items() if count >= _FEWEST)


def outcome_and_topic(subject: Subject, key: str) -> tuple[str, str]:
    """The outcome of a picture, and what is compared where that is not operations."""
    for result in results(subject):
        if result.compared is not None and _key(result.row.outcome, result.compared) == key:
            return result.row.outcome, topic(result.compared)
    raise KeyError(key)


def _key(outcome: str, pair: tuple[str, str]) -> str:
    return "-".join(filter(None, (outcome, topic(pair))))
