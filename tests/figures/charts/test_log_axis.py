"""The axis of equal factors, and places side by side."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from offmidline.figures.charts.follow_up import side_by_side
from offmidline.figures.charts.log_axis import LogAxis, rounded

POSITIVE = st.floats(1e-4, 1e4)


@given(POSITIVE, st.floats(1.5, 1e6), st.floats(0, 1))
def test_equal_factors_take_equal_room(low: float, times: float, share: float) -> None:
    """A value lies on the axis where its share of the whole factor puts it."""
    axis = LogAxis(low, low * times, 20.0, 120.0)
    assert axis.at(low * times**share) == pytest.approx(20 + 100 * share, abs=1e-6)
    x, _ = axis.frame(0.0).at(np.log10(low * times**share), 0.0)
    assert x == pytest.approx(axis.at(low * times**share), abs=1e-6)


@given(POSITIVE, st.floats(2, 1e6))
def test_ticks_are_round_and_apart(low: float, times: float) -> None:
    """Every tick lies on the axis, is 1, 2, 3 or 5 times a power of ten as its text says, and its
    text keeps off the next one.
    """
    axis = LogAxis(*rounded([low, low * times]), 20.0, 62.0)
    ticks = axis.ticks()
    assert ticks
    for tick in ticks:
        assert axis.low * (1 - 1e-8) <= tick.value <= axis.high * (1 + 1e-8)
        assert float(tick.text) == pytest.approx(tick.value)
        assert f"{tick.value:.0e}"[0] in "1235"
    for one, other in pairwise(ticks):
        assert axis.at(other.value) - axis.at(one.value) > (one.width + other.width) / 2


@given(st.lists(POSITIVE, min_size=1))
def test_rounded_ends_hold_all_values(values: list[float]) -> None:
    """The ends lie beyond the values, by less than a factor of 2.5."""
    low, high = rounded(values)
    assert low <= min(values) * (1 + 1e-8)
    assert high >= max(values) * (1 - 1e-8)
    assert min(values) / low < 2.5 * (1 + 1e-8)
    assert high / max(values) < 2.5 * (1 + 1e-8)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30).map(sorted), st.floats(0.5, 4))
def test_marks_side_by_side_keep_their_order(wanted: list[float], step: float) -> None:
    """Marks lie at least a step apart, in order, about the same middle; those with room stay."""
    places = side_by_side(wanted, step)
    assert (np.diff(places) >= step - 1e-9).all()
    assert places.mean() == pytest.approx(np.mean(wanted), abs=1e-6)
    if all(other - one >= step for one, other in pairwise(wanted)):
        assert places == pytest.approx(wanted, abs=1e-9)


def test_two_marks_at_one_place_part_evenly() -> None:
    """Each goes half a step aside."""
    assert side_by_side([10.0, 10.0], 3.0) == pytest.approx([8.5, 11.5])
