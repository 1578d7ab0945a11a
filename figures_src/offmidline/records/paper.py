"""The paper: what an examination asks, of which cases, and how its items did before.

Papers are the examiners' alone: a build for trainees does not read them.
"""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from offmidline import quantities
from offmidline.records import ranges
from offmidline.records.base import Id, Record, ShortText
from offmidline.records.fields import Count, Matching, Quantity, Ratio, Word

ItemKind = Literal["choice", "numeric", "order", "drawing", "fault"]

# A form is called by one capital letter.
_FORM = Matching(r"[A-Z]", "bad_form", "A")
FormName = Annotated[str, _FORM]


class BlueprintRow(Record):
    """So many questions of a topic and a kind.

    `hardest` and `easiest` are shares of right answers: only items whose share is known from the
    paper's history, and lies between them, are taken.
    """

    topic: Id
    kind: Annotated[ItemKind, Word(get_args(ItemKind))]
    number: Annotated[int, Count(ranges.QUESTIONS)]
    hardest: Annotated[float, Ratio(ranges.SHARE)] | None = None
    easiest: Annotated[float, Ratio(ranges.SHARE)] | None = None


class Sitting(Record):
    """How the items of one model did at one sitting: right answers among candidates."""

    sitting: ShortText
    model: Id
    candidates: Annotated[int, Count(ranges.CANDIDATES)]
    right: Annotated[int, Count(ranges.RIGHT_ANSWERS)]


class Paper(Record):
    """One paper, in one or several forms of the same blueprint.

    `seed` is a public name; what is drawn follows from it and from a secret that lies elsewhere.
    """

    paper: Id
    title: ShortText
    technique: Id
    duration_months: Annotated[float, Quantity(ranges.PAPER_DURATION)] = Field(alias="duration")
    seed: ShortText
    forms: tuple[FormName, ...] = Field(min_length=1)
    cases: tuple[Id, ...] = Field(min_length=1)
    blueprint: tuple[BlueprintRow, ...] = Field(min_length=1)
    history: tuple[Sitting, ...] = ()

    @property
    def minutes(self) -> int:
        """How long candidates have."""
        return round(self.duration_months / float(quantities.UNITS["duration"]["minutes"]))

    @property
    def questions(self) -> int:
        """How many questions a form has."""
        return sum(row.number for row in self.blueprint)
