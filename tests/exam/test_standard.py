"""Cut scores, against printed values, and that they stay where they can be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from offmidline.exam.standard.angoff import AngoffRatings, angoff
from offmidline.exam.standard.borderline_regression import GradedScores, borderline_regression
from offmidline.exam.standard.ebel import EbelRatings, ebel
from offmidline.exam.standard.hofstee import HofsteeRatings, failing, hofstee

EXACT = 1e-6
CHANCES = np.array(
    [
        [0.60, 0.70, 0.55, 0.65],
        [0.80, 0.85, 0.75, 0.80],
        [0.40, 0.50, 0.45, 0.55],
        [0.70, 0.60, 0.65, 0.75],
        [0.55, 0.65, 0.50, 0.60],
    ]
)
SCORES = [
    *(42, 45, 48, 50, 51, 53, 54, 55, 56, 57, 58, 58, 59, 60, 60, 61, 62, 62, 63, 64, 65, 65, 66),
    *(67, 68, 69, 70, 70, 71, 72, 73, 74, 75, 76, 77, 78, 80, 82, 85, 90),
]
GRADES = [1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 5]
STATION = [9, 11, 12, 13, 14, 12, 15, 16, 14, 17, 15, 18, 17, 19, 19]
SHARES = st.integers(0, 20).map(lambda twentieths: twentieths / 20)
TABLES = st.tuples(st.integers(1, 8), st.integers(1, 5)).flatmap(
    lambda shape: arrays(float, shape, elements=SHARES)
)


def angoff_of(chances: np.ndarray) -> AngoffRatings:
    """Ratings with names made up."""
    items, judges = chances.shape
    return AngoffRatings(
        tuple(f"Q{number}" for number in range(1, items + 1)),
        tuple(f"J{number}" for number in range(1, judges + 1)),
        chances,
    )


def bounds(*rows: tuple[float, float, float, float]) -> HofsteeRatings:
    """Hofstee ratings with judges made up."""
    return HofsteeRatings(tuple(f"J{number}" for number in range(len(rows))), np.array(rows))


def graded(grades: list, scores: list) -> GradedScores:
    """Scores graded by one judge."""
    return GradedScores(
        ("J",), np.array(scores, dtype=float), np.array(grades, dtype=float)[:, None]
    )


def test_angoff() -> None:
    """Cut 3.15 of 5, SE .106066, the correlations [derived; zieky-perie-2006, from memory]."""
    found = angoff(angoff_of(CHANCES))
    assert found.cut.value == pytest.approx(3.15)
    assert found.cut.percent == pytest.approx(63)
    assert found.own == pytest.approx((3.05, 3.30, 2.90, 3.35))
    assert found.means == pytest.approx((0.625, 0.800, 0.475, 0.675, 0.575))
    assert np.std(found.own, ddof=1) == pytest.approx(0.212132, abs=EXACT)
    assert found.cut.error == pytest.approx(0.106066, abs=EXACT)
    named = {one.name: one.value for one in found.agreement}
    assert named["icc_agreement"] == pytest.approx(0.791469, abs=EXACT)
    assert named["icc_agreement_mean"] == pytest.approx(0.938202, abs=EXACT)
    assert named["icc_consistency_mean"] == pytest.approx(0.959770, abs=EXACT)


def test_yes_and_no_are_categories() -> None:
    """Two judges get kappa, PABAK and AC1; three get Fleiss' kappa; one gets nothing."""
    said = np.array([[1, 1, 0], [1, 0, 0], [0, 0, 1], [1, 1, 1]], dtype=float)
    names = [
        {one.name for one in angoff(angoff_of(said[:, :judges])).agreement} for judges in (1, 2, 3)
    ]
    assert names == [set(), {"kappa", "pabak", "ac1"}, {"fleiss"}]
    assert angoff(angoff_of(said)).cut.value == pytest.approx(7 / 3)


def test_ebel() -> None:
    """Cut 35.1 of 50, 70.2 % [derived; ebel-1972, from memory]; one judge has no error."""
    expected = [0.95, 0.80, 0.55, 0.85, 0.65, 0.40, 0.65, 0.45, 0.20]
    counts = (8, 6, 2, 10, 12, 4, 3, 3, 2)
    cells = tuple((str(row), str(column)) for row in range(3) for column in range(3))
    found = ebel(EbelRatings(cells, ("J",), counts, np.array(expected)[:, None]))
    assert found.cut.value == pytest.approx(35.1)
    assert found.cut.of == 50
    assert found.cut.percent == pytest.approx(70.2)
    assert found.cut.error is None
    assert found.agreement == ()


def test_hofstee() -> None:
    """The two meet exactly at 56, where 20 % fail [derived; mills-melican-1987]."""
    found = hofstee(bounds((50, 65, 0.05, 0.30)), SCORES)
    assert found.cut is not None
    assert found.cut.value == pytest.approx(56, abs=1e-9)
    assert found.fails == pytest.approx(0.20)
    assert found.miss is None
    assert found.cut.error is None


@pytest.mark.parametrize(
    ("cut", "share", "line"),
    [(55, 0.175, 0.21666667), (55.5, 0.2, 0.20833333), (56, 0.2, 0.2), (57, 0.225, 0.18333333)],
)
def test_the_curve_and_the_line(cut: float, share: float, line: float) -> None:
    """Curve and line at the printed cuts [derived]."""
    assert failing(np.array(SCORES, dtype=float), cut) == pytest.approx(share)
    box = hofstee(bounds((50, 65, 0.05, 0.30)), SCORES).box
    assert box.line(cut) == pytest.approx(line, abs=1e-8)


def test_hofstee_takes_the_judges_means() -> None:
    """Two judges round the same means give the same cut, and one judge left out an error."""
    found = hofstee(bounds((48, 64, 0.04, 0.28), (52, 66, 0.06, 0.32)), SCORES)
    assert found.cut is not None
    assert found.cut.value == pytest.approx(56, abs=1e-9)
    alone = [
        hofstee(bounds(one), SCORES).cut for one in ((48, 64, 0.04, 0.28), (52, 66, 0.06, 0.32))
    ]
    cuts = [cut.value for cut in alone if cut]
    assert found.cut.error == pytest.approx(abs(cuts[0] - cuts[1]) / 2)


@pytest.mark.parametrize(
    ("box", "miss"), [((70, 80, 0.05, 0.30), "above"), ((30, 44, 0.10, 0.30), "below")]
)
def test_where_they_do_not_meet_there_is_no_cut(
    box: tuple[float, float, float, float], miss: str
) -> None:
    """More fail at the lowest cut than any judge accepts, or fewer at the highest: it says so."""
    found = hofstee(bounds(box), SCORES)
    assert found.cut is None
    assert found.miss == miss


def test_borderline_regression() -> None:
    """Cut 12.768116, SE .329335 and the rest [derived; wood-2006; hejri-2013]."""
    found = borderline_regression(graded(GRADES, STATION), 2)
    assert (found.intercept, found.slope) == pytest.approx((7.855072, 2.456522), abs=EXACT)
    assert (found.explained, found.rmse) == pytest.approx((0.888752, 1.033982), abs=EXACT)
    cut = found.cut
    assert (cut.value, cut.error) == pytest.approx((12.768116, 0.329335), abs=EXACT)
    assert (cut.low, cut.high) == pytest.approx((12.056631, 13.479600), abs=EXACT)
    assert (found.group_mean, found.group_median) == (12.75, 12.5)


@given(chances=TABLES)
def test_the_angoff_cut_lies_among_the_judges_own(chances: np.ndarray) -> None:
    """Between the lowest and the highest judge, between 0 and all marks, whatever their order."""
    found = angoff(angoff_of(chances))
    assert min(found.own) - 1e-9 <= found.cut.value <= max(found.own) + 1e-9
    assert 0 <= found.cut.value <= len(chances)
    turned = angoff(angoff_of(chances[::-1, ::-1]))
    assert turned.cut.value == pytest.approx(found.cut.value)


@given(
    low=st.integers(0, 60),
    wide=st.integers(1, 40),
    least=st.integers(0, 60),
    more=st.integers(1, 40),
    scores=st.lists(st.integers(0, 100), min_size=1, max_size=30),
)
def test_the_hofstee_cut_lies_in_the_box_where_curve_and_line_cross(
    low: int, wide: int, least: int, more: int, scores: list[int]
) -> None:
    """No more than the line fail at the cut, and no fewer just above it; else the side is right."""
    found = hofstee(bounds((low, low + wide, least / 100, (least + more) / 100)), scores)
    box, marks = found.box, np.sort(np.array(scores, dtype=float))
    if found.cut is None:
        if found.miss == "above":
            assert failing(marks, box.lowest_cut) > box.highest_fail
        else:
            assert np.mean(marks <= box.highest_cut) < box.lowest_fail
        return
    cut = found.cut.value
    assert box.lowest_cut <= cut <= box.highest_cut
    assert failing(marks, cut) <= box.line(cut) + 1e-7
    assert np.mean(marks <= cut + 1e-9) >= box.line(cut) - 1e-7


@given(
    grades=st.lists(st.integers(1, 5), min_size=3, max_size=20),
    data=st.data(),
)
def test_the_regression_turns_with_the_grades(grades: list[int], data: st.DataObject) -> None:
    """A point on a straight line is found again, in any order of the candidates."""
    if len(set(grades)) == 1:
        return
    order = data.draw(st.permutations(range(len(grades))))
    scores = [3 + 2 * grade for grade in grades]
    shuffled = graded([grades[at] for at in order], [scores[at] for at in order])
    found = borderline_regression(shuffled, 2)
    assert found.cut.value == pytest.approx(7)
    assert found.cut.error == pytest.approx(0, abs=1e-6)
