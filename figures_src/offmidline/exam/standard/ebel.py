"""Ebel: questions sorted by relevance and difficulty, and how many of each cell a borderline
candidate answers rightly [ebel-1972; livingston-zieky-1982; both from memory].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offmidline.exam.standard.concord import Coefficient, of_numbers
from offmidline.exam.standard.cut import Cut, of_judges

Real = NDArray[np.float64]


@dataclass(frozen=True)
class EbelRatings:
    """The grid: each cell's relevance and difficulty, its questions, and the expected shares of
    right answers between 0 and 1, shape (cells, judges).
    """

    cells: tuple[tuple[str, str], ...]
    judges: tuple[str, ...]
    counts: tuple[int, ...]
    expected: Real


@dataclass(frozen=True)
class EbelCut:
    """The cut, each judge's own, each cell's mean, and the judges' agreement over the cells."""

    cut: Cut
    own: tuple[float, ...]
    means: tuple[float, ...]
    agreement: tuple[Coefficient, ...]


def ebel(ratings: EbelRatings) -> EbelCut:
    """The cut: the sum over the cells of questions times expected success."""
    counts = np.array(ratings.counts, dtype=float)
    own = counts @ ratings.expected
    return EbelCut(
        of_judges(own, float(counts.sum())),
        tuple(map(float, own)),
        tuple(map(float, ratings.expected.mean(axis=1))),
        of_numbers(ratings.expected) if len(ratings.judges) > 1 else (),
    )
