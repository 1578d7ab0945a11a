"""Candidates by questions: what each answer was worth, and what it stands for.

Forms that ask the same questions, in whatever order of questions and options, are one group and are
analysed together; a form with other questions is a group of its own. A question that was not
answered counts as wrong.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from offmidline import messages
from offmidline.exam.form import Form, label
from offmidline.exam.letters import LETTERS
from offmidline.exam.responses import Answer, Sheet
from offmidline.items.item import CHOSEN, Item, Option
from offmidline.items.score import Scored, score
from offmidline.items.shown import number

Whole = NDArray[np.int64]
Truth = NDArray[np.bool_]
Real = NDArray[np.float64]

UNANSWERED: Final = -1


@dataclass(frozen=True)
class Meaning:
    """A way in which a question can be answered.

    Attributes:
        label: its letter where it is printed with one; else "".
        text: in words.
        mistake, title: the named mistake that it stands for; "" where it stands for none.
    """

    label: str
    text: str
    right: bool
    mistake: str = ""
    title: str = ""


@dataclass(frozen=True)
class Asked:
    """A question of a group of forms.

    Attributes:
        item: as the group's first form has it.
        places: its number in each form.
        meanings: the ways in which it can be answered.
    """

    item: Item
    places: Mapping[str, int]
    meanings: tuple[Meaning, ...]

    @property
    def name(self) -> str:
        """Its number in the first form: ``Q3``."""
        return label(next(iter(self.places.values())))

    @property
    def named(self) -> tuple[str, ...]:
        """Its number in each form, with the form's letter before it: ``A Q3``."""
        return tuple(f"{form} {label(number)}" for form, number in self.places.items())

    @property
    def offered(self) -> bool:
        """Whether its wrong answers were printed, so that they are distractors."""
        return self.item.kind in CHOSEN


@dataclass(frozen=True)
class Marks:
    """The answers of a group of forms, shape (candidates, questions).

    Attributes:
        right: whether an answer counts.
        given: its place among the question's meanings; -1 where there is none.
        minutes: that each candidate took; not a number where nobody noted it.
    """

    forms: tuple[str, ...]
    asked: tuple[Asked, ...]
    candidates: tuple[str, ...]
    form_of: tuple[str, ...]
    right: Truth
    given: Whole
    minutes: Real

    @property
    def totals(self) -> Whole:
        """Right answers of each candidate."""
        return np.asarray(self.right.sum(axis=1), dtype=np.int64)


def marks_of(sheets: Sequence[Sheet], forms: Mapping[str, Form]) -> tuple[Marks, ...]:
    """The groups that were sat, in the order of their first forms."""
    groups: dict[frozenset[object], list[Form]] = {}
    for form in forms.values():
        groups.setdefault(frozenset(map(_question, form.items)), []).append(form)
    found = []
    for group in groups.values():
        names = {form.form for form in group}
        sat = [sheet for sheet in sheets if sheet.form in names]
        if sat:
            found.append(_marks(sat, group))
    return tuple(found)


def meanings(item: Item) -> tuple[Meaning, ...]:
    """The ways in which an item can be answered, as ``position`` counts them."""
    if item.numeric is not None:
        asked = item.numeric
        key = number(asked.value, asked.unit, asked.decimals)
        slips = [_meaning("", slip, right=False) for slip in asked.slips]
        return (Meaning("", key, right=True), *slips, Meaning("", _say("other"), right=False))
    if item.kind == "order":
        wrong = [
            replace(_meaning("", entry, right=False), text=_say("first_wrong", entry=entry.text))
            for entry in item.options
        ]
        return (Meaning("", _say("right_order"), right=True), *wrong)
    return tuple(
        _meaning(letter, option, right=option.right)
        for letter, option in zip(LETTERS, item.options, strict=False)
    )


def position(item: Item, scored: Scored) -> int:
    """The place of a judged answer among the item's meanings."""
    if item.kind in CHOSEN and scored.option is not None:
        return scored.option
    if scored.right:
        return 0
    slips = len(item.numeric.slips) if item.numeric is not None else 0
    return 1 + (slips if scored.option is None else scored.option)


def _meaning(label: str, option: Option, *, right: bool) -> Meaning:
    return Meaning(label, option.text, right, option.mistake, option.title)


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.statistics.meanings.{name}", **values)


def _marks(sheets: Sequence[Sheet], group: Sequence[Form]) -> Marks:
    first = group[0].items
    places = {
        form.form: {_question(item): at for at, item in enumerate(form.items)} for form in group
    }
    asked = tuple(
        Asked(
            item,
            {name: at[_question(item)] + 1 for name, at in places.items()},
            meanings(item),
        )
        for item in first
    )
    columns = {form.form: [_Column(one, form) for one in asked] for form in group}
    judged = [[column.judged(sheet) for column in columns[sheet.form]] for sheet in sheets]
    table = np.array(judged, dtype=np.int64).reshape(len(sheets), len(asked), 2)
    return Marks(
        tuple(places),
        asked,
        tuple(sheet.candidate for sheet in sheets),
        tuple(sheet.form for sheet in sheets),
        table[:, :, 0].astype(bool),
        table[:, :, 1],
        np.array([np.nan if one.minutes is None else one.minutes for one in sheets], dtype=float),
    )


class _Column:
    """Judges the answers to one question of one form; the same answer is judged once."""

    def __init__(self, asked: Asked, form: Form) -> None:
        self._at = asked.places[form.form] - 1
        self._item = form.items[self._at]
        # Letters name other options where a form shuffles them: what an option says is the same.
        places = {_option(option): place for place, option in enumerate(asked.item.options)}
        self._places = (
            [places[_option(option)] for option in self._item.options]
            if asked.offered
            else list(range(len(asked.meanings)))
        )
        self._judged: dict[Answer, tuple[bool, int]] = {}

    def judged(self, sheet: Sheet) -> tuple[bool, int]:
        """Whether the answer of a sheet counts, and its place among the meanings."""
        answer = sheet.answers[self._at]
        if answer not in self._judged:
            self._judged[answer] = self._judge(answer)
        return self._judged[answer]

    def _judge(self, answer: Answer) -> tuple[bool, int]:
        if answer is None:
            return False, UNANSWERED
        scored = score(self._item, answer)
        return scored.right, self._places[position(self._item, scored)]


def _question(item: Item) -> object:
    """What makes two items the same question: all but their order of options and their id."""
    same = replace(item, options=(), shown=(), ident="")
    if item.kind in CHOSEN:
        return same, frozenset(map(_option, item.options))
    return same, item.options


def _option(option: Option) -> object:
    """An option; a drawing is called by its place, so that its picture tells it."""
    return option.mistake, option.picture or option.text
