"""A learning curve as a cumulative sum of failures, in the form of a sequential probability ratio
test.

The sum rises by 1 - s with each failure and falls by s with each success. Below the lower line the
acceptable rate of failure is accepted, above the upper line the unacceptable one is suspected,
between them nothing is decided. Sources: wald-1947 for the test, bolsin-2000 for its use on
procedures, biau-2007 for what goes wrong with such charts.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import Final, Literal

Crossing = Literal["acceptable", "suspected"]

# A sum that meets a line in exact arithmetic must meet it in floating point.
TOLERANCE: Final = 1e-9
# An error rate from which on the chart tells nothing.
_CHANCE: Final = 0.5


@dataclass(frozen=True)
class Plan:
    """What is to be told apart, and how often the chart may err.

    Attributes:
        acceptable: rate of failure that is acceptable, p0.
        unacceptable: rate of failure that is not, p1.
        false_alarm: share of acceptable operators who are suspected, alpha.
        missed: share of unacceptable operators who are accepted, beta.

    Raises:
        ValueError: unless 0 < p0 < p1 < 1, and alpha and beta lie between 0 and a half.
    """

    acceptable: float
    unacceptable: float
    false_alarm: float
    missed: float

    def __post_init__(self) -> None:
        if not 0 < self.acceptable < self.unacceptable < 1:
            raise ValueError("the rates must satisfy 0 < acceptable < unacceptable < 1")
        if not (0 < self.false_alarm < _CHANCE and 0 < self.missed < _CHANCE):
            raise ValueError("the two error rates must lie between 0 and 0.5")

    @property
    def _failure(self) -> float:
        """What a failure adds to the logarithm of the likelihood ratio: P = ln(p1 / p0)."""
        return math.log(self.unacceptable / self.acceptable)

    @property
    def _success(self) -> float:
        """What a success takes from it: Q = ln((1 - p0) / (1 - p1))."""
        return math.log((1 - self.acceptable) / (1 - self.unacceptable))

    @cached_property
    def step(self) -> float:
        """What a success takes from the sum, s = Q / (P + Q); a failure adds 1 - s."""
        return self._success / (self._failure + self._success)

    @cached_property
    def lower(self) -> float:
        """The line at which p0 is accepted: h0 = -ln((1 - alpha) / beta) / (P + Q)."""
        return -math.log((1 - self.false_alarm) / self.missed) / (self._failure + self._success)

    @cached_property
    def upper(self) -> float:
        """The line at which p1 is suspected: h1 = ln((1 - beta) / alpha) / (P + Q)."""
        return math.log((1 - self.missed) / self.false_alarm) / (self._failure + self._success)

    @property
    def clean_run(self) -> int:
        """Successes in a row from the start that reach the lower line."""
        return math.ceil(-self.lower / self.step - TOLERANCE)

    @property
    def straight_failures(self) -> int:
        """Failures in a row from the start that reach the upper line."""
        return math.ceil(self.upper / (1 - self.step) - TOLERANCE)

    def path(self, failures: Iterable[bool]) -> tuple[float, ...]:
        """The sum after each case, given whether each failed; it starts at 0 before the first."""
        steps = (1 - self.step if failed else -self.step for failed in failures)
        return tuple(accumulate(steps))

    def crossings(self, path: Sequence[float]) -> tuple[tuple[int, Crossing], ...]:
        """The first case at which the sum meets each line, with what that says, in order."""
        found: list[tuple[int, Crossing]] = []
        for case, value in enumerate(path, 1):
            kinds = {kind for _, kind in found}
            if value <= self.lower + TOLERANCE and "acceptable" not in kinds:
                found.append((case, "acceptable"))
            if value >= self.upper - TOLERANCE and "suspected" not in kinds:
                found.append((case, "suspected"))
        return tuple(found)
