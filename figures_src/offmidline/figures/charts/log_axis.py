"""An axis on which equal factors take equal room: its frame counts in powers of ten."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from offmidline.figures.page.axes import Tick
from offmidline.figures.page.drawing import Frame
from offmidline.figures.words import number

_ROUND: Final = (1, 2, 5)
# Texts of ticks closer together than this would read as one, mm on the page.
_APART: Final = 2.4
# What of itself a value may lie beyond an end of the axis and still count as lying on it.
_ON_END: Final = 1e-9


@dataclass(frozen=True)
class LogAxis:
    """Two values, both more than zero, and where they lie on the page (mm)."""

    low: float
    high: float
    left: float
    right: float

    @property
    def across(self) -> float:
        """mm on the page for a factor of ten."""
        return (self.right - self.left) / math.log10(self.high / self.low)

    def frame(self, y: float) -> Frame:
        """The frame of the axis, whose x is the logarithm to the base of ten and whose y counts mm
        upwards from a height of the page.
        """
        start = self.left - self.across * math.log10(self.low)
        return Frame(1.0, start, y, "right", across=self.across)

    def at(self, value: float) -> float:
        """Where a value lies on the page."""
        return self.left + self.across * math.log10(value / self.low)

    def ticks(self) -> list[Tick]:
        """Round values as close together as their texts allow: every 1, 2, 5, or 1, 3, or powers of
        ten, all of them or some.
        """
        for factors in (_ROUND, (1, 3), (1,)):
            found = [_tick(value) for value in self.round(factors)]
            if self._readable(found):
                return found
        every = 2
        while not self._readable(found[::every]):
            every += 1
        return found[::every]

    def round(self, factors: tuple[int, ...] = _ROUND) -> list[float]:
        """The values on the axis that are one of the factors times a power of ten."""
        first, last = math.floor(math.log10(self.low)), math.ceil(math.log10(self.high))
        values = (
            factor * 10.0**exponent for exponent in range(first, last + 1) for factor in factors
        )
        low, high = self.low * (1 - _ON_END), self.high * (1 + _ON_END)
        return [value for value in values if low <= value <= high]

    def _readable(self, ticks: list[Tick]) -> bool:
        return all(
            self.at(after.value) - self.at(before.value)
            >= (before.width + after.width) / 2 + _APART
            for before, after in pairwise(ticks)
        )


def _tick(value: float) -> Tick:
    return Tick(value, number(value, max(0, -math.floor(math.log10(value) + _ON_END))))


def rounded(values: Iterable[float]) -> tuple[float, float]:
    """The round values, 1, 2 or 5 times a power of ten, next to the least and the greatest of some
    values.
    """
    found = list(values)
    return _below(min(found)), 1 / _below(1 / max(found))


def _below(value: float) -> float:
    """The greatest round value that is not above a value; the inverse of one is round as well."""
    power = 10.0 ** math.floor(math.log10(value) + _ON_END)
    return max(factor * power for factor in _ROUND if factor * power <= value * (1 + _ON_END))
