"""How long candidates took, where that was noted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offmidline.exam.item_statistics import correlation
from offmidline.exam.marks import Marks
from offmidline.exam.reliability import Interval


@dataclass(frozen=True)
class Times:
    """Minutes of those whose time was noted.

    Attributes:
        people: how many they are.
        lower, median, upper: quartiles (numpy's linear rule).
        longest: the longest time.
        with_score: correlation of time with the total; None where one of them does not vary.
    """

    people: int
    lower: float
    median: float
    upper: float
    longest: float
    with_score: Interval | None


def times(marks: Marks) -> Times | None:
    """The times of a group; None where nobody's was noted."""
    noted = ~np.isnan(marks.minutes)
    minutes = marks.minutes[noted]
    if not len(minutes):
        return None
    lower, median, upper = map(float, np.quantile(minutes, (0.25, 0.5, 0.75)))
    found = correlation(minutes, marks.totals[noted])
    return Times(len(minutes), lower, median, upper, float(minutes.max()), found)
