"""How a response is judged, as the expressions and rules of response processing [qti-2.2].

An expression on a response that was not given has no value, and a condition without a value does
not hold; tests of numbers and points ask for a response first, in case a system forgets that.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterable
from typing import Final, Literal, NamedTuple

from offmidline.exam.qti.markup import element

RESPONSE: Final = "RESPONSE"
SCORE: Final = "SCORE"
FEEDBACK: Final = "FEEDBACK"

BaseType = Literal["float", "identifier"]


class Branch(NamedTuple):
    """What follows where a condition holds and none before it did."""

    holds: ET.Element
    then: tuple[ET.Element, ...]


def response() -> ET.Element:
    """What was answered."""
    return element("variable", {"identifier": RESPONSE})


def correct() -> ET.Element:
    """The right answer as it was declared."""
    return element("correct", {"identifier": RESPONSE})


def value(base_type: BaseType, text: str) -> ET.Element:
    """A constant."""
    return element("baseValue", {"baseType": base_type}, text)


def answered() -> ET.Element:
    """Whether anything was answered."""
    return element("not", {}, element("isNull", {}, response()))


def match(one: ET.Element, other: ET.Element) -> ET.Element:
    """Whether two values are the same."""
    return element("match", {}, one, other)


def between(low: str, high: str) -> ET.Element:
    """Whether a number was answered that lies between two, which count."""
    return element(
        "and",
        {},
        answered(),
        element("gte", {}, response(), value("float", low)),
        element("lte", {}, response(), value("float", high)),
    )


def inside(circle: str) -> ET.Element:
    """Whether a point was answered that lies in a circle ``x,y,radius`` (pixels)."""
    held = element("inside", {"shape": "circle", "coords": circle}, response())
    return element("and", {}, answered(), held)


def misplaced(place: int, right: str) -> ET.Element:
    """Whether another entry than the right one was put at a place (from 1)."""
    given = element("index", {"n": str(place)}, response())
    return element("not", {}, match(given, value("identifier", right)))


def give(outcome: str, expression: ET.Element) -> ET.Element:
    """Set an outcome."""
    return element("setOutcomeValue", {"identifier": outcome}, expression)


def mark() -> ET.Element:
    """Count the answer as right."""
    return give(SCORE, value("float", "1"))


def tell(identifier: str) -> ET.Element:
    """Show a feedback."""
    return give(FEEDBACK, value("identifier", identifier))


def first_of(branches: Iterable[Branch]) -> ET.Element:
    """A condition of one branch or more."""
    first, *others = branches
    return element(
        "responseCondition",
        {},
        element("responseIf", {}, first.holds, *first.then),
        *(element("responseElseIf", {}, one.holds, *one.then) for one in others),
    )
