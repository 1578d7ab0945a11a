"""Answers to items, judged: every kind, every edge of a tolerance, everything that may be typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offmidline.items.item import Item, Kind, Numeric, Option, Standing
from offmidline.items.score import Scored, UnreadableNumberError, read_number, score

STANDING = Standing("A rule", "For a reason.", "common practice")


def item(kind: Kind, options: tuple[Option, ...] = (), numeric: Numeric | None = None) -> Item:
    """An item of a kind; nothing but its answers matters."""
    return Item(
        model="m",
        case="c",
        topic="marking",
        version="1",
        kind=kind,
        stem="",
        lead_in="?",
        explanation="",
        standing=STANDING,
        options=options,
        numeric=numeric,
    )


def wrong(name: str, value: float | None = None) -> Option:
    """The answer of a mistake, with words that tell it from others."""
    return Option(name, name, f"Title {name}", f"Feedback {name}", value)


def number(value: float, tolerance: float, *slips: float) -> Item:
    """An item that asks for a number, with a slip named after each value."""
    options = tuple(wrong(f"slip-{at}", slip) for at, slip in enumerate(slips))
    return item("numeric", numeric=Numeric(value, "mm", 1, tolerance, "why", options))


CHOICE = item("choice", (wrong("first"), Option("key", "", "", ""), wrong("last")))
ORDER = item("order", tuple(Option(t, "", f"Step {t}", f"Because {t}") for t in "abcd"))


@pytest.mark.parametrize("kind", ["choice", "drawing", "fault"])
def test_an_option_is_right_or_its_own_mistake(kind):
    """The key counts, and every other option says which mistake it stands for."""
    asked = item(kind, CHOICE.options)
    assert score(asked, 1) == Scored(True, option=1)
    assert score(asked, 0) == Scored(False, "first", "Title first", "Feedback first", 0)
    assert score(asked, 2) == Scored(False, "last", "Title last", "Feedback last", 2)


@pytest.mark.parametrize("answer", [-1, 3, "1", [0, 1, 2]])
def test_what_is_no_option_is_refused(answer):
    """Counting from the end would find an option, and must not."""
    with pytest.raises(ValueError, match="chosen"):
        score(CHOICE, answer)


def test_an_order_counts_as_a_whole():
    """The first wrong place tells which entry belongs there, and why."""
    assert score(ORDER, [0, 1, 2, 3]) == Scored(True)
    assert score(ORDER, (0, 2, 1, 3)) == Scored(False, "", "Step b", "Because b", 1)
    assert score(ORDER, [3, 1, 2, 0]).option == 0


@pytest.mark.parametrize("answer", [[0, 1, 2], [0, 0, 1, 2], [0, 1, 2, 4], "0123", 2])
def test_an_order_that_leaves_something_out_is_refused(answer):
    """Each entry has one place."""
    with pytest.raises(ValueError, match="place"):
        score(ORDER, answer)


# For these keys and tolerances the sum or the difference in floating point misses the bound itself.
@given(
    key=st.integers(1, 199), tolerance=st.sampled_from([1, 2, 3, 5]), sign=st.sampled_from([-1, 1])
)
def test_a_bound_itself_counts_and_what_lies_beyond_does_not(key, tolerance, sign):
    """All in tenths, as they are typed; 0.6 + 0.3 is less than 0.9 in floating point."""
    asked = number(key / 10, tolerance / 10)
    assert score(asked, f"{(key + sign * tolerance) / 10:.1f}").right
    assert not score(asked, f"{(key + sign * tolerance) / 10 + sign * 0.001:.4f}").right


def test_a_number_of_a_mistake_is_recognised():
    """Within the same tolerance; the nearest of two, the first where they are as near."""
    asked = number(30.0, 0.5, 20.0, 20.8, 10.0)
    assert score(asked, "30.5").right
    assert score(asked, "20.1").mistake == "slip-0"
    assert score(asked, "20.5").mistake == "slip-1"
    assert score(asked, "20.4").mistake == "slip-0"
    assert score(asked, "9.5").option == 2
    assert score(asked, "25") == Scored(False)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("30", 30),
        (" 30.5 ", 30.5),
        ("30,5", 30.5),
        ("−4", -4),
        ("-4,25", -4.25),
        ("+7", 7),
        ("0,125", 0.125),
        ("21.213", 21.213),
        ("1234", 1234),
        ("1234,5", 1234.5),
        ("\u00a012\u00a0", 12),
        ("007", 7),
    ],
)
def test_what_is_a_number(typed, value):
    """Point or comma, either minus, spaces around it, any number of digits."""
    assert read_number(typed) == value


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("1,200", "thousands"),
        ("-1,200", "thousands"),
        ("1 200", "thousands"),
        ("1\u202f200", "thousands"),
        ("1'200,5", "thousands"),
        ("1,200.5", "thousands"),
        ("1.200,5", "thousands"),
        ("1,234,567", "thousands"),
        ("1.234.567", "thousands"),
        ("30 mm", "no_number"),
        ("thirty", "no_number"),
        ("1e3", "no_number"),
        (".5", "no_number"),
        ("5.", "no_number"),
        ("1.2.3", "no_number"),
        ("--3", "no_number"),
        ("٣", "no_number"),
        ("nan", "no_number"),
        ("30\n31", "no_number"),
    ],
)
def test_what_is_none_says_why(typed, fault):
    """A thousands separator is told from other faults, as it looks like a decimal one."""
    with pytest.raises(UnreadableNumberError) as refused:
        read_number(typed)
    assert refused.value.fault == fault
    with pytest.raises(UnreadableNumberError):
        score(number(30.0, 0.5), typed)


@given(st.floats(-1e6, 1e6, allow_nan=False), st.integers(0, 6))
def test_every_written_decimal_is_read_back(value, decimals):
    """With a point; with a comma unless three digits follow it, which could be thousands."""
    text = f"{value:.{decimals}f}"
    assert read_number(text) == float(text)
    if decimals != 3:
        assert read_number(text.replace(".", ",").replace("-", "−")) == float(text)


def test_a_number_that_was_not_typed_is_refused():
    """A position must not pass for a number."""
    with pytest.raises(ValueError, match="typed"):
        score(number(30.0, 0.5), 30)
