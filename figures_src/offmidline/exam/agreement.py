"""How far judges agree.

Kappas are of categories and correct for the agreement that chance alone would give; the intraclass
correlations are of numbers. All are pure functions of counts or ratings.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from offmidline.evidence.proportion import Z

Real = NDArray[np.float64]
Weights = Literal["none", "linear", "quadratic"]


@dataclass(frozen=True)
class Kappa:
    """A kappa with its large-sample standard error and the 95 % interval from it."""

    value: float
    error: float

    @property
    def low(self) -> float:
        """Lower end, not below -1."""
        return max(-1.0, self.value - Z * self.error)

    @property
    def high(self) -> float:
        """Upper end, not above 1."""
        return min(1.0, self.value + Z * self.error)


@dataclass(frozen=True)
class Icc:
    """The six intraclass correlations, named as A (agreement) or C (consistency), of one judge or
    of the mean of all; the first pair has other judges for each target.
    """

    one_way: float
    agreement: float
    consistency: float
    one_way_mean: float
    agreement_mean: float
    consistency_mean: float


def crossed(first: Sequence[object], second: Sequence[object], known: Sequence[object]) -> Real:
    """How often two judges gave each pair of categories, in the order of the known ones."""
    places = {category: at for at, category in enumerate(known)}
    table = np.zeros((len(known), len(known)))
    for one, other in zip(first, second, strict=True):
        table[places[one], places[other]] += 1
    return table


def kappa(table: ArrayLike, weights: Weights = "none") -> Kappa | None:
    """Cohen's kappa of two judges [cohen-1960, from memory], weighted where categories are
    ordered [cohen-1968, from memory].

    Args:
        table: how often each pair of categories was given, square.
        weights: what near misses count: nothing, or 1 - d / (c - 1), or 1 - (d / (c - 1))^2 with d
            the categories between.

    The standard error is that of Fleiss, Cohen and Everitt (1969, from memory). None where chance
    agreement is complete: both judges gave one and the same category throughout.
    """
    counts = np.asarray(table, dtype=float)
    shares = counts / counts.sum()
    worth = _weights(len(shares), weights)
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    observed = float((worth * shares).sum())
    chance = float((worth * np.outer(rows, columns)).sum())
    if math.isclose(chance, 1):
        return None
    value = (observed - chance) / (1 - chance)
    by_row, by_column = worth @ columns, rows @ worth
    spread = worth - (by_row[:, None] + by_column[None, :]) * (1 - value)
    variance = (shares * spread**2).sum() - (value - chance * (1 - value)) ** 2
    error = math.sqrt(max(0.0, variance) / counts.sum()) / (1 - chance)
    return Kappa(value, error)


def _weights(count: int, weights: Weights) -> Real:
    if weights == "none" or count == 1:
        return np.eye(count)
    apart = np.abs(np.subtract.outer(np.arange(count), np.arange(count))) / (count - 1)
    return np.asarray(1 - (apart if weights == "linear" else apart**2))


def prevalence_adjusted(table: ArrayLike) -> float:
    """PABAK: (c po - 1) / (c - 1), the kappa that equal use of c categories would give
    [byrt-1993, from memory].
    """
    counts = np.asarray(table, dtype=float)
    observed = float(np.trace(counts) / counts.sum())
    return (len(counts) * observed - 1) / (len(counts) - 1)


def first_order(table: ArrayLike) -> float:
    """AC1 of two judges: chance agreement is sum m (1 - m) / (c - 1) with m the mean share of a
    category [gwet-2008, from memory].
    """
    shares = np.asarray(table, dtype=float) / np.sum(table)
    mean = (shares.sum(axis=0) + shares.sum(axis=1)) / 2
    chance = float((mean * (1 - mean)).sum() / (len(shares) - 1))
    return (float(np.trace(shares)) - chance) / (1 - chance)


def fleiss(counts: ArrayLike) -> float | None:
    """Fleiss' kappa of any number of judges [fleiss-1971, from memory].

    Args:
        counts: targets by categories: how many of the judges gave each; every target has as many.

    None where only one category was given at all.
    """
    table = np.asarray(counts, dtype=float)
    judges = table[0].sum()
    shares = table.sum(axis=0) / table.sum()
    chance = float((shares**2).sum())
    if math.isclose(chance, 1):
        return None
    alike = ((table**2).sum(axis=1) - judges) / (judges * (judges - 1))
    return (float(alike.mean()) - chance) / (1 - chance)


def icc(ratings: ArrayLike) -> Icc | None:
    """The intraclass correlations of targets by judges [shrout-fleiss-1979, from memory].

    None where there are fewer than two targets or judges, or where no target differs.
    """
    table = np.asarray(ratings, dtype=float)
    targets, judges = table.shape
    if targets < 2 or judges < 2:  # noqa: PLR2004
        return None
    grand = table.mean()
    all_squares = ((table - grand) ** 2).sum()
    of_targets = judges * ((table.mean(axis=1) - grand) ** 2).sum()
    of_judges = targets * ((table.mean(axis=0) - grand) ** 2).sum()
    between = of_targets / (targets - 1)
    judge = of_judges / (judges - 1)
    within = (all_squares - of_targets) / (targets * (judges - 1))
    left = max(0.0, all_squares - of_targets - of_judges) / ((targets - 1) * (judges - 1))
    if math.isclose(between, 0, abs_tol=1e-12):
        return None
    bias = (judge - left) / targets
    return Icc(
        float((between - within) / (between + (judges - 1) * within)),
        float((between - left) / (between + (judges - 1) * left + judges * bias)),
        float((between - left) / (between + (judges - 1) * left)),
        float((between - within) / between),
        float((between - left) / (between + bias)),
        float((between - left) / between),
    )
