"""Times after the operation: inside the window they are drawn from, and told as they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import library

from offmidline import quantities
from offmidline.items.after_operation import holds, time_in, time_words, window_words
from offmidline.items.stream import Stream
from offmidline.records.complication import Window

WINDOWS = {one.complication: one.window for one in library().complications.values()}


def window(start: str, end: str | None = None) -> Window:
    """A window as a file holds it."""
    return Window.model_validate({"from": start, "to": end} if end else {"from": start})


@given(st.sampled_from(sorted(WINDOWS)), st.integers(0, 10_000))
def test_a_time_is_drawn_in_the_window_and_told_without_rounding(name, seed):
    """It lies in the window, and its words read back to the same time."""
    months = time_in(WINDOWS[name], Stream(seed))
    assert holds(WINDOWS[name], months)
    assert quantities.parse(time_words(months), "duration") == pytest.approx(months, rel=1e-9)


@given(st.integers(0, 2000), st.integers(1, 5000), st.integers(0, 100))
def test_any_window_holds_what_is_drawn_from_it(start, length, seed):
    """Also where it starts between two whole numbers of the unit that suits."""
    drawn_from = window(f"{start} hours", f"{start + length} hours")
    assert holds(drawn_from, time_in(drawn_from, Stream(seed)))


def test_every_time_of_the_first_half_can_be_drawn():
    """Two to six days of a window of eight: no end is left out."""
    drawn = {time_words(time_in(window("2 days", "10 days"), Stream(seed))) for seed in range(80)}
    assert drawn == {"2 days", "3 days", "4 days", "5 days", "6 days"}


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        ("0 hours", "48 hours", "in the first 2 days"),
        ("3 days", "21 days", "3 days to 3 weeks afterwards"),
        ("1 minute", "2 hours", "1 minute to 2 hours afterwards"),
        ("6 weeks", None, "from 6 weeks on"),
        ("0 days", "12 months", "in the first 12 months"),
    ],
)
def test_a_window_is_told_in_whole_numbers(start, end, words):
    """The longest unit of which it is a whole number, two or more."""
    assert window_words(window(start, end)) == words


def test_the_ends_belong_to_a_window():
    """Both ends count, a moment outside does not, and an open window has no end."""
    closed, opened = window("3 days", "21 days"), window("6 weeks")
    day = float(quantities.UNITS["duration"]["day"])
    assert closed.end is not None
    assert holds(closed, closed.start)
    assert holds(closed, closed.end)
    assert not holds(closed, closed.start - day / 100)
    assert not holds(closed, closed.end + day / 100)
    assert holds(opened, 1000 * day)
