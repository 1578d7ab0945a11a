"""How far the total scores of a paper would come out the same with other questions of its kind.

Columns are questions, rows candidates. Every variance of one formula has the same ddof: 0 in KR-20
and KR-21, 1 in alpha, where it cancels. A coefficient is None where there are fewer than two
questions or two candidates, or where all totals are the same.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import f

Real = NDArray[np.float64]

LEVEL: Final = 0.95


@dataclass(frozen=True)
class Interval:
    """An estimate with its 95 % interval."""

    value: float
    low: float
    high: float


def alpha(scores: ArrayLike) -> float | None:
    """Cronbach's alpha: k/(k-1) (1 - sum var_j / var_T) [cronbach-1951, from memory]."""
    table = np.asarray(scores, dtype=float)
    if not _varied(table):
        return None
    count = table.shape[1]
    parts = table.var(axis=0, ddof=1).sum()
    return float(count / (count - 1) * (1 - parts / table.sum(axis=1).var(ddof=1)))


def alpha_interval(scores: ArrayLike) -> Interval | None:
    """Alpha with its interval."""
    value = alpha(scores)
    return None if value is None else feldt(value, *np.shape(scores))


def feldt(value: float, candidates: int, questions: int) -> Interval:
    """The interval of an alpha after Feldt (from memory), by the F distribution of scipy.

    1 - (1 - alpha) F, F the quantiles with n - 1 and (n - 1)(k - 1) degrees of freedom. It assumes
    normally distributed scores, which marks of 0 and 1 are only roughly.
    """
    degrees = candidates - 1, (candidates - 1) * (questions - 1)
    tail = (1 - LEVEL) / 2
    wide, narrow = f.ppf(1 - tail, *degrees), f.ppf(tail, *degrees)
    return Interval(value, float(1 - (1 - value) * wide), float(1 - (1 - value) * narrow))


def alpha_if_deleted(scores: ArrayLike) -> tuple[float | None, ...]:
    """Alpha of the paper without each question in turn."""
    table = np.asarray(scores, dtype=float)
    count = table.shape[1]
    parts = table.var(axis=0, ddof=1) if len(table) > 1 else np.zeros(count)
    totals = table.sum(axis=1)
    found: list[float | None] = []
    for at in range(count):
        left = totals - table[:, at]
        if count - 1 < 2 or len(table) < 2 or np.ptp(left) == 0:  # noqa: PLR2004
            found.append(None)
            continue
        share = (parts.sum() - parts[at]) / left.var(ddof=1)
        found.append(float((count - 1) / (count - 2) * (1 - share)))
    return tuple(found)


def kr20(right: ArrayLike) -> float | None:
    """k/(k-1) (1 - sum pq / var_T), of marks of 0 and 1 [kuder-richardson-1937, from memory]."""
    table = np.asarray(right, dtype=float)
    if not _varied(table):
        return None
    count = table.shape[1]
    shares = table.mean(axis=0)
    spread = (shares * (1 - shares)).sum()
    return float(count / (count - 1) * (1 - spread / table.sum(axis=1).var()))


def kr21(right: ArrayLike) -> float | None:
    """k/(k-1) (1 - M (k - M) / (k var_T)): KR-20 as if all questions were equally hard, and so
    never above it [kuder-richardson-1937, from memory].
    """
    table = np.asarray(right, dtype=float)
    if not _varied(table):
        return None
    count = table.shape[1]
    totals = table.sum(axis=1)
    mean = totals.mean()
    return float(count / (count - 1) * (1 - mean * (count - mean) / (count * totals.var())))


def error_of_measurement(deviation: float, reliability: float) -> float:
    """The standard error of measurement, s_T sqrt(1 - reliability), in the unit of the deviation;
    derived.
    """
    return deviation * math.sqrt(1 - reliability)


def lengthened(reliability: float, times: float) -> float:
    """The reliability of a paper so many times as long: n r / (1 + (n - 1) r) (Spearman, Brown;
    from memory).
    """
    return times * reliability / (1 + (times - 1) * reliability)


def times_as_long(reliability: float, wanted: float) -> float | None:
    """How many times as long a paper must be for a reliability: w (1 - r) / (r (1 - w)); derived.

    None where the reliability is not above 0: no length helps.
    """
    if reliability <= 0:
        return None
    return wanted * (1 - reliability) / (reliability * (1 - wanted))


def _varied(table: Real) -> bool:
    rows, columns = table.shape
    return columns > 1 and rows > 1 and bool(np.ptp(table.sum(axis=1)) > 0)
