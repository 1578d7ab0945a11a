"""Published results as charts read them: rows of the evidence with their names, times, ratios and
proportions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from offmidline import messages
from offmidline.evidence import relative_risk
from offmidline.evidence.proportion import Z
from offmidline.figures.chart import Citation, Subject
from offmidline.figures.words import number, say
from offmidline.records.evidence import RATIOS

if TYPE_CHECKING:
    from offmidline.records.evidence import Evidence, EvidenceRow

# Decimals of a ratio from a value on.
_PLACES: Final = ((10.0, 1), (0.01, 2), (0.0, 3))
_POOLED: Final = frozenset({"pooled studies", "pooled trials"})
# Arms of a comparison.
_BOTH: Final = 2


@dataclass(frozen=True)
class Result:
    """A row of an evidence."""

    evidence: Evidence
    row: EvidenceRow
    year: int | None

    @property
    def name(self) -> str:
        """By which it is cited: ``EVIDENCE.ROW``."""
        return f"{self.evidence.evidence}.{self.row.row}"

    @property
    def compared(self) -> tuple[str, str] | None:
        """The two operations that it compares, in its own order."""
        if len(self.row.arms) == _BOTH:
            first, second = self.row.arms
            return first.operation, second.operation
        return self.row.estimate.between if self.row.estimate is not None else None

    @property
    def pooled(self) -> bool:
        """Whether its publication put the results of several studies together."""
        return self.evidence.design in _POOLED

    @property
    def aside(self) -> str:
        """What its name says besides the outcome, such as which trials were taken."""
        return self.row.row.removeprefix(self.row.outcome).strip("-").replace("-", " ")

    @property
    def design(self) -> str:
        """Its design and year, in words."""
        words = capital(self.evidence.design)
        return words if self.year is None else f"{words} {self.year}"

    @property
    def time_words(self) -> str:
        """Its follow-up time as part of a sentence, or that none was stated; nothing where there
        is no following.
        """
        if self.row.follow_up_as_read is None:
            return ""
        if self.row.follow_up is None:
            return say("charts.no_time")
        return say("charts.time", time=self.follow_up)

    @property
    def follow_up(self) -> str:
        """Its follow-up time in words, or that none was stated."""
        return self.row.follow_up_text


@dataclass(frozen=True)
class Ratio:
    """A ratio with its 95 % interval.

    Attributes:
        weight: 1 / variance of its logarithm; None where it was pooled from several studies.
        corrected: whether a half was added to each count, as one of them was zero.
        turned: whether it is the inverse of what the source prints.
    """

    value: float
    low: float
    high: float
    weight: float | None = None
    corrected: bool = False
    turned: bool = False

    @property
    def inverse(self) -> Ratio:
        """The same comparison seen from its other side."""
        return Ratio(
            1 / self.value,
            1 / self.high,
            1 / self.low,
            self.weight,
            self.corrected,
            not self.turned,
        )


def results(subject: Subject) -> Iterator[Result]:
    """Every row of the evidence, in the order of the files."""
    for evidence in subject.evidence:
        year = subject.years.get(evidence.source)
        yield from (Result(evidence, row, year) for row in evidence.rows)


def ratio(result: Result) -> Ratio | None:
    """The ratio of a result: that of its counts, or the one it prints; None where it has none with
    an interval.
    """
    row = result.row
    if len(row.arms) == _BOTH:
        one, other = row.arms
        if one.events == other.events == 0:
            return None
        found = relative_risk(one.events, one.of, other.events, other.of)
        weight = None if result.pooled else 1 / found.variance
        return Ratio(found.value, found.low, found.high, weight, found.corrected)
    estimate = row.estimate
    if estimate is None or estimate.measure not in RATIOS:
        return None
    if estimate.low is None or estimate.high is None:
        return None
    # ln(high / low) spans 2 z standard errors of the logarithm.
    error = math.log(estimate.high / estimate.low) / (2 * Z)
    return Ratio(
        estimate.value, estimate.low, estimate.high, None if result.pooled else 1 / error**2
    )


def citations(shown: list[Result], numbered: bool = True) -> tuple[Citation, ...]:
    """The sources of results in the order of their rows, each once for each status."""
    rows: dict[tuple[str, str | None], list[int]] = {}
    for index, result in enumerate(shown, 1):
        rows.setdefault((result.evidence.source, result.row.status), []).append(index)
    return tuple(
        Citation(source, tuple(numbers) if numbered else (), status)
        for (source, status), numbers in rows.items()
    )


# What is compared besides operations, each with the words that belong to it.
TOPICS: Final[Mapping[str, frozenset[str]]] = MappingProxyType(
    {
        "hair": frozenset(
            {
                "hair-laser",
                "hair-left",
                "hair-razor",
                "hair-razor-or-cream",
                "standard-hair-care",
            }
        ),
        "risk": frozenset({"smoker", "overweight", "three-or-more-pits", "earlier-abscess"}),
        "safety": frozenset({"checklist", "no-checklist"}),
    }
)


def topic(words: Iterable[str]) -> str:
    """What is compared, where it is not operations: one of the topics, or nothing."""
    found = set(words)
    return next((name for name, known in TOPICS.items() if known & found), "")


def source_citation(result: Result) -> Citation:
    """The source of one result."""
    return Citation(result.evidence.source, (), result.row.status)


def outcome(name: str) -> str:
    """The title of an outcome; one without a title is called by its name."""
    return _title("figures.charts.outcomes", name)


def operation(name: str) -> str:
    """The title of an operation, or of another thing that is compared; likewise."""
    return _title("site.operations", name)


def _title(section: str, name: str) -> str:
    return str(messages.section(section).get(name, name.replace("-", " ")))


def capital(text: str) -> str:
    """A text as a sentence or a heading begins."""
    return text[:1].upper() + text[1:]


def two_places(value: float) -> str:
    """A ratio with two decimals; a small one with as many as tell it from zero, a large one with
    one.
    """
    places = next(places for least, places in _PLACES if value >= least)
    return f"{value:.{places}f}"


def percent(value: float) -> str:
    """A percentage with one decimal where it has one."""
    return f"{number(value)} %"
