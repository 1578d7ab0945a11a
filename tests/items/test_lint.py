"""The linter finds each flaw that it names, and none in a sound item."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offmidline.items.item import Item, Numeric, Option, Standing
from offmidline.items.lint import FlawedItemsError, balance, lint, refuse_flawed


def option(text: str, *, right: bool = False, value: float | None = None) -> Option:
    """Option."""
    if right:
        return Option(text, "", "", "", value)
    return Option(text, f"slip-{text}", "A slip", "It is otherwise.", value)


SOUND = Item(
    model="bench",
    case="case",
    topic="marking",
    version="1",
    kind="choice",
    stem="The new midline lies to the left.",
    lead_in="To which place does the apex go?",
    explanation="So.",
    standing=Standing("A rule", "a reason", "common practice"),
    options=(option("on it", right=True), option("medial"), option("lateral")),
)
NUMBERS = replace(
    SOUND,
    options=(
        option("9 mm", value=9),
        option("10 mm", right=True, value=10),
        option("20 mm", value=20),
    ),
)
NUMERIC = Numeric(10, "mm", 0, 0.5, "rounded", (option("20 mm", value=20),))
TYPED = replace(SOUND, kind="numeric", options=(), numeric=NUMERIC)


def rules(item: Item) -> set[str]:
    """Rules."""
    return {flaw.rule for flaw in lint(item)}


@pytest.mark.parametrize("item", [SOUND, NUMBERS, TYPED])
def test_a_sound_item_has_no_flaw(item: Item) -> None:
    """A sound item has no flaw."""
    assert rules(item) == set()


def with_options(*options: Option) -> Item:
    """With options."""
    return replace(SOUND, options=options)


@pytest.mark.parametrize(
    ("rule", "item"),
    [
        ("no question mark", replace(SOUND, lead_in="Say where the apex goes.")),
        ("negative lead-in", replace(SOUND, lead_in="Which is NOT so?")),
        ("negative lead-in", replace(SOUND, lead_in="All fit except which?")),
        (
            "all or none of the above",
            with_options(option("a", right=True), option("b"), option("none of the above")),
        ),
        (
            "absolute word in distractors alone",
            with_options(option("at times", right=True), option("never so"), option("by day")),
        ),
        (
            "key longer than the options",
            with_options(
                option("a longer text by far", right=True), option("brief"), option("thin")
            ),
        ),
        (
            "options unlike each other",
            with_options(option("1 mm", right=True), option("2 cm"), option("3 mm")),
        ),
        (
            "options unlike each other",
            with_options(option("1 mm", right=True), option("2.5 mm"), option("3 mm")),
        ),
        (
            "options unlike each other",
            with_options(option("1 mm", right=True), option("far off"), option("3 mm")),
        ),
        (
            "numbers out of order",
            with_options(
                option("3 mm", right=True, value=3),
                option("1 mm", value=1),
                option("5 mm", value=5),
            ),
        ),
        (
            "option twice or part of another",
            with_options(option("medial", right=True), option("Medial "), option("lateral")),
        ),
        (
            "option twice or part of another",
            with_options(option("edge", right=True), option("medial edge"), option("apex")),
        ),
        (
            "word of the stem in the key alone",
            with_options(option("on the midline", right=True), option("above"), option("below it")),
        ),
        (
            "wrong answer without mistake or feedback",
            with_options(option("a", right=True), option("b"), Option("c", "slip", "", "")),
        ),
        (
            "wrong answer without mistake or feedback",
            with_options(option("a", right=True), option("b", right=True), option("c")),
        ),
        (
            "tolerance too wide",
            replace(TYPED, numeric=replace(NUMERIC, tolerance=5.0)),
        ),
        (
            "fewer than three or more than five options",
            with_options(option("a", right=True), option("b")),
        ),
    ],
)
def test_each_flaw_is_found(rule: str, item: Item) -> None:
    """Each flaw is found."""
    assert rule in rules(item)


def test_an_item_that_asks_for_what_is_not_so_may_say_so() -> None:
    """An item that asks for what is not so may say so."""
    assert rules(replace(SOUND, lead_in="Which is not so?", negative=True)) == set()


def test_a_word_that_begins_another_is_no_part_of_it() -> None:
    """Grade II is not contained in grade III."""
    grades = with_options(option("grade II", right=True), option("grade III"), option("grade IV"))
    assert rules(grades) == set()


def test_errors_refuse_and_warnings_do_not() -> None:
    """Errors refuse and warnings do not."""
    long_key = with_options(
        option("a longer text by far", right=True), option("brief"), option("thin")
    )
    refuse_flawed([SOUND, long_key])
    with pytest.raises(FlawedItemsError, match="no question mark"):
        refuse_flawed([SOUND, replace(SOUND, lead_in="Say.")])


def test_keys_that_stand_in_one_place_are_told() -> None:
    """30 keys in the first of three places: chi-square 60 on 2 degrees of freedom, p = exp(-30)."""
    assert balance([SOUND] * 30)[3] == pytest.approx(9.357622968840175e-14)
    shifted = [replace(SOUND, options=SOUND.options[at:] + SOUND.options[:at]) for at in (0, 1, 2)]
    assert balance(shifted * 10)[3] == pytest.approx(1.0)
