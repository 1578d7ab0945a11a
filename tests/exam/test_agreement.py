"""Agreement of judges, against published and derived values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from offmidline.exam.agreement import (
    Weights,
    crossed,
    first_order,
    fleiss,
    icc,
    kappa,
    prevalence_adjusted,
)
from offmidline.exam.reliability import alpha

EXACT = 1e-6
PARADOX = [[90, 5], [5, 0]]
FOUR = [[11, 3, 1, 0], [1, 9, 2, 0], [0, 1, 8, 4], [0, 0, 2, 8]]
# Six targets and four judges [shrout-fleiss-1979, from memory].
SIX_BY_FOUR = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
# Ten targets, fourteen judges, five categories [fleiss-1971, from memory].
FOURTEEN = """
0 0 0 0 14 | 0 2 6 4 2 | 0 0 3 5 6 | 0 3 9 2 0 | 2 2 8 1 1
| 7 7 0 0 0 | 3 2 6 3 0 | 2 5 3 2 2 | 6 5 2 1 0 | 0 2 2 3 7
"""
TABLES = st.integers(2, 5).flatmap(
    lambda size: arrays(np.int64, (size, size), elements=st.integers(0, 20))
)
RATINGS = st.tuples(st.integers(2, 8), st.integers(2, 5)).flatmap(
    lambda shape: arrays(np.int64, shape, elements=st.integers(0, 10))
)


def test_kappa_of_a_worked_example() -> None:
    """[[20,5],[10,15]]: .4 with standard error .126996 [cohen-1960, from memory; derived]."""
    found = kappa([[20, 5], [10, 15]])
    assert found is not None
    assert (found.value, found.error) == pytest.approx((0.4, 0.126996), abs=EXACT)


@pytest.mark.parametrize(
    ("weights", "value", "error"),
    [
        ("none", 0.626667, 0.084323),
        ("linear", 0.758065, 0.059293),
        ("quadratic", 0.861789, 0.042370),
    ],
)
def test_weighted_kappa_of_four_grades(weights: Weights, value: float, error: float) -> None:
    """The values of statsmodels [cohen-1968, from memory; derived]."""
    found = kappa(FOUR, weights)
    assert found is not None
    assert (found.value, found.error) == pytest.approx((value, error), abs=EXACT)


def test_the_paradox_of_prevalence() -> None:
    """Nine of ten alike, and a kappa below 0 [feinstein-cicchetti-1990, byrt-1993, gwet-2008, from
    memory].
    """
    found = kappa(PARADOX)
    assert found is not None
    assert found.value == pytest.approx(-0.052632, abs=EXACT)
    assert prevalence_adjusted(PARADOX) == pytest.approx(0.8)
    assert first_order(PARADOX) == pytest.approx(0.889503, abs=EXACT)


def test_fleiss_of_fourteen_judges() -> None:
    """.209931, published as .210 [fleiss-1971, from memory]."""
    counts = [[int(count) for count in row.split()] for row in FOURTEEN.split("|")]
    assert fleiss(counts) == pytest.approx(0.209931, abs=EXACT)


def test_the_six_correlations() -> None:
    """Published as .17 .29 .71 .44 .62 .91 [shrout-fleiss-1979, from memory]; the last is alpha."""
    found = icc(SIX_BY_FOUR)
    assert found is not None
    assert (found.one_way, found.agreement, found.consistency) == pytest.approx(
        (0.165742, 0.289764, 0.714841), abs=EXACT
    )
    assert (found.one_way_mean, found.agreement_mean, found.consistency_mean) == pytest.approx(
        (0.442797, 0.620051, 0.909316), abs=EXACT
    )


@given(ratings=RATINGS)
def test_the_consistency_of_the_mean_is_alpha(ratings: np.ndarray) -> None:
    """ICC(C,k) is Cronbach's alpha with judges for questions."""
    found, expected = icc(ratings), alpha(ratings)
    if found is None or expected is None:
        assert found is None
        assert expected is None
        return
    assert found.consistency_mean == pytest.approx(expected, abs=1e-9)


@given(table=TABLES)
def test_perfect_agreement_is_one(table: np.ndarray) -> None:
    """Only the diagonal: kappa 1 with any weights and no error; None where one category is used."""
    counts = np.diag(np.diag(table))
    if not counts.sum():
        return
    for weights in ("none", "linear", "quadratic"):
        found = kappa(counts, weights)
        if np.count_nonzero(counts) == 1:
            assert found is None
        else:
            assert found is not None
            assert (found.value, found.error) == pytest.approx((1, 0), abs=1e-6)


@given(table=TABLES)
def test_judges_can_change_places(table: np.ndarray) -> None:
    """The transposed table has the same kappas, PABAK and AC1; none of them is above 1."""
    if not table.sum():
        return
    for weights in ("none", "linear", "quadratic"):
        one, other = kappa(table, weights), kappa(table.T, weights)
        assert (one is None) == (other is None)
        if one and other:
            assert one.value == pytest.approx(other.value)
            assert one.value <= 1 + 1e-9
            assert -1 <= one.low <= one.high <= 1
    assert prevalence_adjusted(table) == pytest.approx(prevalence_adjusted(table.T))
    assert first_order(table) == pytest.approx(first_order(table.T))


def test_two_judges_are_crossed() -> None:
    """Rows are the first judge's categories, columns the second's."""
    found = crossed(["a", "b", "a"], ["a", "a", "b"], ["a", "b"])
    assert found.tolist() == [[1, 1], [1, 0]]


def test_nothing_to_compare() -> None:
    """One judge, one target, no differences, one category: None."""
    assert icc([[1], [2]]) is None
    assert icc([[1, 2]]) is None
    assert icc([[1, 2], [1, 2]]) is None
    assert fleiss([[3, 0], [3, 0]]) is None
