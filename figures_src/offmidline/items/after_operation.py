"""Times after the operation: one inside a complication's usual window, and windows in words.

In: months, as the records hold them.
"""

from __future__ import annotations

import math
from typing import Final

from offmidline import messages, quantities
from offmidline.items.stream import Stream
from offmidline.records.complication import Window

# From the longest, each with the word for one of it.
_UNITS: Final = (
    ("years", "year"),
    ("months", "month"),
    ("weeks", "week"),
    ("days", "day"),
    ("hours", "hour"),
    ("minutes", "minute"),
)
# A window is told in a unit of which it holds so many. Common practice, no source.
_FEWEST: Final = 4
# Asked for is the first part of a window, in which most come. Common practice, no source.
_EARLY: Final = 0.5
# Of a window without an end so many times its start is asked for. Common practice, no source.
_OPEN: Final = 4
# A time may come out of months with an error of rounding. [derived]
_DECIMALS: Final = 6


def holds(window: Window, months: float) -> bool:
    """Whether a time lies in a window."""
    late = window.end is not None and months > window.end
    return window.start <= months and not late


def time_in(window: Window, stream: Stream) -> float:
    """A time (months) early in a window by chance: a whole number of a unit, two or more."""
    end = _OPEN * window.start if window.end is None else window.end
    unit = next(
        (unit for unit, _ in _UNITS if _count(end - window.start, unit) >= _FEWEST), _UNITS[-1][0]
    )
    first = max(2, math.ceil(_count(window.start, unit)))
    last = math.floor(_count(window.start + _EARLY * (end - window.start), unit))
    return (first + stream.below(max(1, last - first + 1))) * _months(unit)


def time_words(months: float) -> str:
    """A time in words, in the longest unit of which it is a whole number, two or more."""
    for unit, one in _UNITS:
        count = _count(months, unit)
        if count == int(count) and (count > 1 or unit == _UNITS[-1][0]):
            return quantities.written(months, "duration", one if count == 1 else unit)
    return quantities.written(months, "duration", _UNITS[-1][0])


def window_words(window: Window) -> str:
    """A window in words: ``3 days to 3 weeks``."""
    if window.end is None:
        return _say("from", start=time_words(window.start))
    if window.start == 0:
        return _say("first", end=time_words(window.end))
    return _say("between", start=time_words(window.start), end=time_words(window.end))


def _count(months: float, unit: str) -> float:
    return round(months / _months(unit), _DECIMALS)


def _months(unit: str) -> float:
    return float(quantities.UNITS["duration"][unit])


def _say(key: str, /, **values: object) -> str:
    return messages.text(f"items.after_operation.{key}", **values)
