"""What the site keeps of a case between builds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class CaseDraft:
    """A case's page before numbering, its values, and its line in the list of cases.

    Attributes:
        report: as ``offmidline measure`` prints it.
        summary: the patient in a sentence.
        tags: what the case shows, in a few words.
        shows: the views on its page, each of one picture.
    """

    page: str
    report: dict[str, Any]
    summary: str
    tags: str
    shows: list[str]


@dataclass(frozen=True)
class ExerciseDraft:
    """What the page of an exercise needs of a case that can be marked.

    Attributes:
        data: findings, technique and the right marking, as the scripts read them.
        reasons: rules in their order, each with why it asks and its standing; sources still named.
    """

    data: dict[str, Any]
    reasons: list[tuple[str, str]]


@dataclass(frozen=True)
class ItemDraft:
    """An item as a page shows it, before numbering.

    Attributes:
        name: what a browser knows it by; it outlives every change of its words.
        place: where the key stands; "" where none is chosen from.
        says: a hash of what is asked, which two cases may share.
        title: what it asks, in a few words.
        html: question and answer, with names for pictures and citations.
        marks: what a script needs to judge an answer.
    """

    name: str
    model: str
    case: str
    topic: str
    kind: str
    place: str
    says: str
    title: str
    html: str
    marks: dict[str, Any]


@dataclass(frozen=True)
class CohortDraft:
    """What the analysis of the invented answers says.

    Attributes:
        values: numbers by their names.
        tables: as HTML, by their names.
        plots: the words of each plot.
    """

    values: dict[str, str]
    tables: dict[str, str]
    plots: dict[str, dict[str, str]]


@dataclass(frozen=True)
class PaperDraft:
    """A paper's pages before numbering.

    Attributes:
        summary: the paper in a sentence.
        page: what all its forms share.
        forms: letter and page of each.
        pictures: the words of every picture of a question, by its way: form, number, view, part.
    """

    summary: str
    page: str
    forms: list[tuple[str, str]]
    pictures: dict[str, dict[str, str]]
