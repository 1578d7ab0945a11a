"""Hofstee: a compromise between what mark should be enough and how many may fail.

The judges give the lowest and the highest acceptable cut and share of failures; a line runs from
(highest cut, lowest share) to (lowest cut, highest share), and the cut is where it meets the curve
of those who would fail [mills-melican-1987]. Nothing is extrapolated where they do not meet
[downing-2006, from memory].
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from offmidline.exam.standard.cut import Cut, with_error

Real = NDArray[np.float64]
Miss = Literal["above", "below"]

# What floating point adds where curve and line meet exactly; share of candidates, or marks.
NOISE: Final = 1e-9


@dataclass(frozen=True)
class HofsteeRatings:
    """Cuts in marks and failures as shares between 0 and 1, one row a judge: lowest and highest
    cut, lowest and highest share.
    """

    judges: tuple[str, ...]
    bounds: Real


@dataclass(frozen=True)
class Box:
    """The acceptable cuts (marks) and shares of failures that the line crosses."""

    lowest_cut: float
    highest_cut: float
    lowest_fail: float
    highest_fail: float

    def line(self, cut: float) -> float:
        """The share of failures on the line at a cut."""
        way = (self.highest_cut - cut) / (self.highest_cut - self.lowest_cut)
        return self.lowest_fail + way * (self.highest_fail - self.lowest_fail)

    def on_line(self, share: float) -> float:
        """The cut on the line at a share of failures."""
        way = (share - self.lowest_fail) / (self.highest_fail - self.lowest_fail)
        return self.highest_cut - way * (self.highest_cut - self.lowest_cut)


@dataclass(frozen=True)
class HofsteeCut:
    """The cut and who fails with it, or why there is none.

    Attributes:
        box: the means over the judges.
        cut: None where line and curve do not meet.
        fails: share below the cut.
        miss: whether the whole curve lies above the line or below; None where they meet.
    """

    box: Box
    cut: Cut | None
    fails: float | None
    miss: Miss | None


def hofstee(ratings: HofsteeRatings, scores: ArrayLike) -> HofsteeCut:
    """The cut from the judges' means and the candidates' scores (marks).

    The standard error leaves out one judge at a time (jackknife; derived) and is None with fewer
    than two judges, or where some of these cuts do not exist.
    """
    marks = np.sort(np.asarray(scores, dtype=float))
    box = _mean_box(ratings.bounds)
    met = meeting(box, marks)
    if not isinstance(met, float):
        return HofsteeCut(box, None, None, met)
    return HofsteeCut(box, _with_error(met, ratings.bounds, marks), failing(marks, met), None)


def failing(marks: Real, cut: float) -> float:
    """The share of sorted scores below a cut."""
    return float(np.searchsorted(marks, cut - NOISE, side="left") / len(marks))


def meeting(box: Box, marks: Real) -> float | Miss:
    """Where the line meets the curve of sorted scores, or on which side the curve passes it.

    The curve is level between two scores and steps up just above each. Where the line passes
    through a step, the score is the cut.
    """
    if failing(marks, box.lowest_cut) > box.highest_fail + NOISE:
        return "above"
    inside = marks[(marks >= box.lowest_cut) & (marks <= box.highest_cut)]
    start = box.lowest_cut
    for score in (*np.unique(inside).tolist(), box.highest_cut):
        level = failing(marks, score)
        # Level from the step before up to this score: the line falls to it on the way, or not.
        if box.line(score) <= level + NOISE:
            return float(min(max(box.on_line(level), start), score))
        start = score
        if box.line(score) <= _just_above(marks, score) + NOISE:
            return float(score)
    return "below"


def _just_above(marks: Real, score: float) -> float:
    return float(np.searchsorted(marks, score + NOISE, side="right") / len(marks))


def _mean_box(bounds: Real) -> Box:
    return Box(*map(float, bounds.mean(axis=0)))


def _with_error(value: float, bounds: Real, marks: Real) -> Cut:
    judges = len(bounds)
    if judges < 2:  # noqa: PLR2004
        return Cut(value)
    without = [
        meeting(_mean_box(np.delete(bounds, judge, axis=0)), marks) for judge in range(judges)
    ]
    cuts = np.array([one for one in without if isinstance(one, float)])
    if len(cuts) < judges:
        return Cut(value)
    error = math.sqrt((judges - 1) / judges * ((cuts - cuts.mean()) ** 2).sum())
    return with_error(value, error, judges - 1)
