"""Which questions are to be looked at, and how candidates' times are told."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from tests.exam.cohort import choices, invented, sheet, typed

from offmidline.exam.flags import FLAGS, flags, sample
from offmidline.exam.form import Form
from offmidline.exam.item_statistics import item_statistics
from offmidline.exam.marks import marks_of
from offmidline.exam.responses import Sheet
from offmidline.exam.timing import times


def flagged(answers: Sequence[str], key: str = "BBB") -> list[set[str]]:
    """The flags of each question of a paper with a key."""
    sheets = [sheet(number, given) for number, given in enumerate(answers)]
    (marks,) = marks_of(sheets, {"A": choices(key)})
    return [set(flags(one)) for one in item_statistics(marks)]


def test_a_key_that_is_wrong_shows() -> None:
    """The strong chose A throughout: negative, beaten, drawing the strong, poor and hard."""
    answers = ["ABB"] * 8 + ["BCC"] * 2 + ["CCB"] * 2
    raised = flagged(answers)[0]
    assert {"negative", "beaten", "draws_the_strong", "poor", "hard"} <= raised


def test_what_all_know_tells_nothing() -> None:
    """All right: no information, poor, easy, and no wrong option works."""
    assert flagged(["BBC", "BCB", "BCC"])[0] == {"no_information", "poor", "easy", "idle"}


def test_a_good_question_raises_no_flag() -> None:
    """Half right, the stronger half, the weaker chose two wrong options."""
    answers = ["BBB"] * 5 + ["BBC"] * 5 + ["CCC"] * 5 + ["DCC"] * 5
    assert flagged(answers)[0] == set()


@pytest.mark.parametrize(("right", "name"), [(2, "hard"), (3, None), (7, None), (8, "easy")])
def test_moderate_is_from_three_to_seven_tenths(right: int, name: str | None) -> None:
    """The bounds themselves are moderate [ebel-frisbie-1991, from memory]."""
    found = flagged(["BB"] * right + ["CC"] * (10 - right), "BB")[0] & {"hard", "easy"}
    assert found == ({name} if name else set())


def test_a_typed_number_has_no_idle_options() -> None:
    """Nothing was printed that could fail to work."""
    forms = {"A": Form("invented", "Invented paper", 60, "A", (typed(1), typed(2)))}
    sheets = [Sheet("1", "A", ("20", "20")), Sheet("2", "A", ("20", "40"))]
    (marks,) = marks_of(sheets, forms)
    first, second = item_statistics(marks)
    assert first.functioning is None
    assert "idle" not in flags(first)
    assert second.options[1].meaning.title == "Doubled"


def test_the_gravest_flag_comes_first() -> None:
    """In the order of the list."""
    order = list(FLAGS)
    for one in item_statistics(invented()):
        places = [order.index(name) for name in flags(one)]
        assert places == sorted(places)


@pytest.mark.parametrize(
    ("people", "name"), [(1, "few"), (29, "few"), (30, "some"), (99, "some"), (100, "enough")]
)
def test_small_samples_are_called_small(people: int, name: str) -> None:
    """Under 30 few, under 100 some [downing-yudkowsky-2009, from memory]."""
    assert sample(people) == name


def test_times_of_those_who_noted_them() -> None:
    """Quartiles of three, one not noted; the faster were right: correlation -1."""
    sheets = [
        Sheet("1", "A", (1, 1), 10.0),
        Sheet("2", "A", (1, 0), 20.0),
        Sheet("3", "A", (0, 0), 30.0),
        Sheet("4", "A", (0, 0)),
    ]
    (marks,) = marks_of(sheets, {"A": choices("BB")})
    found = times(marks)
    assert found is not None
    assert (found.people, found.lower, found.median, found.upper) == (3, 15.0, 20.0, 25.0)
    assert found.longest == 30.0
    assert found.with_score is not None
    assert found.with_score.value == pytest.approx(-1)
    assert times(invented()) is None
    assert np.isnan(invented().minutes).all()
