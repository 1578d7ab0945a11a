"""Answers by their letters, as candidates see and write them."""

from __future__ import annotations

from typing import Final

from offmidline.items.item import Item
from offmidline.items.shown import number

LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def printed_order(item: Item) -> list[tuple[str, str]]:
    """What is to be chosen from or put in order, each with its letter as printed."""
    order = item.shown if item.kind == "order" else range(len(item.options))
    return [(letter, item.options[at].text) for letter, at in zip(LETTERS, order, strict=False)]


def right_order(item: Item) -> list[str]:
    """The letters of an order's entries as they belong."""
    return [LETTERS[item.shown.index(at)] for at in range(len(item.options))]


def right_answer(item: Item) -> str:
    """The right answer as a candidate writes it."""
    if item.numeric is not None:
        return number(item.numeric.value, item.numeric.unit, item.numeric.decimals)
    return "".join(right_order(item)) if item.kind == "order" else LETTERS[item.key]
