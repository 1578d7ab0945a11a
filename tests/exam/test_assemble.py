"""From a blueprint to forms: alike in what they ask, unlike in their numbers, and nothing that a
blueprint asks for is left out silently.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from functools import cache

import pytest
from tests.exam.papers import CASES, SECRET, paper
from tests.generated import SCENARIOS
from tests.strategies import library

from offmidline.exam.assemble import forms_of
from offmidline.exam.blueprint import BlueprintError, difficulties
from offmidline.exam.form import Form
from offmidline.items.lint import lint
from offmidline.records import BlueprintRow, Sitting

ROWS = (("recovery", "choice", 1), ("flap", "numeric", 2), ("flap", "order", 1))


@cache
def forms(secret: bytes | None = None, seed: str = "specimen") -> tuple[Form, ...]:
    """Both forms of one small paper."""
    return forms_of(paper(*ROWS, seed=seed), library(), secret)


def families(form: Form) -> list[tuple[str, str]]:
    """Model and case of every question."""
    return [(item.model, item.case) for item in form.items]


def idents(some: tuple[Form, ...]) -> list[str]:
    """The ids of all questions; an id is a hash of all that is asked."""
    return [item.ident for form in some for item in form.items]


def test_every_form_fills_the_blueprint_row_by_row():
    """Topics and kinds stand in the order of the rows, as many as each asks for."""
    for form in forms():
        asked = [(item.topic, item.kind) for item in form.items]
        assert asked == [(topic, kind) for topic, kind, number in ROWS for _ in range(number)]
        assert {item.case for item in form.items} <= set(CASES)
        assert not [flaw for item in form.items for flaw in lint(item) if flaw.level == "error"]


def test_forms_ask_the_same_families_of_different_patients():
    """Copying from a neighbour with another form does not help."""
    first, second = forms()
    assert families(first) == families(second)
    for here, there in zip(first.plans, second.plans, strict=True):
        assert here.case.findings != there.case.findings
    numbers = [
        (here.numeric.value, there.numeric.value)
        for here, there in zip(first.items, second.items, strict=True)
        if here.numeric is not None and there.numeric is not None
    ]
    assert len(numbers) == 2
    assert all(here != there for here, there in numbers)


def test_another_process_draws_the_same_items():
    """Neither hashes nor the order of anything in memory decide what is asked."""
    code = "from tests.exam.test_assemble import forms, idents; print(*idents(forms()), sep='\\n')"
    environment = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": str(SCENARIOS.parent)}
    run = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    assert run.stdout.split() == idents(forms())


@pytest.mark.parametrize(("secret", "seed"), [(SECRET, "specimen"), (None, "another seed")])
def test_another_secret_or_another_public_seed_draws_other_numbers(secret: bytes | None, seed: str):
    """No patient of the one paper comes in the other."""
    ours, theirs = (
        [planned.case.findings for form in some for planned in form.plans]
        for some in (forms(), forms(secret, seed))
    )
    assert not any(here == there for here in ours for there in theirs)
    assert len(set(idents(forms())) & set(idents(forms(secret, seed)))) < len(ROWS)


def test_a_paper_without_a_secret_is_a_specimen():
    """Whoever has the project can work it out."""
    assert all(form.specimen for form in forms())
    assert not any(form.specimen for form in forms(SECRET))


def test_a_blueprint_that_cannot_be_filled_names_every_shortage():
    """All of them in one run, with what there is."""
    asked = paper(("recovery", "choice", 9), ("flap", "order", 1), ("safety", "order", 2))
    with pytest.raises(BlueprintError) as raised:
        forms_of(asked, library(), None)
    found = [(one.row, one.wanted, one.found) for one in raised.value.shortages]
    assert found == [(0, 9, 4), (2, 2, 0)]
    assert "recovery" in str(raised.value)
    assert "safety" in str(raised.value)


@pytest.mark.parametrize("number", [2, 3, 4])
def test_no_model_comes_again_while_another_has_come_less_often(number: int):
    """Recovery has two models, each of them on both cases."""
    form = forms_of(paper(("recovery", "choice", number), forms=("A",)), library(), None)[0]
    counts = Counter(item.model for item in form.items)
    assert len(counts) == 2
    assert max(counts.values()) - min(counts.values()) <= 1
    assert len(set(families(form))) == number


def test_what_an_earlier_row_asked_counts_for_a_later_one():
    """Numeric and chosen items of a model are not both asked while others are left."""
    rows = (("flap", "numeric", 2), ("flap", "choice", 2))
    form = forms_of(paper(*rows, forms=("A",)), library(), None)[0]
    assert len({item.model for item in form.items}) == 4


def test_a_row_takes_only_models_whose_difficulty_is_known_and_fits():
    """Shares of right answers are pooled over sittings."""
    history = tuple(
        Sitting.model_validate(
            {"sitting": name, "model": model, "candidates": "20", "right": str(right)}
        )
        for name, model, right in (
            ("spring", "next-step-recovery", 8),
            ("autumn", "next-step-recovery", 12),
            ("spring", "check-that-finds-recovery", 19),
        )
    )
    row = BlueprintRow.model_validate(
        {"topic": "recovery", "kind": "choice", "number": "2", "hardest": "0.3", "easiest": "0.8"}
    )
    asked = paper(forms=("A",), blueprint=(row,), history=history)
    assert difficulties(asked) == {"next-step-recovery": 0.5, "check-that-finds-recovery": 0.95}
    (form,) = forms_of(asked, library(), None)
    assert {item.model for item in form.items} == {"next-step-recovery"}
