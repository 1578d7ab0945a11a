"""Which named mistakes the wrong answers stand for, over all candidates and by item model."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from offmidline.evidence import Proportion, wilson
from offmidline.exam.marks import Marks


@dataclass(frozen=True)
class Misunderstanding:
    """A named mistake and how often it was behind an answer.

    Attributes:
        mistake, title: its name and what it is called.
        model: the item model in whose questions it was made; "" for all.
        answers: that stand for it.
        people: candidates with one such answer at least.
        met: candidates who met it as a possible answer; the share is people of these.
    """

    mistake: str
    title: str
    model: str
    answers: int
    people: int
    met: int

    @property
    def share(self) -> Proportion:
        """Candidates who made it of those who could, with the interval of Wilson."""
        return wilson(self.people, self.met)


def misunderstandings(groups: Iterable[Marks]) -> tuple[Misunderstanding, ...]:
    """Every mistake that an answer stands for, the commonest first, over all models."""
    return _counted(groups, by_model=False)


def by_model(groups: Iterable[Marks]) -> tuple[Misunderstanding, ...]:
    """The same for each item model by itself, the commonest first."""
    return _counted(groups, by_model=True)


@dataclass
class _Tally:
    """Counts of one mistake while the groups are gone through."""

    title: str
    answers: int = 0
    people: int = 0
    met: int = 0


def _counted(groups: Iterable[Marks], *, by_model: bool) -> tuple[Misunderstanding, ...]:
    tallies: dict[tuple[str, str], _Tally] = {}
    for marks in groups:
        for key, columns in _columns(marks, by_model=by_model).items():
            made = np.zeros(len(marks.candidates), dtype=np.int64)
            for column, place, title in columns:
                made += marks.given[:, column] == place
                tally = tallies.setdefault(key, _Tally(title))
            tally.answers += int(made.sum())
            tally.people += int((made > 0).sum())
            tally.met += len(made)
    found = [
        Misunderstanding(mistake, one.title, model, one.answers, one.people, one.met)
        for (mistake, model), one in tallies.items()
        if one.answers
    ]
    return tuple(sorted(found, key=lambda one: (-one.answers, one.mistake, one.model)))


def _columns(marks: Marks, *, by_model: bool) -> dict[tuple[str, str], list[tuple[int, int, str]]]:
    """Where each mistake can be met: questions, places among their meanings, and its title."""
    found: dict[tuple[str, str], list[tuple[int, int, str]]] = defaultdict(list)
    for column, asked in enumerate(marks.asked):
        model = asked.item.model if by_model else ""
        for place, meaning in enumerate(asked.meanings):
            if meaning.mistake:
                found[meaning.mistake, model].append((column, place, meaning.title))
    return found
