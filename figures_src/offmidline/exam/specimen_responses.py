"""Invented answers to an invented paper, to show what an analysis says. Nobody gave them.

The questions are those of cases that trainees see, so that everybody may see what came of them.
Each invented candidate has an ability, each question a hardness and a slope; who misses the right
answer makes one of the question's named mistakes, some of which are more tempting than others. One
question is played with a wrong key: to it the able give one of the wrong answers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from offmidline import messages
from offmidline.exam.form import Form
from offmidline.exam.responses import Answer, Sheet
from offmidline.items import items_of_case
from offmidline.items.item import CHOSEN, Item, Kind, Numeric
from offmidline.items.shown import bare
from offmidline.items.stream import Stream
from offmidline.plan import CasePlan, plan_case
from offmidline.records import Library

CANDIDATES: Final = 60
# All of it is invented: our choice.
_SEED: Final = "specimen answers"
_FORM: Final = "A"
_MINUTES: Final = 30
_CASES: Final = 2
_KINDS: Final[Mapping[Kind, int]] = MappingProxyType({"choice": 8, "numeric": 3, "order": 1})
_SLOPES: Final = (0.7, 1.1, 1.5)
# Hardness lies as far from the mean ability at most, in the abilities' standard deviations.
_HARDEST: Final = 1.5
# Of those who miss the right answer so many give none.
_SILENT: Final = 0.06
# The sum of so many numbers between 0 and 1 has a variance of 1, and is nearly normal; derived.
_SUMMED: Final = 12
_FINE: Final = 2**32
# So many tolerances beyond the key lies a number that no mistake explains.
_ELSEWHERE: Final = 10


@dataclass(frozen=True)
class Specimen:
    """The paper and its answers.

    Attributes:
        miskeyed: the number of the question that is played with a wrong key, from 1.
    """

    form: Form
    sheets: tuple[Sheet, ...]
    miskeyed: int


@dataclass(frozen=True)
class _Played:
    """How a question is answered: what the able give, and the wrong answers, the tempting first."""

    able: Answer
    wrong: tuple[Answer, ...]
    hardness: float
    slope: float

    def answer(self, ability: float, stream: Stream) -> Answer:
        """What a candidate of an ability gives."""
        if _share(stream) < 1 / (1 + math.exp(self.slope * (self.hardness - ability))):
            return self.able
        if _share(stream) < _SILENT or not self.wrong:
            return None
        # The first is twice as tempting as the second, and so on.
        place = int(-math.log2(1 - _share(stream)))
        return self.wrong[place % len(self.wrong)]


def specimen(library: Library) -> Specimen:
    """The paper and its answers; the same for every audience.

    Raises ValueError where trainees see no case, and as ``items_of_case`` does.
    """
    cases = [case for case in library.cases if case.audience == "trainee"][:_CASES]
    planned = [plan_case(case, library.techniques[case.technique]) for case in cases]
    items = _questions(planned, library)
    chosen = [number for number, item in enumerate(items, 1) if item.kind in CHOSEN]
    stream = Stream(_SEED)
    miskeyed = stream.fork("miskeyed").one_of(chosen)
    played = [
        _played(item, stream.fork("question", number), miskeyed=number == miskeyed)
        for number, item in enumerate(items, 1)
    ]
    sheets = tuple(_sheet(number, played, stream) for number in range(1, CANDIDATES + 1))
    title = messages.text("exam.specimen.title")
    form = Form("specimen", title, _MINUTES, _FORM, items, specimen=True)
    return Specimen(form, sheets, miskeyed)


def _questions(planned: Sequence[CasePlan], library: Library) -> tuple[Item, ...]:
    """So many questions of each kind, each of a model of its own."""
    stream = Stream(_SEED)
    by_model: dict[str, list[Item]] = {}
    for one in planned:
        for item in items_of_case(one, library, _SEED):
            by_model.setdefault(item.model, []).append(item)
    pool = [stream.fork(model).one_of(items) for model, items in by_model.items()]
    chosen = {
        item.model
        for kind, count in _KINDS.items()
        for item in stream.fork(kind).some([one for one in pool if one.kind == kind], count)
    }
    return tuple(item for item in pool if item.model in chosen)


def _played(item: Item, stream: Stream, *, miskeyed: bool) -> _Played:
    right, wrong = _answers(item, stream)
    hardness = _HARDEST * (2 * _share(stream) - 1)
    slope = stream.one_of(_SLOPES)
    tempting = tuple(stream.shuffled(wrong))
    if miskeyed:
        return _Played(tempting[0], (right, *tempting[1:]), hardness, slope)
    return _Played(right, tempting, hardness, slope)


def _answers(item: Item, stream: Stream) -> tuple[Answer, list[Answer]]:
    """The right answer of an item and some wrong ones."""
    if item.numeric is not None:
        return _typed(item.numeric)
    if item.kind == "order":
        right = tuple(range(len(item.options)))
        swapped = [(*right[:at], at + 1, at, *right[at + 2 :]) for at in right[:-1]]
        return right, stream.shuffled(swapped)
    return item.key, [at for at in range(len(item.options)) if at != item.key]


def _typed(asked: Numeric) -> tuple[Answer, list[Answer]]:
    elsewhere = asked.value + _ELSEWHERE * asked.tolerance
    values = [slip.value for slip in asked.slips if slip.value is not None]
    return bare(asked.value, asked.decimals), [
        bare(value, asked.decimals) for value in (*values, elsewhere)
    ]


def _sheet(number: int, played: Sequence[_Played], stream: Stream) -> Sheet:
    own = stream.fork("candidate", number)
    ability = sum(_share(own) for _ in range(_SUMMED)) - _SUMMED / 2
    answers = tuple(one.answer(ability, own) for one in played)
    return Sheet(f"c{number:02}", _FORM, answers)


def _share(stream: Stream) -> float:
    """A number from 0 up to 1, that excluded."""
    return stream.below(_FINE) / _FINE
