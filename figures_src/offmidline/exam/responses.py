"""What candidates answered: a CSV file of answers read against the forms of its paper.

The file's header is ``candidate,form,Q1,...,Qn`` with ``minutes`` if it was taken. An answer is
an option's letter as printed, a number, or the letters of an order; an empty cell was not answered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.exam.form import Form, label
from offmidline.exam.letters import LETTERS
from offmidline.exam.rows import Faults, Row, Table, columns_of, read_table, refuse_name, say
from offmidline.items.item import Item
from offmidline.items.score import UnreadableNumberError, read_number

CANDIDATE: Final = "candidate"
FORM: Final = "form"
MINUTES: Final = "minutes"

# An answer as ``items.score`` judges it; None was not answered.
Answer = int | str | tuple[int, ...] | None


@dataclass(frozen=True)
class Sheet:
    """The answers of one candidate, in the order of the questions of the form.

    Attributes:
        minutes: that the candidate took; None where nobody noted it.
    """

    candidate: str
    form: str
    answers: tuple[Answer, ...]
    minutes: float | None = None


class _FaultyAnswerError(ValueError):
    """An answer that its question does not have; the text says which it has."""


def read_responses(path: Path, forms: Mapping[str, Form]) -> tuple[Sheet, ...]:
    """The answers of a file, in the order of its rows.

    Raises:
        FaultsError: with every fault of the file.
        OSError: where it cannot be read.
    """
    return responses_of(read_table(path, CANDIDATE), forms)


def responses_of(table: Table, forms: Mapping[str, Form]) -> tuple[Sheet, ...]:
    """The answers of a table, in the order of its rows; raises FaultsError as above."""
    questions = [label(number) for number in range(1, _most(forms) + 1)]
    places = columns_of(table, (CANDIDATE, FORM, *questions), (MINUTES,))
    reader = _Reader(table.faults, forms, places, [places[name] for name in questions])
    sheets = [reader.sheet(row) for row in table.rows]
    table.faults.refuse()
    return tuple(sheet for sheet in sheets if sheet is not None)


def _most(forms: Mapping[str, Form]) -> int:
    return max(len(form.items) for form in forms.values())


class _Reader:
    """Reads rows; a text that was read for a question once is not read again."""

    def __init__(
        self,
        faults: Faults,
        forms: Mapping[str, Form],
        places: Mapping[str, int],
        questions: Sequence[int],
    ) -> None:
        self._faults = faults
        self._forms = forms
        self._places = places
        self._questions = questions
        self._lines: dict[str, int] = {}
        self._read: dict[str, list[dict[str, Answer]]] = {
            name: [{"": None} for _ in form.items] for name, form in forms.items()
        }

    def sheet(self, row: Row) -> Sheet | None:
        """The answers of a row; None where its form is not known."""
        candidate = row.cells[self._places[CANDIDATE]]
        self._check_candidate(row, candidate)
        name = row.cells[self._places[FORM]]
        minutes = self._minutes(row)
        if name not in self._forms:
            known = messages.either(self._forms)
            fault = "form" if name else "form_missing"
            self._faults.add(row.line, self._places[FORM] + 1, fault, form=name, known=known)
            return None
        return Sheet(candidate, name, self._answers(row, self._forms[name]), minutes)

    def _check_candidate(self, row: Row, candidate: str) -> None:
        column = self._places[CANDIDATE] + 1
        if not refuse_name(self._faults, row.line, column, candidate):
            return
        first = self._lines.setdefault(candidate, row.line)
        if first != row.line:
            self._faults.add(row.line, column, "candidate_twice", name=candidate, first=first)

    def _minutes(self, row: Row) -> float | None:
        at = self._places.get(MINUTES)
        text = row.cells[at] if at is not None else ""
        if at is None or not text:
            return None
        try:
            minutes = read_number(text)
        except UnreadableNumberError:
            minutes = -1.0
        if minutes < 0:
            self._faults.add(row.line, at + 1, "minutes", value=text)
        return minutes

    def _answers(self, row: Row, form: Form) -> tuple[Answer, ...]:
        answers: list[Answer] = []
        read = self._read[form.form]
        for number, (item, at) in enumerate(zip(form.items, self._questions, strict=False)):
            text = row.cells[at]
            known = read[number]
            if text not in known:
                try:
                    known[text] = read_answer(item, text)
                except _FaultyAnswerError as error:
                    question = label(number + 1)
                    # The error itself and not its text: what we say is not cut short.
                    self._faults.add(
                        row.line, at + 1, "answer", question=question, value=text, why=error
                    )
                    answers.append(None)
                    continue
            answers.append(known[text])
        for at in self._questions[len(form.items) :]:
            if row.cells[at]:
                count = len(form.items)
                self._faults.add(row.line, at + 1, "beyond", form=form.form, count=count)
        return tuple(answers)


def read_answer(item: Item, text: str) -> Answer:
    """An answer of a candidate as ``items.score`` takes it.

    Raises ValueError, with the words of what would be right, where the item has no such answer.
    """
    return _READ[item.kind](item, text)


def _chosen(item: Item, text: str) -> int:
    letters = LETTERS[: len(item.options)]
    letter = text.upper()
    if len(letter) != 1 or letter not in letters:
        raise _FaultyAnswerError(say("due_letter", letters=messages.either(letters)))
    return letters.index(letter)


def _number(_: Item, text: str) -> str:
    try:
        read_number(text)
    except UnreadableNumberError as error:
        raise _FaultyAnswerError(say(f"due_number_{error.fault}")) from error
    return text


def _order(item: Item, text: str) -> tuple[int, ...]:
    letters = LETTERS[: len(item.shown)]
    given = re.sub(r"[\s,;>-]", "", text).upper()
    if sorted(given) != sorted(letters):
        raise _FaultyAnswerError(say("due_order", letters=letters))
    return tuple(item.shown[letters.index(letter)] for letter in given)


_READ: Final[Mapping[str, Callable[[Item, str], Answer]]] = {
    "choice": _chosen,
    "drawing": _chosen,
    "fault": _chosen,
    "numeric": _number,
    "order": _order,
}
