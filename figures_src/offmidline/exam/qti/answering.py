"""How each kind of item is answered in a package: chosen, typed, or put in order.

It is judged as ``items.score`` judges it; the tests hold the two together.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from offmidline import messages
from offmidline.exam.letters import LETTERS, right_order
from offmidline.exam.qti.frame import RIGHT, Asked, Feedback, declared, slip_name
from offmidline.exam.qti.images import Image
from offmidline.exam.qti.markup import element, paragraphs
from offmidline.exam.qti.processing import (
    FEEDBACK,
    RESPONSE,
    Branch,
    between,
    correct,
    first_of,
    give,
    mark,
    match,
    misplaced,
    response,
    tell,
)
from offmidline.items.item import Item, Numeric, Option
from offmidline.items.score import NOISE
from offmidline.items.shown import unit_text

# Of the field for a number; the same for all, as the length of the right one would tell.
_FIELD_LENGTH: Final = "8"


def answering(item: Item, drawings: Mapping[int, Image]) -> Asked:
    """How an item is answered; ``drawings`` are those of its options, by their positions."""
    if item.numeric is not None:
        return _typed(item, item.numeric)
    if item.kind == "order":
        return _ordered(item)
    return _chosen(item, drawings)


def _chosen(item: Item, drawings: Mapping[int, Image]) -> Asked:
    """The feedback is called by the letter that was chosen."""
    choices = [
        _choice(letter, option, drawings.get(at))
        for at, (letter, option) in enumerate(zip(LETTERS, item.options, strict=False))
    ]
    told = [
        Feedback(letter, option.title, item.explanation if option.right else option.feedback)
        for letter, option in zip(LETTERS, item.options, strict=False)
    ]
    right = Branch(match(response(), correct()), (mark(),))
    return Asked(
        declared("single", "identifier", [LETTERS[item.key]]),
        (_interaction("choiceInteraction", item.lead_in, choices, maxChoices="1"),),
        (first_of([right]), give(FEEDBACK, response())),
        tuple(told),
    )


def _choice(letter: str, option: Option, drawing: Image | None) -> ET.Element:
    if drawing is None:
        return element("simpleChoice", {"identifier": letter}, option.text)
    shown = element("p", {}, drawing.markup)
    return element("simpleChoice", {"identifier": letter}, *paragraphs([option.text]), shown)


def _interaction(
    name: str, lead_in: str, choices: Sequence[ET.Element], **attributes: str
) -> ET.Element:
    """The choices in the order of the paper, not shuffled: numbers ascend, and letters are those
    of the printed paper.
    """
    given = {"responseIdentifier": RESPONSE, "shuffle": "false", **attributes}
    return element(name, given, element("prompt", {}, lead_in), *choices)


def _typed(item: Item, asked: Numeric) -> Asked:
    """Right between two bounds; a mistake between its own, up to midway to the next mistake.

    Bounds are decimals that count themselves, so that no system has to subtract in binary.
    """
    point = [messages.text("exam.package.decimal")] if asked.decimals else []
    field = element(
        "textEntryInteraction",
        {"responseIdentifier": RESPONSE, "expectedLength": _FIELD_LENGTH},
    )
    line = element("p", {}, " ".join([item.lead_in, *point, ""]), field, unit_text(asked.unit))
    low, high = _within(asked.value, asked.tolerance)
    branches = [Branch(between(f"{low:f}", f"{high:f}"), (mark(), tell(RIGHT)))]
    told = [Feedback(RIGHT, "", item.explanation)]
    for number, (slip, (least, most)) in enumerate(
        zip(asked.slips, _ranges(asked), strict=True), 1
    ):
        name = slip_name(number)
        branches.append(Branch(between(f"{least:f}", f"{most:f}"), (tell(name),)))
        told.append(Feedback(name, slip.title, slip.feedback))
    return Asked(
        declared("single", "float", [f"{asked.value:.{asked.decimals}f}"]),
        (line,),
        (first_of(branches),),
        tuple(told),
    )


def _within(value: float, tolerance: float) -> tuple[Decimal, Decimal]:
    """The least and the greatest number that count for a value."""
    middle, reach = Decimal(repr(value)), Decimal(repr(tolerance)) + Decimal(repr(NOISE))
    return middle - reach, middle + reach


def _ranges(asked: Numeric) -> Iterator[tuple[Decimal, Decimal]]:
    """The numbers that stand for each mistake: within the tolerance, and nearer than any other."""
    values = [Decimal(repr(slip.value or 0.0)) for slip in asked.slips]
    for value in values:
        low, high = _within(float(value), asked.tolerance)
        midways = [(value + other) / 2 for other in values if other != value]
        yield (
            max([low, *(midway for midway in midways if midway < value)]),
            min([high, *(midway for midway in midways if midway > value)]),
        )


def _ordered(item: Item) -> Asked:
    """Right as a whole; otherwise the first place that is wrong says what belongs there."""
    letters = right_order(item)
    choices = [
        element("simpleChoice", {"identifier": letter}, item.options[at].text)
        for letter, at in zip(LETTERS, item.shown, strict=False)
    ]
    right = Branch(
        match(response(), correct()),
        (mark(), tell(RIGHT)),
    )
    wrong = [
        Branch(misplaced(place, letter), (tell(slip_name(place)),))
        for place, letter in enumerate(letters, 1)
    ]
    told = [
        Feedback(slip_name(place), entry.title, entry.feedback)
        for place, entry in enumerate(item.options, 1)
    ]
    return Asked(
        declared("ordered", "identifier", letters),
        (_interaction("orderInteraction", item.lead_in, choices),),
        (first_of([right, *wrong]),),
        (Feedback(RIGHT, "", item.explanation), *told),
    )
