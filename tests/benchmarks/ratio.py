"""A measured ratio against a baseline of the same run, and how it is printed."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Ratio:
    """How many times the baseline something takes; ``goal`` None where the figure is only told."""

    name: str
    baseline: str
    value: float
    goal: float | None
    note: str = ""

    def line(self) -> str:
        """One line of the table."""
        told = f"{self.name}: {self.value:.2f} x {self.baseline}"
        if self.goal is not None:
            standing = "within" if self.value <= self.goal else "ABOVE"
            told += f" (goal {self.goal:g}, {standing})"
        return f"{told}; {self.note}" if self.note else told


def paired(first: Callable[[], object], second: Callable[[], object], rounds: int) -> list[float]:
    """Median seconds of two calls, run in turn so that a busy machine slows both alike."""
    first(), second()
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for call, taken in zip((first, second), times, strict=True):
            start = time.perf_counter()
            call()
            taken.append(time.perf_counter() - start)
    return [statistics.median(taken) for taken in times]
