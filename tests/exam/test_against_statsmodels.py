"""Agreement of judges against a general statistics library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from statsmodels.stats.inter_rater import aggregate_raters, cohens_kappa, fleiss_kappa

from offmidline.exam.agreement import Weights, fleiss, kappa

TABLES = st.integers(2, 5).flatmap(
    lambda size: arrays(np.int64, (size, size), elements=st.integers(1, 20))
)
GIVEN = st.tuples(st.integers(2, 10), st.integers(2, 6)).flatmap(
    lambda shape: arrays(np.int64, shape, elements=st.integers(0, 3))
)


@pytest.mark.parametrize(
    ("weights", "wt"), [("none", None), ("linear", "linear"), ("quadratic", "quadratic")]
)
@given(table=TABLES)
def test_kappa_is_the_librarys(weights: Weights, wt: str | None, table: np.ndarray) -> None:
    """Value and standard error, with each kind of weights."""
    found, expected = kappa(table, weights), cohens_kappa(table, wt=wt)
    assert found is not None
    assert found.value == pytest.approx(expected.kappa, abs=1e-9)
    assert found.error == pytest.approx(np.sqrt(expected.var_kappa), abs=1e-6)


@given(ratings=GIVEN)
def test_fleiss_is_the_librarys(ratings: np.ndarray) -> None:
    """Of counts made from categories given."""
    counts, _ = aggregate_raters(ratings)
    assume(counts.shape[1] > 1)
    assert fleiss(counts) == pytest.approx(fleiss_kappa(counts), abs=1e-9)
