"""How many of 100 patients had an outcome, as counted or as printed, with its interval in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from offmidline.evidence import per_hundred, wilson
from offmidline.figures.charts.published import Result, percent
from offmidline.figures.words import number, say

if TYPE_CHECKING:
    from offmidline.records.evidence import Arm


@dataclass(frozen=True)
class Share:
    """How many of 100 had the outcome after an operation.

    Attributes:
        percent: as counted, or as printed.
        limit: the word of a source that prints a bound only, such as "under".
        low, high: the 95 % interval, percent; None where none can be given.
        events, of: the counts, where there are any.
    """

    operation: str
    percent: float
    low: float | None
    high: float | None
    events: int | None = None
    of: int | None = None
    limit: str | None = None

    @property
    def persons(self) -> int:
        """The nearest whole number of persons in 100; halves go up."""
        return per_hundred(self.percent / 100)


def shares(result: Result) -> tuple[Share, ...]:
    """The proportions of a result; none where it has none."""
    row = result.row
    if row.arms:
        return tuple(_counted(arm) for arm in row.arms)
    rate = row.rate
    if rate is None:
        return ()
    return (Share(rate.operation, rate.percent, rate.low, rate.high, None, rate.of, rate.limit),)


def _counted(arm: Arm) -> Share:
    found = wilson(arm.events, arm.of)
    return Share(
        arm.operation, 100 * found.value, 100 * found.low, 100 * found.high, arm.events, arm.of
    )


def persons_words(share: Share) -> str:
    """So many of 100, or fewer than one."""
    if share.persons == 0 and share.percent > 0:
        return say("charts.icons.fewer_than_one")
    return say("charts.icons.persons", count=share.persons)


def counted_words(share: Share) -> str:
    """The counts with the percentage, as far as they are known."""
    if share.events is not None:
        return say(
            "charts.icons.counts",
            events=share.events,
            of=f"{share.of:,}",
            percent=percent(share.percent),
        )
    if share.of is not None:
        return say("charts.icons.rate_of", percent=percent(share.percent), of=f"{share.of:,}")
    return percent(share.percent)


def interval_words(share: Share) -> str:
    """The 95 % interval as so many of 100, or that there is none."""
    if share.low is None or share.high is None:
        return say("charts.icons.no_interval")
    return say("charts.icons.interval", low=number(share.low), high=number(share.high))


def share_words(share: Share) -> str:
    """The percentage with its interval, as a table prints it."""
    value = percent(share.percent)
    if share.limit is not None:
        value = say("charts.bound", limit=share.limit, value=value)
    if share.low is None or share.high is None:
        return value
    return say(
        "charts.percent_interval", value=value, low=number(share.low), high=number(share.high)
    )
