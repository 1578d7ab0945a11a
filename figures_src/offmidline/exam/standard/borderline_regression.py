"""Borderline regression: the score that a line through all candidates gives the borderline grade
[wood-2006; hejri-2013].
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import linregress

from offmidline.exam.standard.concord import Coefficient, of_grades
from offmidline.exam.standard.cut import Cut, with_error

Real = NDArray[np.float64]


@dataclass(frozen=True)
class GradedScores:
    """Scores (marks) of candidates and their global grades, shape (candidates, judges)."""

    judges: tuple[str, ...]
    scores: Real
    grades: Real

    @property
    def mean_grades(self) -> Real:
        """Each candidate's grade, the mean over the judges."""
        return np.asarray(self.grades.mean(axis=1))


@dataclass(frozen=True)
class RegressionCut:
    """The cut and how good the line is.

    Attributes:
        slope: marks for one grade (discrimination between grades).
        explained: R2, the share of the scores' variance that the grades explain.
        rmse: sqrt(SS / (n - 2)) of the residuals, marks.
        group_mean, group_median: of the candidates graded borderline, for comparison (the
            borderline-group method); None where there is none.
        agreement: of the judges' grades; empty with one judge.
    """

    cut: Cut
    intercept: float
    slope: float
    explained: float
    rmse: float
    group_mean: float | None
    group_median: float | None
    agreement: tuple[Coefficient, ...]


def borderline_regression(graded: GradedScores, borderline: float) -> RegressionCut:
    """The cut at a borderline grade, by least squares (scipy's linregress).

    The error is that of the line at the grade: rmse sqrt(1/n + (g - mean)^2 / SS_g), with n - 2
    degrees of freedom. Needs three candidates and two different grades.
    """
    grades, scores = graded.mean_grades, graded.scores
    line = linregress(grades, scores)
    intercept, slope = float(line.intercept), float(line.slope)
    count = len(scores)
    residuals = scores - (intercept + slope * grades)
    rmse = math.sqrt(float((residuals**2).sum()) / (count - 2))
    apart = (borderline - grades.mean()) ** 2 / ((grades - grades.mean()) ** 2).sum()
    error = rmse * math.sqrt(1 / count + float(apart))
    group = scores[np.isclose(grades, borderline)]
    return RegressionCut(
        with_error(intercept + slope * borderline, error, count - 2),
        intercept,
        slope,
        float(line.rvalue) ** 2,
        rmse,
        float(group.mean()) if len(group) else None,
        float(np.median(group)) if len(group) else None,
        of_grades(graded.grades) if len(graded.judges) > 1 else (),
    )
