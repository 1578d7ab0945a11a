"""Invented papers and their answers, for the tests of statistics."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from offmidline.exam.form import Form
from offmidline.exam.marks import Marks, marks_of
from offmidline.exam.responses import Sheet
from offmidline.items.item import Item, Numeric, Option, Standing

STANDING = Standing("A rule", "a reason", "common practice")

# Five questions answered by a thousand, how often with which pattern of right and wrong
# [bock-lieberman-1970, from memory; rizopoulos-2006].
LSAT_6 = """
00000 3 00001 6 00010 2 00011 11 00100 1 00101 1 00110 3 00111 4
01000 1 01001 8 01010 0 01011 16 01100 0 01101 3 01110 2 01111 15
10000 10 10001 29 10010 14 10011 81 10100 3 10101 28 10110 15 10111 80
11000 16 11001 56 11010 21 11011 173 11100 11 11101 61 11110 28 11111 298
"""
# Twelve invented candidates and the key [derived].
INVENTED = """
BADCAB BADCAB BADCAC BADCAB BACCAB BADAAB CADCDB BBDCAC BADADC CADCBA CBAADC DBCADC
"""
INVENTED_KEY = "BADCAB"


def option(text: str, mistake: str = "") -> Option:
    """An option, wrong where it has a mistake."""
    return Option(text, mistake, mistake.replace("-", " "), "")


def choice(number: int, key: str, *, options: int = 4, model: str = "caudal-apex-lateral") -> Item:
    """A question whose key is a letter, the wrong options each with a mistake of its own."""
    return Item(
        model=model,
        case=f"case-{number}",
        topic="marking",
        version="1",
        kind="choice",
        stem="An invented case.",
        lead_in=f"What is right in question {number}?",
        explanation="So.",
        standing=STANDING,
        options=tuple(
            option(f"text {letter}", "" if letter == key else f"slip-{letter.lower()}")
            for letter in "ABCDE"[:options]
        ),
    )


def typed(number: int = 1) -> Item:
    """A question for a number: 20 mm, with 40 and 10 as named mistakes."""
    slips = (
        Option("40 mm", "doubled", "Doubled", "", 40.0),
        Option("10 mm", "halved", "Halved", "", 10.0),
    )
    return Item(
        model="width",
        case=f"case-{number}",
        topic="marking",
        version="1",
        kind="numeric",
        stem="An invented case.",
        lead_in="How wide?",
        explanation="So.",
        standing=STANDING,
        numeric=Numeric(20.0, "mm", 0, 0.5, "rounded", slips),
    )


def ordered(number: int = 1) -> Item:
    """Four steps, printed as A third, B first, C fourth, D second: the right order is BDAC."""
    return Item(
        model="order-of-steps-marking",
        case=f"case-{number}",
        topic="marking",
        version="1",
        kind="order",
        stem="An invented case.",
        lead_in="In which order?",
        explanation="So.",
        standing=STANDING,
        options=tuple(option(text) for text in ("first", "second", "third", "fourth")),
        shown=(2, 0, 3, 1),
    )


def form(items: Iterable[Item], name: str = "A") -> Form:
    """A form of the invented paper."""
    return Form(paper="invented", title="Invented paper", minutes=60, form=name, items=tuple(items))


def choices(key: str, **more: object) -> Form:
    """A form of choices by its key."""
    return form([choice(number, letter) for number, letter in enumerate(key, 1)], **more)  # type: ignore[arg-type]


def sheet(candidate: object, answers: str, name: str = "A") -> Sheet:
    """The answers of a candidate as letters, with a point for none."""
    given = tuple(None if letter == "." else "ABCDE".index(letter) for letter in answers)
    return Sheet(str(candidate), name, given)


def invented() -> Marks:
    """The twelve invented candidates."""
    sheets = [sheet(number, answers) for number, answers in enumerate(INVENTED.split())]
    (marks,) = marks_of(sheets, {"A": choices(INVENTED_KEY)})
    return marks


def lsat_6() -> np.ndarray:
    """The thousand by five marks."""
    words = LSAT_6.split()
    rows: list[Sequence[int]] = []
    for pattern, count in zip(words[::2], words[1::2], strict=True):
        rows += [[int(mark) for mark in pattern]] * int(count)
    return np.array(rows)
