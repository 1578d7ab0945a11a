"""The learning curve against the formulas of the sequential test and its check numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offmidline.learning_curve import Plan

# p0, p1, alpha, beta; s, h0, h1; clean run, straight failures. Computed from wald-1947's formulas;
# in three rows the failures meet the upper line exactly.
CHECKS = [
    ((0.05, 0.10, 0.1, 0.1), (0.072358, -2.940554, 2.940554), (41, 4)),
    ((0.05, 0.15, 0.1, 0.1), (0.091934, -1.816131, 1.816131), (20, 2)),
    ((0.10, 0.15, 0.1, 0.1), (0.123553, -4.749487, 4.749487), (39, 6)),
    ((0.10, 0.20, 0.1, 0.1), (0.145244, -2.709511, 2.709511), (19, 4)),
    ((0.20, 0.40, 0.1, 0.1), (0.293305, -2.240170, 2.240170), (8, 4)),
    ((0.04, 0.08, 0.1, 0.1), (0.057849, -2.986549, 2.986549), (52, 4)),
    ((0.05, 0.10, 0.05, 0.20), (0.072358, -2.085271, 3.710566), (29, 4)),
    ((0.10, 0.20, 0.05, 0.20), (0.145244, -1.921429, 3.419023), (14, 4)),
    ((0.10, 0.25, 0.05, 0.20), (0.165956, -1.418284, 2.523719), (9, 4)),
]
SEQUENCE = [bool(int(x)) for x in "00100010000010000000"]
RATES = st.tuples(st.floats(0.01, 0.4), st.floats(1.2, 2.2)).map(
    lambda pair: (pair[0], pair[0] * pair[1])
)


@pytest.mark.parametrize(("given_", "lines", "runs"), CHECKS)
def test_lines_and_runs(
    given_: tuple[float, float, float, float],
    lines: tuple[float, float, float],
    runs: tuple[int, int],
) -> None:
    """Step, lines and the shortest runs to them are those of the formulas (wald-1947)."""
    plan = Plan(*given_)
    assert (plan.step, plan.lower, plan.upper) == pytest.approx(lines, abs=5e-7)
    assert (plan.clean_run, plan.straight_failures) == runs


def test_the_path_of_a_sequence() -> None:
    """A sequence of twenty cases gives the known sums, with their maximum at case 13."""
    path = Plan(0.10, 0.20, 0.1, 0.1).path(SEQUENCE)
    assert path[:3] == pytest.approx((-0.145244, -0.290489, 0.564267), abs=5e-7)
    assert max(path) == path[12] == pytest.approx(1.111823, abs=5e-7)
    last = (0.676090, 0.530846, 0.385602, 0.240357, 0.095113)
    assert path[-5:] == pytest.approx(last, abs=5e-7)


@given(RATES, st.floats(0.01, 0.3), st.floats(0.01, 0.3))
def test_runs_are_the_shortest_that_reach_a_line(
    rates: tuple[float, float], alpha: float, beta: float
) -> None:
    """A clean run meets the lower line with its last case and no earlier; so do failures above."""
    plan = Plan(*rates, alpha, beta)
    clean = plan.path([False] * plan.clean_run)
    failed = plan.path([True] * plan.straight_failures)
    assert plan.crossings(clean) == ((plan.clean_run, "acceptable"),)
    assert plan.crossings(failed) == ((plan.straight_failures, "suspected"),)


@given(RATES)
def test_a_rate_of_s_keeps_the_sum_level(rates: tuple[float, float]) -> None:
    """The step lies between the two rates, so that one of them lowers the sum and one raises it."""
    plan = Plan(*rates, 0.1, 0.1)
    assert plan.acceptable < plan.step < plan.unacceptable


@pytest.mark.parametrize(
    "wrong",
    [(0.2, 0.1, 0.1, 0.1), (0.0, 0.1, 0.1, 0.1), (0.1, 1.0, 0.1, 0.1), (0.1, 0.2, 0.5, 0.1)],
)
def test_rates_out_of_order_are_refused(wrong: tuple[float, float, float, float]) -> None:
    """Rates that cannot be told apart, or error rates of a half, are an error."""
    with pytest.raises(ValueError, match="rates"):
        Plan(*wrong)
