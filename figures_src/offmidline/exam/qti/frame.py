"""What all questions have in common: declarations, body, judgement and feedback, in that order."""

from __future__ import annotations

import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from offmidline import messages
from offmidline.exam.qti.markup import element, paragraphs
from offmidline.exam.qti.processing import FEEDBACK, RESPONSE, SCORE

NAMESPACE: Final = "http://www.imsglobal.org/xsd/imsqti_v2p2"

# The feedback of the right answer.
RIGHT: Final = "RIGHT"

Cardinality = Literal["single", "ordered"]
BaseType = Literal["identifier", "float", "point"]


@dataclass(frozen=True)
class Feedback:
    """What is told where the outcome is its identifier."""

    identifier: str
    title: str
    text: str


@dataclass(frozen=True)
class Asked:
    """How a question is answered and judged.

    Attributes:
        declaration: of the response.
        answering: what stands below the stem, and takes the response.
        judging: rules that set score and feedback.
        feedback: all that may be told.
    """

    declaration: ET.Element
    answering: tuple[ET.Element, ...]
    judging: tuple[ET.Element, ...]
    feedback: tuple[Feedback, ...]


def declared(
    cardinality: Cardinality, base_type: BaseType, right: Iterable[str], *more: ET.Element
) -> ET.Element:
    """The declaration of a response with its right values."""
    values = (element("value", {}, one) for one in right)
    return element(
        "responseDeclaration",
        {"identifier": RESPONSE, "cardinality": cardinality, "baseType": base_type},
        element("correctResponse", {}, *values),
        *more,
    )


def slip_name(number: int) -> str:
    """The feedback of a mistake, by its number from 1."""
    return f"M{number}"


def question(identifier: str, number: int, stem: Iterable[ET.Element], asked: Asked) -> ET.Element:
    """The whole question, with the caution below it."""
    return element(
        "assessmentItem",
        {
            "xmlns": NAMESPACE,
            "identifier": identifier,
            "title": messages.text("exam.paper.question", number=number),
            "xml:lang": messages.text("exam.html.language"),
            "adaptive": "false",
            "timeDependent": "false",
        },
        asked.declaration,
        *_outcomes(),
        element(
            "itemBody",
            {},
            *stem,
            *asked.answering,
            *paragraphs([messages.text("caution.text")]),
        ),
        element("responseProcessing", {}, *asked.judging),
        *map(_shown, asked.feedback),
    )


def _outcomes() -> tuple[ET.Element, ET.Element]:
    """A mark that is 0 until it is earned, and a feedback that is none."""
    none = element("defaultValue", {}, element("value", {}, "0"))
    marks = {"identifier": SCORE, "cardinality": "single", "baseType": "float"}
    told = {"identifier": FEEDBACK, "cardinality": "single", "baseType": "identifier"}
    return (
        element("outcomeDeclaration", {**marks, "normalMaximum": "1"}, none),
        element("outcomeDeclaration", told),
    )


def _shown(feedback: Feedback) -> ET.Element:
    attributes = {
        "outcomeIdentifier": FEEDBACK,
        "showHide": "show",
        "identifier": feedback.identifier,
        **({"title": feedback.title} if feedback.title else {}),
    }
    return element("modalFeedback", attributes, *paragraphs([feedback.text]))
