"""Two groups compared by how often something happened in each."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from offmidline.evidence.proportion import Z

# Added to each of the four counts of a table with an empty cell, as a ratio of counts has no
# logarithm there (Haldane and Anscombe; from memory).
HALF: Final = 0.5


@dataclass(frozen=True)
class Comparison:
    """The first group against the second.

    Attributes:
        value, low, high: a ratio, or a difference of shares, with its 95 % interval.
        variance: that of the ratio's logarithm, or of the difference; its inverse is a weight.
        corrected: whether a half was added to each count, as one of them was zero.
    """

    value: float
    low: float
    high: float
    variance: float
    corrected: bool = False


def relative_risk(events: int, of: int, other_events: int, other_of: int) -> Comparison:
    """The ratio of shares, with the log-normal interval of Wald.

    var(ln RR) = 1/a - 1/n1 + 1/c - 1/n2. With no event in one group, a half is added to every cell
    of the table. Raises ValueError where there is no event in either, or nobody in one.
    """
    a, b, c, d, corrected = _cells(events, of, other_events, other_of)
    value = a / (a + b) * (c + d) / c
    return _ratio(value, 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d), corrected=corrected)


def odds_ratio(events: int, of: int, other_events: int, other_of: int) -> Comparison:
    """The ratio of odds, with the log-normal interval of Wald (Woolf; from memory).

    var(ln OR) = 1/a + 1/b + 1/c + 1/d; empty cells and errors as for ``relative_risk``.
    """
    a, b, c, d, corrected = _cells(events, of, other_events, other_of, every=True)
    return _ratio(a * d / (b * c), 1 / a + 1 / b + 1 / c + 1 / d, corrected=corrected)


def risk_difference(events: int, of: int, other_events: int, other_of: int) -> Comparison:
    """The difference of shares, first less second, with the interval of Wald.

    Raises ValueError where a group is empty or has more events than persons.
    """
    _check(events, of, other_events, other_of)
    one, other = events / of, other_events / other_of
    variance = one * (1 - one) / of + other * (1 - other) / other_of
    half = Z * math.sqrt(variance)
    return Comparison(one - other, one - other - half, one - other + half, variance)


def _ratio(value: float, variance: float, *, corrected: bool) -> Comparison:
    spread = math.exp(Z * math.sqrt(variance))
    return Comparison(value, value / spread, value * spread, variance, corrected)


def _cells(
    events: int, of: int, other_events: int, other_of: int, *, every: bool = False
) -> tuple[float, float, float, float, bool]:
    """Events and no events of the first and of the second group; ``every`` cell must hold
    something for a ratio of odds, those with events for a ratio of shares.
    """
    _check(events, of, other_events, other_of)
    if events == other_events == 0:
        raise ValueError("without an event in either group there is no ratio")
    cells = (events, of - events, other_events, other_of - other_events)
    empty = 0 in (cells if every else (events, other_events))
    add = HALF if empty else 0.0
    a, b, c, d = (cell + add for cell in cells)
    return a, b, c, d, empty


def _check(events: int, of: int, other_events: int, other_of: int) -> None:
    for number, group in ((events, of), (other_events, other_of)):
        if not 0 <= number <= group or group == 0:
            raise ValueError(f"{number} of {group} is no share of anybody")
