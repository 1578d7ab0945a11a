"""The ids of the questions that are made of examiners' records.

Ids of real papers are known only where the secret seed is.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.exam.assemble import forms_of
from offmidline.exam.blueprint import BlueprintError
from offmidline.items import items_of_case
from offmidline.items.models import MODELS
from offmidline.leaks.words import Word
from offmidline.plan import plan_case
from offmidline.records import AUDIENCES, Library, load_library
from offmidline.site.item_draft import item_name
from offmidline.site.selftest import SEED

_SEEDS: Final = (SEED, "1")


def item_words(scenarios: Path, secret: bytes | None) -> tuple[Word, ...]:
    """The ids of the items of examiners' cases as pages would hold them, and those of papers drawn
    with the public seed and, where it is given, with the secret one. Raises FaultsError.
    """
    library = load_library(scenarios, AUDIENCES)
    return (*_of_cases(library), *_of_papers(library, secret))


def _of_cases(library: Library) -> Iterator[Word]:
    for case in library.cases:
        if case.audience != "examiner":
            continue
        for model in MODELS:
            yield Word(item_name(model, case.case), _item(model, case.case))
        planned = plan_case(case, library.techniques[case.technique])
        for seed in _SEEDS:
            for item in items_of_case(planned, library, seed):
                yield Word(item.ident, _item(item.model, case.case))


def _of_papers(library: Library, secret: bytes | None) -> Iterator[Word]:
    for paper in library.papers.values():
        for key in {None, secret}:
            try:
                forms = forms_of(paper, library, key)
            except BlueprintError:  # a paper that cannot be set has no items
                continue
            for form in forms:
                for number, item in enumerate(form.items, 1):
                    origin = messages.text(
                        "leaks.paper_item", number=number, paper=paper.paper, form=form.form
                    )
                    yield Word(item.ident, origin)


def _item(model: str, case: str) -> str:
    return messages.text("leaks.item", model=model, case=case)
