"""From a paper's record to its forms: the same blueprint and the same families of items in each,
the numbers drawn anew.

Which families are asked is drawn once for the paper; each form then has its own variant of each, so
that forms are alike and copying does not help. Variants of a family are alike in what they ask, not
proved equal in difficulty [westacott-2023].
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Final

from offmidline.exam.blueprint import Family, drawn
from offmidline.exam.form import Form
from offmidline.items.emit import emit
from offmidline.items.item import CHOSEN, Item
from offmidline.items.lint import refuse_flawed
from offmidline.items.model import Material
from offmidline.items.stream import Stream
from offmidline.items.variant import variant
from offmidline.plan import CasePlan, plan_case
from offmidline.records import BlueprintRow, Library, Paper

# Variants that are drawn of a family before it counts as one that a form cannot have.
_DRAWS: Final = 20
# Of so many variants the one that balances the keys' places is taken. Common practice, no source.
_CHOICES: Final = 3


def forms_of(paper: Paper, library: Library, key: bytes | None) -> tuple[Form, ...]:
    """Every form of a paper; ``key`` is the secret seed, and None makes specimens.

    Raises:
        BlueprintError: where a row of the blueprint cannot be filled.
        NoVariantError: where a case cannot be varied.
        FlawedItemsError: where an item is badly written.
    """
    stream = Stream(paper.seed, paper.paper, key=key or b"")
    technique = library.techniques[paper.technique]
    cases = [case for case in library.cases if case.case in paper.cases]
    plans = {case.case: _pair(plan_case(case, technique), stream) for case in cases}
    rows = drawn(paper, library, plans, stream)
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


def _pair(planned: CasePlan, stream: Stream) -> tuple[CasePlan, CasePlan]:
    """A case, and another patient like it."""
    return planned, variant(planned, stream.fork("like", planned.case.case))


def _posed(
    family: Family,
    row: BlueprintRow,
    library: Library,
    places: Mapping[tuple[int, int], int],
    stream: Stream,
) -> tuple[Item, CasePlan]:
    """The family's item on a variant of its case; on the patient that it was tried with where no
    other one gives it.

    Of a few variants the one whose key stands where fewest keys of the form stand so far.
    """
    choices = _CHOICES if row.kind in CHOSEN else 1
    found = list(islice(_variants(family, row, library, stream), choices))
    if found:
        return min(found, key=lambda one: places.get(_place(one[0]), 0))
    item = emit(family.model, Material(family.other, library, stream), row.kind)
    if item is None:
        raise LookupError(f"{family.name} gives no {row.kind} item any more")
    return item, family.other


def _variants(
    family: Family, row: BlueprintRow, library: Library, stream: Stream
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
