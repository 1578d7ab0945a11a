"""Which coefficients say how far judges agree, by what they gave: numbers, or categories."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from offmidline.exam.agreement import (
    Kappa,
    crossed,
    first_order,
    fleiss,
    icc,
    kappa,
    prevalence_adjusted,
)

Real = NDArray[np.float64]

PAIR = 2


@dataclass(frozen=True)
class Coefficient:
    """A coefficient by its name, whose words are ``exam.standard.coefficients``.

    Attributes:
        low, high: 95 % interval; None where it has none.
    """

    name: str
    value: float
    low: float | None = None
    high: float | None = None


def of_numbers(ratings: ArrayLike) -> tuple[Coefficient, ...]:
    """Of targets by judges who each rated all of them: the two-way correlations."""
    found = icc(ratings)
    if found is None:
        return ()
    return (
        Coefficient("icc_agreement", found.agreement),
        Coefficient("icc_agreement_mean", found.agreement_mean),
        Coefficient("icc_consistency", found.consistency),
        Coefficient("icc_consistency_mean", found.consistency_mean),
    )


def of_categories(ratings: ArrayLike) -> tuple[Coefficient, ...]:
    """Of targets by judges who said yes or no (1 or 0): kappa of two judges, Fleiss' of more."""
    table = np.asarray(ratings, dtype=float)
    if table.shape[1] == PAIR:
        counts = crossed(*_columns(table), (0.0, 1.0))
        return (
            *_kappa("kappa", kappa(counts)),
            Coefficient("pabak", prevalence_adjusted(counts)),
            Coefficient("ac1", first_order(counts)),
        )
    yes = table.sum(axis=1)
    found = fleiss(np.column_stack([yes, table.shape[1] - yes]))
    return () if found is None else (Coefficient("fleiss", found),)


def of_grades(ratings: ArrayLike) -> tuple[Coefficient, ...]:
    """Of targets by judges who gave ordered grades: weighted kappas of two, and correlations."""
    table = np.asarray(ratings, dtype=float)
    found: list[Coefficient] = []
    if table.shape[1] == PAIR:
        known = sorted(set(table.ravel()))
        counts = crossed(*_columns(table), known)
        found += _kappa("kappa", kappa(counts))
        found += _kappa("kappa_linear", kappa(counts, "linear"))
        found += _kappa("kappa_quadratic", kappa(counts, "quadratic"))
    return (*found, *of_numbers(table))


def _columns(table: Real) -> tuple[Sequence[object], Sequence[object]]:
    first, second = table.T.tolist()
    return first, second


def _kappa(name: str, found: Kappa | None) -> Iterable[Coefficient]:
    if found is not None:
        yield Coefficient(name, found.value, found.low, found.high)
