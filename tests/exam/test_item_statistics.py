"""Statistics of questions, against printed values, scipy, and what an order must not change."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import pointbiserialr
from tests.exam.cohort import INVENTED_KEY, choices, invented, lsat_6, sheet

from offmidline.exam.item_statistics import (
    ItemStatistic,
    correlation,
    discrimination,
    group_size,
    item_statistics,
)
from offmidline.exam.marks import Marks, marks_of

EXACT = 1e-6
# Mean totals by option A to D, of those who chose it; None where nobody did [derived].
MEAN_TOTALS = (
    (None, 5.0, 2.3333, 0.0),
    (4.7778, 1.3333, None, None),
    (0.0, None, 2.5, 4.6667),
    (2.0, None, 4.875, None),
    (5.2857, 3.0, None, 1.75),
    (3.0, 5.3333, 2.4, None),
)
COUNTS = ((0, 8, 3, 1), (9, 3, 0, 0), (1, 0, 2, 9), (4, 0, 8, 0), (7, 1, 0, 4), (1, 6, 5, 0))
ANSWERS = st.lists(st.text("ABCD.", min_size=4, max_size=4), min_size=2, max_size=25)


def corrected(items: tuple[ItemStatistic, ...]) -> list[float]:
    """The correlations with the rest; not a number where there is none."""
    return [one.corrected.value if one.corrected else np.nan for one in items]


def marks_from(answers: list[str]) -> Marks:
    """The marks of candidates whose paper has the key BADC."""
    sheets = [sheet(number, given_) for number, given_ in enumerate(answers)]
    (marks,) = marks_of(sheets, {"A": choices("BADC")})
    return marks


def test_a_thousand_candidates_of_five_questions() -> None:
    """LSAT section 6 [bock-lieberman-1970, from memory; correlations derived]."""
    marks = lsat_6()
    totals = marks.sum(axis=1)
    assert marks.mean(axis=0) == pytest.approx([0.924, 0.709, 0.553, 0.763, 0.870])
    found = [correlation(column, totals - column) for column in marks.T]
    expected = (0.112833, 0.153178, 0.172779, 0.144428, 0.121596)
    assert [one.value for one in found if one] == pytest.approx(expected, abs=EXACT)
    included = [correlation(column, totals) for column in marks.T]
    expected = (0.362010, 0.566772, 0.618440, 0.534418, 0.435366)
    assert [one.value for one in included if one] == pytest.approx(expected, abs=EXACT)


def test_twelve_invented_candidates() -> None:
    """The invented paper: difficulty, correlation, answers [derived]."""
    items = item_statistics(invented())
    shares = (0.666667, 0.75, 0.75, 0.666667, 0.583333, 0.5)
    assert [one.difficulty.value for one in items] == pytest.approx(shares, abs=EXACT)
    rest = (0.627822, 0.613960, 0.488813, 0.508548, 0.682988, 0.537385)
    assert corrected(items) == pytest.approx(rest, abs=EXACT)
    for one, counts, means in zip(items, COUNTS, MEAN_TOTALS, strict=True):
        assert tuple(option.count for option in one.options) == counts
        for option, mean in zip(one.options, means, strict=True):
            assert option.mean_total == (None if mean is None else pytest.approx(mean, abs=5e-5))


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (4 / 12, (0.75, 0.50, 0.50, 0.75, 1.00, 0.75)),
        (0.27, (1.0, 0.666667, 0.666667, 0.666667, 1.0, 1.0)),
    ],
)
def test_discrimination_of_the_invented_paper(share: float, expected: tuple[float, ...]) -> None:
    """Thirds (4 v 4) and 27 % (3 v 3), those level told apart by their order [derived]."""
    marks = invented()
    ranked = marks.totals - np.arange(12) / 100
    found = [discrimination(column, ranked, share) for column in marks.right.T]
    assert found == pytest.approx(expected, abs=EXACT)


def test_those_level_at_the_edge_share_the_places() -> None:
    """Of the two at 3 for the last place below, one was right in question 1: half of each."""
    marks = invented()
    assert discrimination(marks.right[:, 0], marks.totals) == pytest.approx(1 - 0.5 / 3)


@pytest.mark.parametrize(
    ("people", "size"), [(2, 1), (3, 1), (12, 3), (20, 5), (30, 8), (37, 10), (50, 14), (100, 27)]
)
def test_groups_are_rounded_halves_up(people: int, size: int) -> None:
    """27 % of so many [derived]; 13.5 is 14."""
    assert group_size(people) == size


def test_a_distractor_works_from_five_percent_unless_it_draws_the_strong() -> None:
    """5 % of 40 do, and 2.5 % do not; nor does what the stronger choose [tarrant-2009]."""
    answers = ["BADC"] * 20 + ["BACC"] * 4 + ["CADB"] * 2 + ["DADB"] + ["CBAA"] * 13
    assert len(answers) == 40
    items = item_statistics(marks_from(answers))
    first = {one.meaning.label: one for one in items[0].options}
    assert first["B"].functions is None
    assert first["C"].share == pytest.approx(0.375)
    assert first["C"].functions is True
    assert first["D"].share == pytest.approx(0.025)
    assert first["D"].functions is False
    assert first["A"].functions is False
    third = {one.meaning.label: one for one in items[2].options}
    assert third["C"].share == pytest.approx(0.1)
    assert third["C"].correlation is not None
    assert third["C"].correlation.value > 0
    assert third["C"].functions is False
    assert items[0].functioning == 1


def test_exactly_five_percent_is_enough() -> None:
    """Two of forty, the weakest."""
    items = item_statistics(marks_from(["BADC"] * 38 + ["CBAB"] * 2))
    assert items[0].options[2].functions is True


def test_what_does_not_vary_correlates_with_nothing() -> None:
    """All right, or nobody: no correlation and no warning, discrimination 0."""
    items = item_statistics(marks_from(["BADA", "BABA", "BADA"]))
    assert items[0].corrected is None
    assert items[0].discrimination == 0
    assert items[3].corrected is None
    assert item_statistics(marks_from(["BADC"]))[0].discrimination is None


@given(
    table=arrays(np.int64, (9, 2), elements=st.integers(0, 1)),
)
def test_the_correlation_is_the_librarys(table: np.ndarray) -> None:
    """Of a mark with a number it is scipy's point-biserial."""
    mark, other = table[:, 0], np.arange(9) + 3 * table[:, 1]
    found = correlation(mark, other)
    if found is None:
        assert np.ptp(mark) == 0
        return
    assert found.value == pytest.approx(pointbiserialr(mark, other).statistic)
    assert -1 <= found.low <= found.value <= found.high <= 1


@settings(max_examples=40)
@given(answers=ANSWERS, data=st.data())
def test_the_order_of_candidates_does_not_matter(answers: list[str], data: st.DataObject) -> None:
    """Every statistic of every question is the same when the file is shuffled."""
    shuffled = data.draw(st.permutations(answers))
    for one, other in zip(
        item_statistics(marks_from(answers)), item_statistics(marks_from(shuffled)), strict=True
    ):
        assert one.difficulty == other.difficulty
        assert one.discrimination == pytest.approx(other.discrimination)
        assert [each.count for each in one.options] == [each.count for each in other.options]
        assert (one.corrected is None) == (other.corrected is None)
        if one.corrected and other.corrected:
            assert one.corrected.value == pytest.approx(other.corrected.value)


@settings(max_examples=40)
@given(answers=ANSWERS)
def test_statistics_stay_where_they_can_be(answers: list[str]) -> None:
    """Shares between 0 and 1, the rest between -1 and 1, and every candidate is counted once."""
    for one in item_statistics(marks_from(answers)):
        assert 0 <= one.difficulty.low <= one.difficulty.value <= one.difficulty.high <= 1
        assert one.discrimination is not None
        assert -1 - 1e-12 <= one.discrimination <= 1 + 1e-12
        assert sum(each.count for each in one.options) + one.unanswered == len(answers)


def test_the_key_is_the_papers() -> None:
    """Turning a right answer wrong lowers the difficulty by that candidate."""
    before = item_statistics(invented())[0].difficulty.value
    sheets = [sheet(0, "C" + INVENTED_KEY[1:]), sheet(1, INVENTED_KEY)]
    (marks,) = marks_of(sheets, {"A": choices(INVENTED_KEY)})
    assert item_statistics(marks)[0].difficulty.value == 0.5
    assert before == pytest.approx(8 / 12)
