"""Chances from a seed: the same everywhere, even, and kept apart by their names."""

from __future__ import annotations

import hashlib
import hmac
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chisquare

from offmidline.items.stream import Stream


def test_a_number_is_the_remainder_of_a_keyed_hash_of_its_place() -> None:
    """HMAC-SHA256 as of RFC 2104, by the library's own hmac.new."""
    secret = hmac.new(b"key", b"paper\x1f7", hashlib.sha256).digest()
    first = hmac.new(secret, (1).to_bytes(8, "big"), hashlib.sha256).digest()[:8]
    assert Stream("paper", 7, key=b"key").below(1000) == int.from_bytes(first, "big") % 1000


def test_the_first_numbers_of_a_seed_stay_what_they_are() -> None:
    """On every machine and in every version: a paper can be made again."""
    stream = Stream("paper", 7)
    assert [stream.below(100) for _ in range(5)] == [81, 44, 17, 66, 88]
    assert Stream("paper", 7).shuffled("abcdef") == list("dacbef")


def test_what_was_drawn_does_not_change_a_fork() -> None:
    """What was drawn does not change a fork."""
    used, fresh = Stream("a"), Stream("a")
    used.below(10)
    assert used.fork("b").below(10**9) == fresh.fork("b").below(10**9)


def test_another_name_and_another_key_draw_other_numbers() -> None:
    """Another name and another key draw other numbers."""
    drawn = {
        Stream("a").below(10**12),
        Stream("b").below(10**12),
        Stream("a", key=b"k").below(10**12),
        Stream("a").fork("b").below(10**12),
    }
    assert len(drawn) == 4


def test_numbers_and_orders_are_even() -> None:
    """Numbers and orders are even."""
    stream = Stream("even")
    numbers = Counter(stream.below(6) for _ in range(6000))
    assert chisquare([numbers[at] for at in range(6)]).pvalue > 0.01
    orders = Counter("".join(stream.shuffled("abc")) for _ in range(6000))
    assert len(orders) == 6
    assert chisquare(list(orders.values())).pvalue > 0.01


@given(st.lists(st.integers(), unique=True), st.integers(0, 12))
def test_some_of_a_list_keep_their_order(things: list[int], count: int) -> None:
    """Some of a list keep their order."""
    some = Stream("some", len(things)).some(things, count)
    assert len(some) == min(count, len(things))
    assert some == [thing for thing in things if thing in some]


def test_nothing_cannot_be_drawn_from() -> None:
    """Nothing cannot be drawn from."""
    with pytest.raises(ValueError, match="nothing to draw from"):
        Stream("a").below(0)
