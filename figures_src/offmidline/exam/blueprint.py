"""Which families of items a blueprint asks for: drawn by chance, evenly over models and cases.

A family is an item model and a case. One that asks for a number fills a row only where another
patient has another number: what is the same for everybody is known to who has read the handbook.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from offmidline import messages
from offmidline.exam.history import histories
from offmidline.items.emit import emit
from offmidline.items.item import Item
from offmidline.items.model import ItemModel, Material
from offmidline.items.models import MODELS
from offmidline.items.stream import Stream
from offmidline.plan import CasePlan
from offmidline.records import BlueprintRow, Library, Paper


@dataclass(frozen=True)
class Shortage:
    """A row of a blueprint, by its place from 0, that cannot be filled, and what there is."""

    row: int
    topic: str
    kind: str
    wanted: int
    found: int

    def __str__(self) -> str:
        return messages.text(
            "exam.paper.shortage",
            topic=self.topic,
            kind=self.kind,
            wanted=self.wanted,
            found=self.found,
        )


class BlueprintError(ValueError):
    """A blueprint that the cases allowed cannot fill."""

    def __init__(self, shortages: Iterable[Shortage]) -> None:
        self.shortages = tuple(shortages)
        super().__init__("\n".join(map(str, self.shortages)))


@dataclass(frozen=True)
class Family:
    """An item model and a planned case, with another patient like it."""

    model: ItemModel
    planned: CasePlan
    other: CasePlan

    @property
    def name(self) -> tuple[str, str]:
        """The ids of model and case."""
        return self.model.model, self.planned.case.case


def drawn(
    paper: Paper, library: Library, plans: Mapping[str, tuple[CasePlan, CasePlan]], stream: Stream
) -> list[list[Family]]:
    """The families of each row.

    Args:
        paper, library: what is asked for, and the records.
        plans: each case and another patient like it, by the case's id.
        stream: from which it is drawn.

    Raises:
        BlueprintError: with every shortage.
    """
    known = difficulties(paper)
    asked: Counter[str] = Counter()
    rows, shortages = [], []
    for number, row in enumerate(paper.blueprint):
        possible = [
            family
            for family in _families(row, plans.values(), known)
            if _fills(family, row, library, stream)
        ]
        chosen = _chosen(possible, row.number, asked, stream.fork("row", number))
        asked.update(family.model.model for family in chosen)
        rows.append(chosen)
        if len(chosen) < row.number:
            shortages.append(Shortage(number, row.topic, row.kind, row.number, len(chosen)))
    if shortages:
        raise BlueprintError(shortages)
    return rows


def difficulties(paper: Paper) -> dict[str, float]:
    """The share of right answers of every model that the paper's history knows."""
    return {one.model: one.pooled.value for one in histories(paper)}


def _families(
    row: BlueprintRow,
    plans: Iterable[tuple[CasePlan, CasePlan]],
    known: Mapping[str, float],
) -> list[Family]:
    """The families of a topic whose difficulty, where the row asks for one, is known to fit."""
    hardest, easiest = row.hardest, row.easiest
    models = [
        model
        for model in MODELS.values()
        if model.topic == row.topic
        and (hardest is None or known.get(model.model, -1.0) >= hardest)
        and (easiest is None or known.get(model.model, 2.0) <= easiest)
    ]
    return [Family(model, *pair) for model in models for pair in plans]


def _fills(family: Family, row: BlueprintRow, library: Library, stream: Stream) -> bool:
    """Whether both patients give an item of the row's kind, and a number only where it is another
    one.
    """
    items = [
        emit(family.model, Material(planned, library, stream), row.kind)
        for planned in (family.planned, family.other)
    ]
    first, other = items
    if first is None or other is None:
        return False
    number = _number(first)
    return number is None or number != _number(other)


def _number(item: Item) -> float | None:
    """The number that is right; None where words are."""
    if item.numeric is not None:
        return item.numeric.value
    return next((option.value for option in item.options if option.right), None)


def _chosen(
    possible: Sequence[Family], count: int, asked: Mapping[str, int], stream: Stream
) -> list[Family]:
    """By chance, but a model again only when every other has been asked as often, and a case
    likewise.
    """
    left, chosen = stream.shuffled(possible), list[Family]()
    models, cases = Counter(asked), Counter[str]()
    while left and len(chosen) < count:
        best = min(left, key=lambda one: (models[one.name[0]], cases[one.name[1]]))
        left.remove(best)
        chosen.append(best)
        models[best.name[0]] += 1
        cases[best.name[1]] += 1
    return chosen
