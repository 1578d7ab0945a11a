"""A proportion, its interval, and how it is told as a natural frequency."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

# Standard normal quantile of 0.975.
Z: Final = 1.959963984540054


@dataclass(frozen=True)
class Proportion:
    """A share between 0 and 1 with its 95 % interval."""

    value: float
    low: float
    high: float


def wilson(events: int, of: int) -> Proportion:
    """The share of events with the score interval of Wilson [wilson-1927, from memory].

    With p = events / of and z the normal quantile, the interval is
    (p + z^2 / 2n +/- z sqrt(p (1 - p) / n + z^2 / 4n^2)) / (1 + z^2 / n). It stays between 0 and 1
    and has a width also where nothing, or everything, happened.

    Raises ValueError where there is nobody, or where there are more events than persons.
    """
    if not 0 <= events <= of or of == 0:
        raise ValueError(f"{events} of {of} is no share of anybody")
    share = events / of
    middle = share + Z**2 / (2 * of)
    half = Z * math.sqrt(share * (1 - share) / of + Z**2 / (4 * of**2))
    whole = 1 + Z**2 / of
    # At none and at all of them one end is exact; rounding would miss it by a hair.
    low = 0.0 if events == 0 else (middle - half) / whole
    high = 1.0 if events == of else (middle + half) / whole
    return Proportion(share, low, high)


def per_hundred(share: float) -> int:
    """A share as so many of 100 persons, halves rounded up."""
    return math.floor(100 * share + 0.5)
