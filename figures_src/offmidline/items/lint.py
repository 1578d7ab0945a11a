"""What of a badly written item a program can find.

Rules from published guidance on items [nbme-2020; haladyna-2002, from memory], put so that a
program can check them [derived].
"""

from __future__ import annotations

import re
import statistics
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal

from offmidline.items.item import CHOSEN, FEWEST_OPTIONS, MOST_OPTIONS, Item

Level = Literal["error", "warning"]

# The key may be so much longer than the middle one of the options. [derived]
LONGEST_KEY: Final = 1.3
# Words of more letters are looked for in stem and options. [derived]
LONG_WORD: Final = 5
_LETTER: Final = re.compile(r"[^\W\d_]+")
_NUMBER: Final = re.compile(r"^\s*[−-]?\d+(?P<decimals>[.,]\d+)?\s*(?P<unit>.*)$")
_NEGATIVE: Final = re.compile(r"\b(not|except|never)\b", re.IGNORECASE)
_ALL_OR_NONE: Final = re.compile(r"\b(all|none|both|neither) of (the above|these)\b", re.IGNORECASE)
_ABSOLUTE: Final = re.compile(r"\b(always|never)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Flaw:
    """A flaw of an item, or of a set of them."""

    rule: str
    level: Level
    item: str
    found: str


class FlawedItemsError(ValueError):
    """Items that may not be published; ``flaws`` says why."""

    def __init__(self, flaws: Iterable[Flaw]) -> None:
        self.flaws = tuple(flaws)
        super().__init__("\n".join(f"{one.item}: {one.rule}: {one.found}" for one in self.flaws))


def lint(item: Item) -> tuple[Flaw, ...]:
    """Every flaw of one item."""
    return tuple(
        Flaw(rule, level, f"{item.model}/{item.case}", found)
        for rule, level, find in _RULES
        for found in find(item)
    )


def refuse_flawed(items: Iterable[Item]) -> None:
    """Raises FlawedItemsError where an item has a flaw that is an error."""
    flaws = [flaw for item in items for flaw in lint(item) if flaw.level == "error"]
    if flaws:
        raise FlawedItemsError(flaws)


def balance(items: Iterable[Item]) -> dict[int, float]:
    """How likely it is that keys stand where they do by chance, by the number of options.

    The p value of a chi-square test against equal shares of all positions.
    """
    from scipy.stats import chisquare  # slow to import, and seldom asked for

    places: dict[int, Counter[int]] = {}
    for item in items:
        if item.kind in CHOSEN:
            places.setdefault(len(item.options), Counter())[item.key] += 1
    return {
        count: float(chisquare([at[position] for position in range(count)]).pvalue)
        for count, at in places.items()
    }


def _no_question(item: Item) -> Iterator[str]:
    if "?" not in item.lead_in:
        yield item.lead_in


def _negative(item: Item) -> Iterator[str]:
    if not item.negative and _NEGATIVE.search(item.lead_in):
        yield item.lead_in


def _all_or_none(item: Item) -> Iterator[str]:
    yield from (one.text for one in item.options if _ALL_OR_NONE.search(one.text))


def _absolute(item: Item) -> Iterator[str]:
    if item.kind != "order":
        wrong = [one.text for one in item.options if not one.right and _ABSOLUTE.search(one.text)]
        if wrong and not any(_ABSOLUTE.search(one.text) for one in item.options if one.right):
            yield from wrong


def _long_key(item: Item) -> Iterator[str]:
    if item.kind in ("choice", "fault"):
        median = statistics.median(len(one.text) for one in item.options)
        yield from (key for key in _keys(item) if len(key) > LONGEST_KEY * median)


def _unlike(item: Item) -> Iterator[str]:
    """Numbers beside words, or with other units or decimals."""
    matches = [_NUMBER.match(one.text) for one in item.options]
    if item.kind == "choice" and any(matches):
        forms = {
            None if match is None else (len(match["decimals"] or ""), match["unit"])
            for match in matches
        }
        if len(forms) > 1:
            yield ", ".join(one.text for one in item.options)


def _unordered(item: Item) -> Iterator[str]:
    values = [one.value for one in item.options if one.value is not None]
    if item.kind == "choice" and values != sorted(values):
        yield ", ".join(one.text for one in item.options)


def _inside(item: Item) -> Iterator[str]:
    texts = [" ".join(one.text.casefold().replace(",", ".").split()) for one in item.options]
    if len(set(texts)) < len(texts):
        yield ", ".join(texts)
    if item.kind in ("choice", "fault"):
        numbers = any(_NUMBER.match(text) for text in texts)
        for text in texts:
            # By whole words: one grade's name is the beginning of another's.
            inside = [other for other in texts if text != other and f" {text} " in f" {other} "]
            if inside and not numbers:
                yield f"{text} is part of {inside[0]}"


def _echo(item: Item) -> Iterator[str]:
    if item.kind not in ("choice", "fault"):
        return
    asked = _words(f"{item.stem} {item.lead_in}")
    holders = Counter(word for one in item.options for word in _words(one.text))
    for key in _keys(item):
        yield from sorted(word for word in _words(key) & asked if holders[word] == 1)


def _keys(item: Item) -> list[str]:
    return [one.text for one in item.options if one.right]


def _words(text: str) -> set[str]:
    return {word for word in _LETTER.findall(text.casefold()) if len(word) > LONG_WORD}


def _unnamed(item: Item) -> Iterator[str]:
    if item.kind == "order":
        return
    wrong = item.numeric.slips if item.numeric is not None else item.options
    yield from (one.text for one in wrong if one.mistake and not (one.feedback and one.title))
    if item.numeric is None and sum(one.right for one in item.options) != 1:
        yield "there is not one key"


def _loose(item: Item) -> Iterator[str]:
    """A tolerance that lets a mistake count as right."""
    numeric = item.numeric
    if numeric is not None:
        for one in numeric.slips:
            if not numeric.tolerance < abs((one.value or 0.0) - numeric.value) / 2:
                yield f"{one.text} beside {numeric.value} with {numeric.tolerance}"


def _few_or_many(item: Item) -> Iterator[str]:
    few = len(item.options) < FEWEST_OPTIONS
    if item.kind in CHOSEN and (few or len(item.options) > MOST_OPTIONS):
        yield str(len(item.options))


_RULES: Final[tuple[tuple[str, Level, Callable[[Item], Iterator[str]]], ...]] = (
    ("no question mark", "error", _no_question),
    ("negative lead-in", "error", _negative),
    ("all or none of the above", "error", _all_or_none),
    ("absolute word in distractors alone", "warning", _absolute),
    ("key longer than the options", "warning", _long_key),
    ("options unlike each other", "error", _unlike),
    ("numbers out of order", "error", _unordered),
    ("option twice or part of another", "error", _inside),
    ("word of the stem in the key alone", "warning", _echo),
    ("wrong answer without mistake or feedback", "error", _unnamed),
    ("tolerance too wide", "error", _loose),
    ("fewer than three or more than five options", "error", _few_or_many),
)
