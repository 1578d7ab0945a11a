"""Which items a self-test holds."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from offmidline.site import selection
from offmidline.site.drafts import ItemDraft


def draft(model: str, case: str, topic: str = "t", says: str = "", place: str = "") -> ItemDraft:
    """An item of which only what the choice looks at matters."""
    name = f"{model}/{case}"
    kind = "choice" if place else "numeric"
    return ItemDraft(name, model, case, topic, kind, place, says or name, "", "", {})


def grid(models: int, cases: int, topic: str = "t") -> list[ItemDraft]:
    """Every model with every case."""
    return [
        draft(f"{topic}{m}", f"c{c}", topic, place=f"{(m + c) % 3}/3")
        for m in range(models)
        for c in range(cases)
    ]


@given(models=st.integers(1, 20), cases=st.integers(1, 9), seed=st.text(max_size=3))
def test_a_chapter_asks_every_model_and_spreads_the_rest(models, cases, seed):
    """None twice, none too often, and no case much more than another."""
    chosen = selection.of_chapter(grid(models, cases), seed)
    per_model = Counter(item.model for item in chosen)
    assert len(per_model) == models
    assert len({item.name for item in chosen}) == len(chosen)
    assert max(per_model.values()) <= selection.OF_A_MODEL
    assert max(per_model.values()) - min(per_model.values()) <= 1
    most = min(models * min(cases, selection.OF_A_MODEL), max(models, selection.OF_A_CHAPTER))
    assert len(chosen) == most


def test_cases_and_places_of_keys_are_balanced():
    """With all models and cases alike, no case is more than one ahead, and no place two."""
    chosen = selection.of_chapter(grid(12, 4), "seed")
    cases = Counter(item.case for item in chosen)
    assert set(cases.values()) == {3}
    places = Counter(item.place for item in chosen)
    assert max(places.values()) - min(places.values()) <= 2


def test_the_mixed_test_is_spread_over_topics():
    """A chapter with many models is not asked more than one with few."""
    items = [*grid(20, 5, "many"), *grid(3, 5, "few"), *grid(6, 5, "some")]
    topics = Counter(item.topic for item in selection.mixed(items, "seed"))
    assert sum(topics.values()) == selection.MIXED
    assert max(topics.values()) - min(topics.values()) <= 1


def test_what_is_asked_in_the_same_words_is_asked_once():
    """Two cases may lead to one and the same question."""
    items = [draft("m", case, says="same") for case in "abc"] + [draft("n", "a")]
    assert Counter(item.model for item in selection.of_chapter(items, "s")) == {"m": 1, "n": 1}


def test_the_seed_alone_decides():
    """The order in which items come does not matter; another seed chooses others."""
    items = grid(6, 8)
    chosen = selection.of_chapter(items, "seed")
    assert selection.of_chapter(items[::-1], "seed") == chosen
    assert selection.of_chapter(items, "other") != chosen
