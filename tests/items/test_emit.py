"""From a question to an item: what is dropped, how a number is asked, and the id."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from scipy.stats import chisquare
from tests import strategies

from offmidline.items.emit import emit
from offmidline.items.item import Item, Standing
from offmidline.items.model import Candidate, Form, ItemModel, Material, Question, Scale
from offmidline.items.stream import Stream
from offmidline.plan import CasePlan
from offmidline.records import Library

STANDING = Standing("A rule", "a reason", "common practice")


@pytest.fixture(scope="module")
def library() -> Library:
    """Everything that the shipped scenarios hold."""
    return strategies.library()


@pytest.fixture(scope="module")
def planned() -> CasePlan:
    """A plain case."""
    return next(one for one in strategies.shipped_plans() if one.case.case == "ferry-deckhand")


class Bench:
    """Emits items of questions that a test makes."""

    def __init__(self, planned: CasePlan, library: Library) -> None:
        self._planned, self._library = planned, library

    def value(self, key: float, *wrong: float, seed: int = 1, scale: Scale | None = None) -> Item:
        """Value."""
        item = self.maybe(key, *wrong, seed=seed, scale=scale)
        assert item is not None
        return item

    def maybe(
        self, key: float, *wrong: float, seed: int = 1, scale: Scale | None = None
    ) -> Item | None:
        """Maybe."""
        candidates = tuple(
            Candidate(f"slip-{at}", "", value, f"Slip {at}", "so") for at, value in enumerate(wrong)
        )
        return self.emit("value", Candidate(value=key), candidates, seed, scale or Scale())

    def text(self, key: str, *wrong: str, seed: int = 1) -> Item | None:
        """Text."""
        candidates = tuple(
            Candidate(f"slip-{at}", text, None, f"Slip {at}", "so") for at, text in enumerate(wrong)
        )
        return self.emit("text", Candidate(text=key), candidates, seed, None)

    def emit(
        self,
        form: Form,
        key: Candidate,
        wrong: tuple[Candidate, ...],
        seed: int,
        scale: Scale | None,
    ) -> Item | None:
        """Emit."""
        question = Question(form, "A stem.", "What is it?", "So.", STANDING, key, wrong)
        model = ItemModel("bench", "marking", lambda _: replace(question, scale=scale))
        return emit(model, Material(self._planned, self._library, Stream(seed)))

    def ordered(self, *entries: str, seed: int = 1) -> Item | None:
        """Ordered."""
        question = Question(
            "order",
            "A stem.",
            "In which order?",
            "So.",
            STANDING,
            Candidate(),
            order=tuple(Candidate(text=text, feedback="so") for text in entries),
        )
        model = ItemModel("bench", "marking", lambda _: question)
        return emit(model, Material(self._planned, self._library, Stream(seed)))


@pytest.fixture(scope="module")
def bench(planned: CasePlan, library: Library) -> Bench:
    """Bench."""
    return Bench(planned, library)


def of_kind(bench: Bench, kind: str, key: float, *wrong: float, scale: Scale | None = None) -> Item:
    """The first item of that kind that chance gives."""
    return next(
        item
        for item in (bench.maybe(key, *wrong, seed=seed, scale=scale) for seed in range(50))
        if item is not None and item.kind == kind
    )


def test_numbers_stand_in_ascending_order_with_their_unit(bench: Bench) -> None:
    """Numbers stand in ascending order with their unit."""
    item = of_kind(bench, "choice", 30, 50, 10, 20)
    assert [one.text for one in item.options] == ["10 mm", "20 mm", "30 mm", "50 mm"]
    assert item.key == 2


def test_no_more_than_five_options_and_no_padding(bench: Bench) -> None:
    """No more than five options and no padding."""
    assert len(of_kind(bench, "choice", 30, 1, 10, 20, 50, 60, 70).options) == 5
    assert len(of_kind(bench, "choice", 30, 10, 20).options) == 3


def test_with_one_good_distractor_a_number_is_typed(bench: Bench) -> None:
    """With one good distractor a number is typed."""
    kinds = {bench.value(30, 20, seed=seed).kind for seed in range(20)}
    assert kinds == {"numeric"}


def test_both_kinds_are_asked_where_both_can_be(bench: Bench) -> None:
    """Both kinds are asked where both can be."""
    kinds = Counter(bench.value(30, 10, 20, seed=seed).kind for seed in range(200))
    assert chisquare([kinds["choice"], kinds["numeric"]]).pvalue > 0.01


@pytest.mark.parametrize(("wrong", "stays"), [(33, True), (32, False), (27, True), (28, False)])
def test_a_mistake_within_a_tenth_of_the_key_is_no_option(
    bench: Bench, wrong: float, stays: bool
) -> None:
    """A mistake within a tenth of the key is no option."""
    item = of_kind(bench, "choice", 30, wrong, 10, 50)
    assert (f"{wrong} mm" in [one.text for one in item.options]) == stays


def test_options_lie_two_displayed_units_apart_at_least(bench: Bench) -> None:
    """Options lie two displayed units apart at least."""
    scale = Scale(decimals=1, share=0.0)
    item = of_kind(bench, "choice", 3.0, 3.1, 3.2, 2.8, scale=scale)
    assert [one.text for one in item.options] == ["2.8 mm", "3.0 mm", "3.2 mm"]


def test_a_mistake_that_changes_nothing_is_no_mistake_here(bench: Bench) -> None:
    """A mistake that changes nothing is no mistake here."""
    assert bench.value(30, 30.2, 10).mistakes == ("slip-1",)


def test_the_tolerance_is_half_a_unit_and_what_reading_adds(bench: Bench) -> None:
    """Worked example of the rule: the hypotenuse of 3.0 and 4.0, each read to 0.05, told to one
    decimal: 0.07 from the readings and 0.05 from rounding make 0.12 [derived].
    """
    scale = Scale("mm", 1, reading=0.07, always_numeric=True)
    numeric = bench.value(5.0, 6.0, scale=scale).numeric
    assert numeric is not None
    assert numeric.tolerance == pytest.approx(0.12)


def test_no_item_where_a_mistake_would_count_as_right(bench: Bench) -> None:
    """No item where a mistake would count as right."""
    scale = Scale("mm", 0, step=1.0, always_numeric=True)
    assert bench.maybe(30, 33, scale=scale) is None
    assert bench.maybe(30, 34, scale=scale) is not None


def test_the_lead_in_says_unit_and_rounding(bench: Bench) -> None:
    """The lead in says unit and rounding."""
    whole = of_kind(bench, "numeric", 30, 20).lead_in
    assert whole == "What is it? Answer in whole millimetres."
    scale = Scale("ml", 1)
    assert of_kind(bench, "numeric", 30, 20, scale=scale).lead_in.endswith(
        "in millilitres, to 1 decimal."
    )


def test_words_need_two_distractors(bench: Bench) -> None:
    """Words need two distractors."""
    assert bench.text("left", "right") is None
    assert bench.text("left", "right", "Right ") is None
    item = bench.text("left", "right", "middle")
    assert item is not None
    assert {one.text for one in item.options} == {"left", "right", "middle"}


def test_the_key_stands_anywhere(bench: Bench) -> None:
    """The key stands anywhere."""
    items = [bench.text("key", "a", "b", "c", seed=seed) for seed in range(400)]
    places = Counter(item.key for item in items if item is not None)
    assert chisquare([places[at] for at in range(4)]).pvalue > 0.01


def test_numbers_that_are_chosen_from_put_the_key_anywhere(bench: Bench) -> None:
    """Numbers that are chosen from put the key anywhere."""
    scale = Scale(share=0.0)
    wrong = (2, 5, 8, 11, 40, 45, 50, 60)
    items = [bench.value(30, *wrong, seed=seed, scale=scale) for seed in range(4000)]
    places = Counter(item.key for item in items if item.kind == "choice")
    assert chisquare([places[at] for at in range(5)]).pvalue > 0.01


def test_words_that_have_an_order_stand_in_it(bench: Bench) -> None:
    """Grades are not shuffled."""
    grades = [Candidate("slip", f"grade {at}", at, "Slip", "so") for at in (0, 1, 3, 4)]
    for seed in range(30):
        item = bench.emit("text", Candidate(text="grade 2", value=2), tuple(grades), seed, None)
        assert item is not None
        texts = [one.text for one in item.options]
        assert texts == sorted(texts)
        assert {one.value for one in item.options} == {None}
        assert item.options[item.key].text == "grade 2"


def test_an_order_is_never_shown_as_it_is(bench: Bench) -> None:
    """An order is never shown as it is."""
    for seed in range(60):
        item = bench.ordered("one", "two", "three", seed=seed)
        assert item is not None
        assert [one.text for one in item.options] == ["one", "two", "three"]
        assert sorted(item.shown) == [0, 1, 2]
        assert item.shown != (0, 1, 2)


def test_two_entries_are_no_order(bench: Bench) -> None:
    """Two entries are no order."""
    assert bench.ordered("one", "two") is None


def test_the_id_follows_from_the_content(bench: Bench) -> None:
    """The id follows from the content."""
    first, again, other = bench.value(30, 10), bench.value(30, 10), bench.value(30, 11)
    assert first.ident == again.ident != other.ident
    assert len(first.ident) == 16
