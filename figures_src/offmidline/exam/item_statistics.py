"""How hard each question was, how well it tells the strong from the weak, and what its wrong
options did.

Correlations are Pearson's with scipy's interval (Fisher's z). ddof does not matter in them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import pearsonr

from offmidline.evidence import Proportion, wilson
from offmidline.exam.marks import UNANSWERED, Asked, Marks, Meaning
from offmidline.exam.reliability import LEVEL, Interval, alpha_if_deleted

# Share of the candidates in the upper and in the lower group. [kelley-1939, from memory]
GROUP: Final = 0.27
# A distractor functions when so many choose it and it does not draw the stronger. [tarrant-2009]
FUNCTIONS_FROM: Final = 0.05
# Fisher's z has an interval from so many pairs on.
_PAIRS: Final = 4


@dataclass(frozen=True)
class OptionStatistic:
    """What became of one way to answer a question.

    Attributes:
        count, share: of the candidates.
        mean_total: mean total score of those who chose it, the question included; None where nobody
            did.
        correlation: of choosing it with the total score, the question included; None where it or
            the total does not vary.
        functions: for a printed wrong option, whether at least 5 % chose it and the correlation is
            not positive; None for anything else.
    """

    meaning: Meaning
    count: int
    share: float
    mean_total: float | None
    correlation: Interval | None
    functions: bool | None


@dataclass(frozen=True)
class ItemStatistic:
    """What the answers say of one question.

    Attributes:
        people: who had the question; right: of them.
        difficulty: share of right answers, with the interval of Wilson.
        corrected: correlation of the mark with the total of the other questions; None where one of
            them does not vary.
        discrimination: share right in the upper group less that in the lower; None with fewer than
            two candidates.
        alpha_without: alpha of the paper without it.
        options: its answers' statistics, in the order of its meanings.
        unanswered: how many left it out.
    """

    asked: Asked
    people: int
    right: int
    difficulty: Proportion
    corrected: Interval | None
    discrimination: float | None
    alpha_without: float | None
    options: tuple[OptionStatistic, ...]
    unanswered: int

    @property
    def functioning(self) -> int | None:
        """How many distractors function; None where none was printed."""
        judged = [one.functions for one in self.options if one.functions is not None]
        return sum(judged) if judged else None


def item_statistics(marks: Marks) -> tuple[ItemStatistic, ...]:
    """The statistics of every question of a group, in order."""
    totals = marks.totals
    without = alpha_if_deleted(marks.right)
    return tuple(_statistic(marks, at, totals, without[at]) for at in range(len(marks.asked)))


def _statistic(
    marks: Marks, at: int, totals: NDArray[np.int64], without: float | None
) -> ItemStatistic:
    right, given = marks.right[:, at], marks.given[:, at]
    people = len(right)
    return ItemStatistic(
        marks.asked[at],
        people,
        int(right.sum()),
        wilson(int(right.sum()), people),
        correlation(right, totals - right),
        discrimination(right, totals),
        without,
        option_statistics(marks.asked[at], given, totals),
        int((given == UNANSWERED).sum()),
    )


def correlation(one: ArrayLike, other: ArrayLike) -> Interval | None:
    """Pearson's r with its 95 % interval; None where one of the two does not vary.

    With fewer than four pairs there is no interval: it is -1 to 1.
    """
    first, second = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    if len(first) < 2 or np.ptp(first) == 0 or np.ptp(second) == 0:  # noqa: PLR2004
        return None
    found = pearsonr(first, second)
    value = float(found.statistic)
    if len(first) < _PAIRS:
        return Interval(value, -1.0, 1.0)
    if math.isclose(abs(value), 1):
        return Interval(value, value, value)
    ends = found.confidence_interval(LEVEL)
    return Interval(value, float(ends.low), float(ends.high))


def group_size(people: int, share: float = GROUP) -> int:
    """How many candidates the upper and the lower group have: the share rounded, halves up, at
    least 1 and at most half of all. Rounding is free in the literature: this is a local rule.
    """
    return max(1, min(people // 2, math.floor(share * people + 0.5)))


def discrimination(right: ArrayLike, totals: ArrayLike, share: float = GROUP) -> float | None:
    """The share right in the upper group less that in the lower [kelley-1939, from memory].

    Candidates who are level at the edge of a group belong to it in part, all with the same weight,
    so that the order of the file does not matter (derived). None with fewer than two candidates.
    """
    marks, scores = np.asarray(right, dtype=float), np.asarray(totals, dtype=float)
    if len(marks) < 2:  # noqa: PLR2004
        return None
    size = group_size(len(marks), share)
    upper, lower = _top_share(marks, scores, size), _top_share(marks, -scores, size)
    return upper - lower


def _top_share(marks: NDArray[np.float64], scores: NDArray[np.float64], size: int) -> float:
    """The share right among the candidates of the highest scores."""
    edge = np.sort(scores)[-size]
    above, level = scores > edge, scores == edge
    weight = (size - above.sum()) / level.sum()
    return float((marks[above].sum() + weight * marks[level].sum()) / size)


def option_statistics(
    asked: Asked, given: NDArray[np.int64], totals: NDArray[np.int64]
) -> tuple[OptionStatistic, ...]:
    """What became of every way to answer a question."""
    return tuple(
        _option(asked, meaning, given == at, totals) for at, meaning in enumerate(asked.meanings)
    )


def _option(
    asked: Asked, meaning: Meaning, chose: NDArray[np.bool_], totals: NDArray[np.int64]
) -> OptionStatistic:
    count = int(chose.sum())
    share = count / len(chose)
    found = correlation(chose, totals)
    functions = (
        share >= FUNCTIONS_FROM and (found is None or found.value <= 0)
        if asked.offered and not meaning.right
        else None
    )
    mean = float(totals[chose].mean()) if count else None
    return OptionStatistic(meaning, count, share, mean, found, functions)
