"""All models on all shipped cases: clean, the same for a seed, and the same everywhere."""

from __future__ import annotations

from collections import Counter

import pytest
from tests.strategies import library, shipped_plans

from offmidline.items import MODELS, items_of_case, lint
from offmidline.items.item import CHOSEN, Item
from offmidline.mistakes import MISTAKES
from offmidline.rules import broken

SEEDS = range(6)


@pytest.fixture(scope="module")
def bank() -> list[Item]:
    """The items of all shipped cases for a few seeds."""
    return [
        item
        for seed in SEEDS
        for planned in shipped_plans()
        for item in items_of_case(planned, library(), str(seed))
    ]


def test_there_are_models_of_every_part(bank: list[Item]) -> None:
    """At least two dozen, and each gives an item of some case."""
    assert len(MODELS) >= 24
    assert {item.model for item in bank} == set(MODELS)
    assert {item.kind for item in bank} == {"choice", "numeric", "order", "drawing", "fault"}


def test_no_item_has_a_flaw(bank: list[Item]) -> None:
    """Neither an error nor a warning."""
    assert [flaw for item in bank for flaw in lint(item)] == []


def test_same_seed_same_items_and_other_seeds_others() -> None:
    """The ids are hashes of all that an item says."""
    planned = shipped_plans()[0]
    first = [item.ident for item in items_of_case(planned, library(), "a")]
    assert first == [item.ident for item in items_of_case(planned, library(), "a")]
    assert set(first) != {item.ident for item in items_of_case(planned, library(), "b")}


def test_an_id_belongs_to_one_content(bank: list[Item]) -> None:
    """Two items with one id are one item."""
    by_id: dict[str, Item] = {}
    for item in bank:
        assert by_id.setdefault(item.ident, item) == item


def test_every_marking_mistake_of_an_option_is_wrong_by_the_rules(bank: list[Item]) -> None:
    """What a distractor is named after breaks a rule of the same case."""
    names = {mistake.mistake for mistake in MISTAKES}
    plans = {planned.case.case: planned for planned in shipped_plans()}
    applied = {
        (planned.case.case, mistake.mistake): mistake.apply(planned)
        for planned in shipped_plans()
        for mistake in MISTAKES
    }
    used = {(item.case, name) for item in bank for name in item.mistakes if name in names}
    assert used
    for case, name in used:
        wrong = applied[case, name]
        assert wrong is not None, (case, name)
        assert broken(wrong), (case, name)
        right = plans[case].right
        assert right is not None
        assert not broken(right), case


def test_five_options_hold_the_key_evenly(bank: list[Item]) -> None:
    """Where there are most options, every place has its share: none has half as many again."""
    places = Counter(item.key for item in bank if item.kind in CHOSEN and len(item.options) == 5)
    assert len(places) == 5
    assert max(places.values()) < 1.5 * min(places.values())
