"""Questions that somebody should look at again, and why.

A flag is a reason to look, never a verdict: with few candidates most of them are chance.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from offmidline.exam.item_statistics import FUNCTIONS_FROM, ItemStatistic

# Moderate difficulty. [ebel-frisbie-1991, from memory]
HARD_BELOW: Final = 0.30
EASY_ABOVE: Final = 0.70
# Discrimination that is poor below this. [ebel-frisbie-1991, from memory]
POOR_BELOW: Final = 0.20
# Under so many candidates statistics are unstable, and from this on informative with caution.
# [downing-yudkowsky-2009, from memory]
UNSTABLE_BELOW: Final = 100
INFORMATIVE_FROM: Final = 30

Flag = Callable[[ItemStatistic], bool]


def _negative(item: ItemStatistic) -> bool:
    return item.corrected is not None and item.corrected.value < 0


def _no_information(item: ItemStatistic) -> bool:
    return item.difficulty.value in (0, 1)


def _poor(item: ItemStatistic) -> bool:
    return item.discrimination is not None and item.discrimination < POOR_BELOW


def _beaten(item: ItemStatistic) -> bool:
    right = max((one.count for one in item.options if one.meaning.right), default=0)
    return any(one.count > right for one in item.options if not one.meaning.right)


def _drawing(item: ItemStatistic) -> bool:
    # Half of all idle options correlate above 0 by chance: the whole interval has to. [derived]
    return any(
        one.share >= FUNCTIONS_FROM and one.correlation is not None and one.correlation.low > 0
        for one in item.options
        if not one.meaning.right
    )


def _idle(item: ItemStatistic) -> bool:
    return item.functioning == 0


# The gravest first; their words are ``exam.statistics.flags``.
FLAGS: Final[Mapping[str, Flag]] = MappingProxyType(
    {
        "negative": _negative,
        "beaten": _beaten,
        "draws_the_strong": _drawing,
        "no_information": _no_information,
        "poor": _poor,
        "hard": lambda item: item.difficulty.value < HARD_BELOW,
        "easy": lambda item: item.difficulty.value > EASY_ABOVE,
        "idle": _idle,
    }
)


def flags(item: ItemStatistic) -> tuple[str, ...]:
    """The names of the flags that a question raises, the gravest first."""
    return tuple(name for name, raised in FLAGS.items() if raised(item))


def sample(people: int) -> str:
    """How far so many candidates carry: few, some or enough."""
    if people < INFORMATIVE_FROM:
        return "few"
    return "some" if people < UNSTABLE_BELOW else "enough"
