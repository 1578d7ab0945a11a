"""Numbers and intervals as reports print them."""

from __future__ import annotations

from typing import Final

from offmidline import messages
from offmidline.evidence import Proportion
from offmidline.exam.reliability import Interval
from offmidline.items.shown import bare

PLACES: Final = 2


def told(value: float | None, places: int = PLACES) -> str:
    """A number with so many decimals; a dash where there is none."""
    return messages.text("exam.numbers.none") if value is None else bare(value, places)


def span(low: float | None, high: float | None, places: int = PLACES) -> str:
    """The two ends of an interval; a dash where there is none."""
    if low is None or high is None:
        return messages.text("exam.numbers.none")
    return messages.text("exam.numbers.span", low=bare(low, places), high=bare(high, places))


def within(found: Interval | Proportion | None) -> str:
    """A value with its interval; a dash where there is none."""
    if found is None:
        return messages.text("exam.numbers.none")
    return messages.text(
        "exam.numbers.within", value=told(found.value), span=span(found.low, found.high)
    )


def percent(share: float) -> str:
    """A share in per cent, to a tenth."""
    return messages.text("exam.numbers.percent", value=bare(100 * share, 1))


def of(count: int, whole: int) -> str:
    """So many of so many."""
    return messages.text("exam.numbers.of", count=count, of=whole)
