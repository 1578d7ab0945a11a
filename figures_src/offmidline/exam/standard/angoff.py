"""Modified Angoff: how likely a borderline candidate answers each question rightly.

The cut is the sum over the questions of the judges' mean [zieky-perie-2006, from memory]. Judges
who say only yes or no (1 or 0) are a case of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offmidline.exam.standard.concord import Coefficient, of_categories, of_numbers
from offmidline.exam.standard.cut import Cut, of_judges

Real = NDArray[np.float64]


@dataclass(frozen=True)
class AngoffRatings:
    """Chances between 0 and 1, shape (items, judges)."""

    items: tuple[str, ...]
    judges: tuple[str, ...]
    chances: Real


@dataclass(frozen=True)
class AngoffCut:
    """The cut, each judge's own, each question's mean, and the judges' agreement."""

    cut: Cut
    own: tuple[float, ...]
    means: tuple[float, ...]
    agreement: tuple[Coefficient, ...]


def angoff(ratings: AngoffRatings) -> AngoffCut:
    """The cut in marks of as many as there are questions."""
    chances = ratings.chances
    own = chances.sum(axis=0)
    only_yes_or_no = bool(np.isin(chances, (0, 1)).all())
    several = len(ratings.judges) > 1
    agree = of_categories if only_yes_or_no else of_numbers
    return AngoffCut(
        of_judges(own, len(ratings.items)),
        tuple(map(float, own)),
        tuple(map(float, chances.mean(axis=1))),
        agree(chances) if several else (),
    )
