"""From a paper's record to its forms: the same blueprint and the same families of items in each,
the numbers drawn anew.

A family is an item model and a case. Which families are asked is drawn once for the paper; each
form then has its own variant of each, so that forms are alike and copying does not help. Variants
of a family are alike in what they ask, not proved equal in difficulty [westacott-2023].
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

from offmidline import messages
from offmidline.exam.form import Form
from offmidline.items.emit import emit
from offmidline.items.item import CHOSEN, Item
from offmidline.items.lint import refuse_flawed
from offmidline.items.model import ItemModel, Material
from offmidline.items.models import MODELS
from offmidline.items.stream import Stream
from offmidline.items.variant import variant
from offmidline.plan import CasePlan, plan_case
from offmidline.records import BlueprintRow, Library, Paper

# Variants that are drawn of a family before it counts as one that a form cannot have.
_DRAWS: Final = 20
# Of so many variants the one that balances the keys' places is taken. Common practice, no source.
_CHOICES: Final = 3


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
class _Family:
    model: ItemModel
    planned: CasePlan

    @property
    def name(self) -> tuple[str, str]:
        return self.model.model, self.planned.case.case


def forms_of(paper: Paper, library: Library, key: bytes | None) -> tuple[Form, ...]:
    """Every form of a paper; ``key`` is the secret seed, and None makes specimens.

    Raises:
        BlueprintError: where a row of the blueprint cannot be filled.
        FlawedItemsError: where an item is badly written.
    """
    stream = Stream(paper.seed, paper.paper, key=key or b"")
    technique = library.techniques[paper.technique]
    cases = [case for case in library.cases if case.case in paper.cases]
    plans = [plan_case(case, technique) for case in cases]
    rows = _drawn(paper, library, plans, stream)
    forms = []
    for name in paper.forms:
        posed: list[tuple[Item, CasePlan]] = []
        places: Counter[tuple[int, int]] = Counter()
        for row, families in zip(paper.blueprint, rows, strict=True):
            for family in families:
                own = stream.fork("form", name, *family.name)
                posed.append(_posed(family, row, library, places, own))
                places[_place(posed[-1][0])] += 1
        forms.append(
            Form(
                paper=paper.paper,
                title=paper.title,
                minutes=paper.minutes,
                form=name,
                items=tuple(item for item, _ in posed),
                plans=tuple(planned for _, planned in posed),
                specimen=key is None,
            )
        )
    refuse_flawed(item for form in forms for item in form.items)
    return tuple(forms)


def _drawn(
    paper: Paper, library: Library, plans: Sequence[CasePlan], stream: Stream
) -> list[list[_Family]]:
    """The families of each row. Raises BlueprintError with every shortage."""
    known = difficulties(paper)
    asked: Counter[str] = Counter()
    rows, shortages = [], []
    for number, row in enumerate(paper.blueprint):
        possible = [
            family
            for family in _families(row, plans, known)
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
    right, candidates = Counter[str](), Counter[str]()
    for sitting in paper.history:
        right[sitting.model] += sitting.right
        candidates[sitting.model] += sitting.candidates
    return {model: right[model] / candidates[model] for model in candidates}


def _families(
    row: BlueprintRow, plans: Iterable[CasePlan], known: Mapping[str, float]
) -> list[_Family]:
    """The families of a topic whose difficulty, where the row asks for one, is known to fit."""
    hardest, easiest = row.hardest, row.easiest
    models = [
        model
        for model in MODELS.values()
        if model.topic == row.topic
        and (hardest is None or known.get(model.model, -1.0) >= hardest)
        and (easiest is None or known.get(model.model, 2.0) <= easiest)
    ]
    return [_Family(model, planned) for model in models for planned in plans]


def _fills(family: _Family, row: BlueprintRow, library: Library, stream: Stream) -> bool:
    """Whether the case as written gives the family's item in the row's kind."""
    material = Material(family.planned, library, stream)
    return emit(family.model, material, row.kind) is not None


def _chosen(
    possible: Sequence[_Family], count: int, asked: Mapping[str, int], stream: Stream
) -> list[_Family]:
    """By chance, but a model again only when every other has been asked as often, and a case
    likewise.
    """
    left, chosen = stream.shuffled(possible), list[_Family]()
    models, cases = Counter(asked), Counter[str]()
    while left and len(chosen) < count:
        best = min(left, key=lambda one: (models[one.name[0]], cases[one.name[1]]))
        left.remove(best)
        chosen.append(best)
        models[best.name[0]] += 1
        cases[best.name[1]] += 1
    return chosen


def _posed(
    family: _Family,
    row: BlueprintRow,
    library: Library,
    places: Mapping[tuple[int, int], int],
    stream: Stream,
) -> tuple[Item, CasePlan]:
    """The family's item on a variant of its case; on the case as written where no variant gives
    one.

    Of a few variants the one whose key stands where fewest keys of the form stand so far.
    """
    drawn = list(islice(_variants(family, row, library, stream), _CHOICES))
    if drawn:
        return min(drawn, key=lambda one: places.get(_place(one[0]), 0))
    item = emit(family.model, Material(family.planned, library, stream), row.kind)
    if item is None:
        raise LookupError(f"{family.name} gives no {row.kind} item any more")
    return item, family.planned


def _variants(
    family: _Family, row: BlueprintRow, library: Library, stream: Stream
) -> Iterator[tuple[Item, CasePlan]]:
    for draw in range(_DRAWS):
        drawn = stream.fork(draw)
        planned = variant(family.planned, drawn)
        item = emit(family.model, Material(planned, library, drawn), row.kind)
        if item is not None:
            yield item, planned


def _place(item: Item) -> tuple[int, int]:
    """Where the key stands, and among how many options; (0, 0) where nothing is chosen."""
    return (item.key, len(item.options)) if item.kind in CHOSEN else (0, 0)
