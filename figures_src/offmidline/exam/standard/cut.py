"""A cut score: the lowest mark that passes, and how sure it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import t

LEVEL: Final = 0.95


@dataclass(frozen=True)
class Cut:
    """A cut score in marks; who has fewer fails.

    Attributes:
        of: the highest possible mark; None where it is not known.
        error: standard error; None where there is nothing to take it from.
        low, high: 95 % interval; None without an error.
    """

    value: float
    of: float | None = None
    error: float | None = None
    low: float | None = None
    high: float | None = None

    @property
    def percent(self) -> float | None:
        """The cut in per cent of the highest mark."""
        return None if self.of is None else 100 * self.value / self.of


def with_error(value: float, error: float, degrees: int, of: float | None = None) -> Cut:
    """A cut with the interval of Student's t with so many degrees of freedom (scipy)."""
    half = float(t.ppf((1 + LEVEL) / 2, degrees)) * error
    return Cut(value, of, error, value - half, value + half)


def of_judges(cuts: ArrayLike, of: float) -> Cut:
    """The mean of the judges' own cuts.

    Its standard error is SD / sqrt(judges), ddof 1: how far it would move with other judges of the
    same kind, the questions being the same (common practice, no source).
    """
    own = np.asarray(cuts, dtype=float)
    value = float(own.mean())
    if len(own) < 2:  # noqa: PLR2004
        return Cut(value, of)
    error = float(own.std(ddof=1)) / math.sqrt(len(own))
    return with_error(value, error, len(own) - 1, of)
