"""A grading system: questions that lead to a grade, or points that add up to a band."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from offmidline.records import ranges
from offmidline.records.base import Id, LongText, Record, ShortText, SourceId, StatusWord
from offmidline.records.complication import GradeId
from offmidline.records.fields import Count, Word

# What the grades of a system are grouped as; their titles are messages.
Group = Literal["normal", "minor", "major"]


class Grade(Record):
    """One grade and what it means."""

    grade: GradeId
    title: ShortText
    means: LongText
    group: Annotated[Group, Word(get_args(Group))] | None = None


class Answer(Record):
    """An answer leads to the next question or to a grade."""

    answer: Id
    title: ShortText
    next: Id | None = None
    grade: GradeId | None = None


class Question(Record):
    """One question with its answers."""

    question: Id
    ask: LongText
    answers: tuple[Answer, ...] = Field(min_length=2)


class Choice(Record):
    """What can be chosen in a part, and its points."""

    choice: Id
    title: ShortText
    points: Annotated[int, Count(ranges.POINTS)]


class Part(Record):
    """A part of a score; one of several `days` is asked again on each of them."""

    part: Id
    title: ShortText
    days: Annotated[int, Count(ranges.SCORED_DAYS)] = 1
    choices: tuple[Choice, ...] = Field(min_length=2)


class Band(Record):
    """What sums from `from` to `to` mean; the last band has no end of its own."""

    start: Annotated[int, Count(ranges.POINTS)] = Field(alias="from")
    end: Annotated[int, Count(ranges.POINTS)] | None = Field(None, alias="to")
    title: ShortText


class Grading(Record):
    """One grading system: `start`, `questions` and `grades`, or `parts` and `bands`."""

    grading: Id
    title: ShortText
    purpose: LongText
    convention: LongText
    applies: LongText
    status: StatusWord
    source: tuple[SourceId, ...] = ()
    start: Id | None = None
    questions: tuple[Question, ...] = ()
    grades: tuple[Grade, ...] = ()
    parts: tuple[Part, ...] = ()
    bands: tuple[Band, ...] = ()
