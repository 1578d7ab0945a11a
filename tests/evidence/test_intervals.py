"""Intervals of published counts, against printed values and a general statistics library."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, norm
from scipy.stats.contingency import odds_ratio as library_odds_ratio
from scipy.stats.contingency import relative_risk as library_relative_risk

from offmidline.evidence import odds_ratio, per_hundred, relative_risk, risk_difference, wilson

PATIENTS = st.integers(1, 900)


@st.composite
def arms(draw: st.DrawFn, least: int = 0) -> tuple[int, int, int, int]:
    """Two groups with events in each, at least so many, and at least so many without."""
    first, second = (draw(st.integers(2 * least + 1, 900)) for _ in range(2))
    return (
        draw(st.integers(least, first - least)),
        first,
        draw(st.integers(least, second - least)),
        second,
    )


def test_a_forest_row_is_the_worked_example() -> None:
    """4/176 against 20/176: RR 0.20 (0.07-0.57), OR 0.18 (0.06-0.54), RD -9.1 (-14.3 to -3.9)
    points [kendirci-2016]; the ratios are arithmetic on its counts.
    """
    counts = (4, 176, 20, 176)
    risk, odds, difference = relative_risk(*counts), odds_ratio(*counts), risk_difference(*counts)
    assert (risk.value, risk.low, risk.high) == pytest.approx((0.20, 0.07, 0.57), abs=0.005)
    assert (odds.value, odds.low, odds.high) == pytest.approx((0.18, 0.06, 0.54), abs=0.005)
    points = [100 * value for value in (difference.value, difference.low, difference.high)]
    assert points == pytest.approx([-9.1, -14.3, -3.9], abs=0.05)


@pytest.mark.parametrize(
    ("counts", "expected"),
    [
        ((34, 366, 85, 431), (0.47, 0.32, 0.68)),  # pronk-2018
        ((36, 154, 85, 431), (1.19, 0.84, 1.67)),  # pronk-2018
        ((2, 68, 10, 62), (0.18, 0.04, 0.80)),  # bakirkoy-2012
        ((2, 25, 6, 25), (0.33, 0.07, 1.50)),  # sozen-2011
        ((3, 40, 21, 40), (0.14, 0.05, 0.44)),  # vogel-1992
        ((288, 3955, 411, 3733), (0.66, 0.57, 0.76)),  # fudickar-2012
        ((32, 3955, 56, 3733), (0.54, 0.35, 0.83)),  # fudickar-2012
    ],
)
def test_relative_risks_of_published_counts(
    counts: tuple[int, int, int, int], expected: tuple[float, float, float]
) -> None:
    """Ratios and intervals of the counts in the publications named beside them."""
    found = relative_risk(*counts)
    assert (found.value, found.low, found.high) == pytest.approx(expected, abs=0.0051)


@pytest.mark.parametrize(
    ("events", "of", "percent"),
    [
        (15, 92, (16.3, 10.1, 25.2)),  # recurrent-kf-92
        (8, 92, (8.7, 4.5, 16.2)),
        (6, 92, (6.5, 3.0, 13.5)),
        (2, 92, (2.2, 0.6, 7.6)),
        (1, 92, (1.1, 0.2, 5.9)),
    ],
)
def test_shares_of_published_counts(
    events: int, of: int, percent: tuple[float, float, float]
) -> None:
    """Percentages and Wilson intervals of the counts in the publications named beside them."""
    found = wilson(events, of)
    shown = [100 * value for value in (found.value, found.low, found.high)]
    assert shown == pytest.approx(percent, abs=0.051)


def test_wilson_of_a_worked_example() -> None:
    """21 of 30: 0.521242 to 0.833353 [wilson-1927, from memory]."""
    found = wilson(21, 30)
    assert (found.low, found.high) == pytest.approx((0.521242, 0.833353), abs=1e-6)


@given(of=PATIENTS, data=st.data())
def test_wilson_is_the_librarys(of: int, data: st.DataObject) -> None:
    """The interval is that of scipy, for any counts."""
    events = data.draw(st.integers(0, of))
    expected = binomtest(events, of).proportion_ci(0.95, "wilson")
    found = wilson(events, of)
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-9)
    assert 0 <= found.low <= found.value <= found.high <= 1


@given(counts=arms(least=1))
def test_relative_risk_is_the_librarys(counts: tuple[int, int, int, int]) -> None:
    """Ratio and interval are those of scipy."""
    found = relative_risk(*counts)
    expected = library_relative_risk(*counts)
    ends = expected.confidence_interval(0.95)
    assert found.value == pytest.approx(expected.relative_risk)
    assert (found.low, found.high) == pytest.approx((ends.low, ends.high))


@given(counts=arms(least=1))
def test_odds_ratio_is_the_librarys(counts: tuple[int, int, int, int]) -> None:
    """Ratio and interval are those of scipy's sample odds ratio."""
    events, of, other, other_of = counts
    expected = library_odds_ratio([[events, of - events], [other, other_of - other]], kind="sample")
    ends = expected.confidence_interval(0.95)
    found = odds_ratio(*counts)
    assert found.value == pytest.approx(expected.statistic)
    assert (found.low, found.high) == pytest.approx((ends.low, ends.high))


@given(counts=arms())
def test_swapping_the_groups_turns_the_comparison_round(
    counts: tuple[int, int, int, int],
) -> None:
    """Second against first is the inverse ratio, and the difference with the other sign."""
    swapped = (*counts[2:], *counts[:2])
    there, back = risk_difference(*counts), risk_difference(*swapped)
    assert (there.value, there.low) == pytest.approx((-back.value, -back.high))
    if counts[0] == counts[2] == 0:
        return
    for measure in (relative_risk, odds_ratio):
        one, other = measure(*counts), measure(*swapped)
        assert one.value * other.value == pytest.approx(1)
        assert one.low * other.high == pytest.approx(1)
        assert one.corrected == other.corrected


def test_an_empty_cell_gets_a_half() -> None:
    """0/68 against 14/62 [bakirkoy-2012]: a half in each cell, and said so."""
    found = relative_risk(0, 68, 14, 62)
    assert found.corrected
    assert found.value == pytest.approx(0.5 / 69 / (14.5 / 63))
    assert not relative_risk(1, 68, 14, 62).corrected


@pytest.mark.parametrize("counts", [(0, 9, 0, 9), (5, 4, 1, 9), (-1, 4, 1, 9), (0, 0, 1, 9)])
def test_counts_that_cannot_be_are_refused(counts: tuple[int, int, int, int]) -> None:
    """No events at all, more events than persons, nobody: no ratio."""
    with pytest.raises(ValueError, match="no "):
        relative_risk(*counts)


@pytest.mark.parametrize(
    ("share", "persons"), [(0.163, 16), (0.165, 17), (0.0109, 1), (0.0, 0), (1.0, 100)]
)
def test_natural_frequencies_are_whole_persons(share: float, persons: int) -> None:
    """So many of 100, halves rounded up."""
    assert per_hundred(share) == persons


def test_the_quantile_is_that_of_the_normal_distribution() -> None:
    """The normal quantile of 0.975."""
    from offmidline.evidence.proportion import Z

    assert pytest.approx(float(norm.ppf(0.975))) == Z
