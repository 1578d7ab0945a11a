"""Reliability, against printed values and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from tests.exam.cohort import invented, lsat_6

from offmidline.exam.reliability import (
    alpha,
    alpha_if_deleted,
    alpha_interval,
    error_of_measurement,
    feldt,
    kr20,
    kr21,
    lengthened,
    times_as_long,
)

EXACT = 1e-6
MARKS = st.tuples(st.integers(2, 12), st.integers(2, 8)).flatmap(
    lambda shape: arrays(np.int64, shape, elements=st.integers(0, 1))
)
RATIOS = st.floats(0.05, 0.95)


def test_a_thousand_candidates_of_five_questions() -> None:
    """LSAT section 6 [bock-lieberman-1970, from memory; coefficients derived]."""
    marks = lsat_6()
    totals = marks.sum(axis=1)
    assert np.bincount(totals).tolist() == [3, 20, 85, 237, 357, 298]
    assert totals.var(ddof=1) == pytest.approx(1.071310, abs=EXACT)
    found = alpha(marks)
    assert found == pytest.approx(0.294997, abs=EXACT)
    assert kr20(marks) == pytest.approx(0.294997, abs=EXACT)
    assert kr21(marks) == pytest.approx(0.196441, abs=EXACT)
    assert found is not None
    error = error_of_measurement(float(totals.std(ddof=1)), found)
    assert error == pytest.approx(0.869067, abs=EXACT)
    assert lengthened(found, 10) == pytest.approx(0.807111, abs=EXACT)
    without = (0.275356, 0.237584, 0.216799, 0.245933, 0.266294)
    assert alpha_if_deleted(marks) == pytest.approx(without, abs=EXACT)


def test_twelve_invented_candidates() -> None:
    """The invented paper [derived]."""
    marks = invented().right
    found = alpha(marks)
    assert found == pytest.approx(0.813629, abs=EXACT)
    assert found is not None
    assert kr20(marks) == pytest.approx(0.813629, abs=EXACT)
    without = (0.772506, 0.776869, 0.801991, 0.798851, 0.758929, 0.793556)
    assert alpha_if_deleted(marks) == pytest.approx(without, abs=EXACT)
    deviation = float(marks.sum(axis=1).std(ddof=1))
    assert deviation == pytest.approx(2.108784, abs=EXACT)
    assert error_of_measurement(deviation, found) == pytest.approx(0.910378, abs=EXACT)


def test_worked_examples_of_error_and_length() -> None:
    """SD 8 and .84 give 3.2; from .70 to .80 takes 1.714286 times the length [derived]."""
    assert error_of_measurement(8, 0.84) == pytest.approx(3.2)
    assert times_as_long(0.70, 0.80) == pytest.approx(1.714286, abs=EXACT)
    assert times_as_long(0.0, 0.80) is None
    assert times_as_long(-0.2, 0.80) is None


@given(marks=MARKS)
def test_alpha_of_right_and_wrong_is_kr20(marks: np.ndarray) -> None:
    """On marks of 0 and 1 the two are one number, and KR-21 is never above it."""
    one, other, rough = alpha(marks), kr20(marks), kr21(marks)
    if one is None or other is None or rough is None:
        assert one is other is rough is None
        return
    assert one == pytest.approx(other, abs=1e-9)
    assert rough <= other + 1e-9


@given(marks=MARKS, data=st.data())
def test_the_order_of_candidates_and_questions_does_not_matter(
    marks: np.ndarray, data: st.DataObject
) -> None:
    """Rows and columns in another order give the same alpha, and its own without each question."""
    rows = data.draw(st.permutations(range(len(marks))))
    columns = data.draw(st.permutations(range(marks.shape[1])))
    shuffled = marks[rows][:, columns]
    assert alpha(shuffled) == (None if alpha(marks) is None else pytest.approx(alpha(marks)))
    before, after = alpha_if_deleted(marks), alpha_if_deleted(shuffled)
    for at, column in enumerate(columns):
        expected = before[column]
        assert after[at] == (None if expected is None else pytest.approx(expected))


@given(marks=MARKS)
def test_alpha_without_a_question_is_that_of_the_rest(marks: np.ndarray) -> None:
    """The short way gives what leaving the column out gives."""
    for at, found in enumerate(alpha_if_deleted(marks)):
        expected = alpha(np.delete(marks, at, axis=1))
        assert found == (None if expected is None else pytest.approx(expected, abs=1e-9))


@given(marks=MARKS)
def test_the_interval_holds_alpha(marks: np.ndarray) -> None:
    """Alpha lies between the ends of its interval."""
    found = alpha_interval(marks)
    assume(found is not None)
    assert found is not None
    assert found.low <= found.value <= found.high <= 1


def test_the_interval_of_a_published_example() -> None:
    """Alpha .591719 of 15 candidates and 10 questions: .195 to .840 [pingouin-0.7]."""
    found = feldt(0.591719, 15, 10)
    assert (found.low, found.high) == pytest.approx((0.195, 0.840), abs=5e-4)


@given(reliability=RATIOS, wanted=RATIOS)
def test_lengthening_reaches_what_was_wanted(reliability: float, wanted: float) -> None:
    """The length that a reliability asks for gives that reliability."""
    times = times_as_long(reliability, wanted)
    assert times is not None
    assert lengthened(reliability, times) == pytest.approx(wanted)


@pytest.mark.parametrize("marks", [[[1], [0]], [[1, 0]], [[1, 0], [0, 1]], [[1, 1], [1, 1]]])
def test_where_totals_do_not_differ_there_is_no_reliability(marks: list) -> None:
    """One question, one candidate, or the same total for all: None, without a warning."""
    assert alpha(marks) is None
    assert kr20(marks) is None
    assert kr21(marks) is None
    assert alpha_interval(marks) is None
    assert len(alpha_if_deleted(marks)) == len(marks[0])
