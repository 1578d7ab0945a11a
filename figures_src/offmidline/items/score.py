"""An answer to an item, judged: right, or the named mistake that it stands for.

The reference for the browser's judgement (handbook/assets/selftest/answers.js) and for papers.
Comparison of numbers and what of them is accepted: derived.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from offmidline.amounts import MINUS
from offmidline.items.item import Item, Numeric, Option

# What floating point adds to a difference that lies exactly at the tolerance, in the item's unit.
NOISE: Final = 1e-9

# A position among the options; what was typed; or positions among the options in the order given.
Answer = int | str | Sequence[int]
Unreadable = Literal["empty", "thousands", "no_number"]

_NUMBER: Final = re.compile(rf"[-{MINUS}+]?[0-9]+(?:[.,][0-9]+)?")
# Digits in groups of three. A comma before three digits can be meant either way, unless a zero
# stands before it; a single point is a decimal point.
_GROUPED: Final = re.compile(
    rf"[-{MINUS}+]?(?:[1-9][0-9]{{0,2}},[0-9]{{3}}"
    r"|[0-9]{1,3}(?:[ \u00a0\u2009\u202f'’][0-9]{3})+(?:[.,][0-9]+)?"
    r"|[0-9]{1,3}(?:[.,][0-9]{3})+[.,][0-9]+)"
)


class UnreadableNumberError(ValueError):
    """What was typed is no number; ``fault`` says why."""

    def __init__(self, fault: Unreadable) -> None:
        self.fault: Final[Unreadable] = fault
        super().__init__(fault)


@dataclass(frozen=True)
class Scored:
    """What an answer is worth, and what is said of it.

    Attributes:
        right: whether it counts.
        mistake: the named mistake behind a wrong answer; "" where none is recognised.
        title, feedback: of that mistake in words; of a wrong order the feedback of the entry that
            belongs at the first wrong place.
        option: position of what this is about: the chosen option, the slip that was recognised,
            or the entry that belongs at the first wrong place; None without one.
    """

    right: bool
    mistake: str = ""
    title: str = ""
    feedback: str = ""
    option: int | None = None


def score(item: Item, answer: Answer) -> Scored:
    """Judge an answer of the kind that the item asks for.

    Raises:
        UnreadableNumberError: where a number is asked and none was typed.
        ValueError: where the answer is of another kind, or there is no such option.
    """
    if item.numeric is not None:
        if not isinstance(answer, str):
            raise ValueError("a number is to be typed")
        return _typed(item.numeric, read_number(answer))
    if item.kind == "order":
        if isinstance(answer, int | str) or sorted(answer) != list(range(len(item.options))):
            raise ValueError("every entry is to be given its place")
        return _ordered(item.options, answer)
    if not isinstance(answer, int) or not 0 <= answer < len(item.options):
        raise ValueError("one of the options is to be chosen")
    chosen = item.options[answer]
    return Scored(True, option=answer) if chosen.right else _wrong(chosen, answer)


def read_number(text: str) -> float:
    """The number that was typed: decimal point or comma, either minus sign, spaces around it.

    Raises:
        UnreadableNumberError: where it is none, or could be meant in two ways.
    """
    plain = text.strip()
    if not plain:
        raise UnreadableNumberError("empty")
    if _GROUPED.fullmatch(plain):
        raise UnreadableNumberError("thousands")
    if not _NUMBER.fullmatch(plain):
        raise UnreadableNumberError("no_number")
    return float(plain.replace(MINUS, "-").replace(",", "."))


def _typed(asked: Numeric, given: float) -> Scored:
    if _within(given, asked.value, asked.tolerance):
        return Scored(True)
    distances = [
        (abs(given - slip.value), at)
        for at, slip in enumerate(asked.slips)
        if slip.value is not None and _within(given, slip.value, asked.tolerance)
    ]
    if not distances:
        return Scored(False)
    _, nearest = min(distances)
    return _wrong(asked.slips[nearest], nearest)


def _within(given: float, value: float, tolerance: float) -> bool:
    return abs(given - value) <= tolerance + NOISE


def _ordered(entries: Sequence[Option], given: Sequence[int]) -> Scored:
    """An order counts as a whole; the first wrong place says what to look at."""
    misplaced = [at for at, entry in enumerate(given) if entry != at]
    if not misplaced:
        return Scored(True)
    return _wrong(entries[misplaced[0]], misplaced[0])


def _wrong(option: Option, at: int) -> Scored:
    return Scored(False, option.mistake, option.title, option.feedback, at)
