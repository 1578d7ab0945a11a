"""A complication of the operation: when it comes, how it looks, what is done, how it is graded."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from offmidline.records import ranges
from offmidline.records.base import Id, LongText, Record, ShortText, SourceId, StatusWord
from offmidline.records.fields import Matching, Quantity, Word

# What can be seen, felt or told, in the order in which one asks. Their titles are messages.
SignId = Literal[
    "pain",
    "swelling",
    "bleeding",
    "redness",
    "heat",
    "fluctuance",
    "clear-fluid",
    "pus",
    "gap",
    "dark-edge",
    "open-late",
    "hair",
    "new-opening",
    "fever",
    "ill",
    "collapse",
    "numbness",
    "odd-senses",
    "agitation",
    "headache",
    "no-urine",
]
Factor = Literal[
    "earlier-excision",
    "long-outline",
    "low-pit",
    "no-drain",
    "obesity",
    "older-age",
    "seroma",
    "several-agents",
    "smoker",
]

# A row of the evidence: the publication, then the row.
_EVIDENCE_ROW = Matching(r"[a-z0-9.-]+\.[a-z0-9-]+", "bad_id", "surname-1992.recurrence")
# Grades have capitals and begin with a digit or a Roman number.
_GRADE = Matching(r"[A-Za-z0-9-]+", "bad_id", "IIIa")

EvidenceRow = Annotated[str, _EVIDENCE_ROW]
GradeId = Annotated[str, _GRADE]


class Window(Record):
    """The usual time after the operation, in months; `to` is open where it has no end."""

    start: Annotated[float, Quantity(ranges.AFTER_OPERATION)] = Field(alias="from")
    end: Annotated[float, Quantity(ranges.AFTER_OPERATION)] | None = Field(None, alias="to")


class Sign(Record):
    """A sign of the fixed list, and how it shows itself here."""

    sign: Annotated[SignId, Word(get_args(SignId))]
    says: LongText


class GradedAs(Record):
    """A grade of a grading system, and in which form of the complication it is due."""

    system: Id
    grade: GradeId
    when: ShortText


class RaisedBy(Record):
    """What makes the complication likelier, by whom that was found, and in whom."""

    factor: Annotated[Factor, Word(get_args(Factor))]
    says: LongText | None = None
    status: StatusWord
    source: tuple[SourceId, ...] = ()


class Complication(Record):
    """One complication. `danger` says what of it must not be missed, whatever else is seen."""

    complication: Id
    title: ShortText
    window: Window
    when: LongText | None = None
    signs: tuple[Sign, ...] = Field(min_length=1)
    normal: LongText
    first: LongText
    escalate: LongText
    to: ShortText
    danger: LongText | None = None
    grades: tuple[GradedAs, ...] = ()
    frequency: tuple[EvidenceRow, ...] = ()
    raised_by: tuple[RaisedBy, ...] = ()
    status: StatusWord
    source: tuple[SourceId, ...] = ()
