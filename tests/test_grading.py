"""Grading systems: every way to a grade, every edge of a band, and what was published of them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from offmidline.grading import band_of, maximum, score, walk, ways
from offmidline.records import Grading, load_library

SHIPPED = Path(__file__).resolve().parents[1] / "scenarios"
GRADINGS = load_library(SHIPPED, ()).gradings
TREES = [name for name, grading in GRADINGS.items() if grading.questions]
SCORES = [name for name, grading in GRADINGS.items() if grading.parts]


def grade(name: str, **answers: str) -> str | None:
    """The grade of some answers, their hyphens written as underscores."""
    found = walk(GRADINGS[name], {key: value.replace("_", "-") for key, value in answers.items()})
    return None if found is None else found.grade


def choices(grading: Grading, **points: int | list[int]) -> dict[str, list[str]]:
    """For each part the choices that give some points, on each day; none of a part are 0."""
    found = {}
    for part in grading.parts:
        wanted = points.get(part.part.replace("-", "_"), 0)
        wanted = wanted if isinstance(wanted, list) else [wanted] * part.days
        by_points = {choice.points: choice.choice for choice in part.choices}
        found[part.part] = [by_points[one] for one in wanted]
    return found


@pytest.mark.parametrize("name", TREES)
def test_every_way_ends_in_a_grade_and_every_grade_is_reached(name):
    """No answer leads nowhere, and no grade is there in vain."""
    grading = GRADINGS[name]
    reached = [walk(grading, way) for way in ways(grading)]
    assert None not in reached
    assert {one.grade for one in reached if one} == {one.grade for one in grading.grades}


@pytest.mark.parametrize("name", TREES)
def test_a_way_is_open_until_its_last_answer(name):
    """Without one of the answers on the way there is no grade."""
    for way in ways(GRADINGS[name]):
        for question in way:
            assert walk(GRADINGS[name], {k: v for k, v in way.items() if k != question}) is None


def test_the_grades_of_treatment_are_the_published_seven():
    """Grades I, II, IIIa, IIIb, IVa, IVb, V, each on one way (Dindo 2004, as quoted)."""
    reached = Counter(
        walk(GRADINGS["clavien-dindo"], way) for way in ways(GRADINGS["clavien-dindo"])
    )
    names = sorted(one.grade for one in reached if one)
    assert names == ["I", "II", "IIIa", "IIIb", "IVa", "IVb", "V"]
    assert set(reached.values()) == {1}


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ({"procedure": "none", "drugs": "other"}, "II"),  # antibiotic for a wound infection
        ({"procedure": "none", "drugs": "none"}, "I"),
        ({"procedure": "not_general"}, "IIIa"),  # also under a spinal
        ({"procedure": "general"}, "IIIb"),
    ],
)
def test_wounds_are_graded_by_what_was_done(answers, expected):
    """The mapping of the definitions to wounds (Dindo 2004, as quoted)."""
    assert grade("clavien-dindo", death="alive", organs="none", **answers) == expected


def test_the_wound_score_has_the_published_fifteen_grades():
    """0; Ia to Ic; IIa to IId; IIIa to IIId; IVa, IVb; V (Bailey 1992, recalled)."""
    grading = GRADINGS["southampton"]
    expected = ["0", *("Ia", "Ib", "Ic"), *("IIa", "IIb", "IIc", "IId")]
    expected += [*("IIIa", "IIIb", "IIIc", "IIId"), *("IVa", "IVb"), "V"]
    assert [one.grade for one in grading.grades] == expected
    assert len(list(ways(grading))) == len(expected)


def test_the_wound_score_is_grouped_as_published():
    """0 and I are normal, II and III minor, IV and V major (Gorad 2021)."""
    for one in GRADINGS["southampton"].grades:
        roman = one.grade.rstrip("abcd")
        expected = {"0": "normal", "I": "normal", "II": "minor", "III": "minor"}.get(roman, "major")
        assert one.group == expected


SUPERFICIAL = {"within": "within", "layer": "superficial", "stitch": "more"}


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ({"within": "later"}, "not-met"),
        ({"within": "within", "layer": "deeper"}, "deeper"),
        ({"within": "within", "layer": "superficial", "stitch": "only"}, "not-met"),
        (SUPERFICIAL | {"pus": "pus"}, "superficial"),
        (SUPERFICIAL | {"pus": "none", "organism": "found"}, "superficial"),
        (
            SUPERFICIAL | {"pus": "none", "organism": "untested", "opened": "with_sign"},
            "superficial",
        ),
        # A specimen that grew nothing does not meet the criterion of the opened wound.
        (
            SUPERFICIAL
            | {"pus": "none", "organism": "negative", "opened": "with_sign", "diagnosis": "none"},
            "not-met",
        ),
    ],
)
def test_a_superficial_infection_meets_one_of_the_criteria(answers, expected):
    """The surveillance definition of a superficial incisional infection (NHSN, as quoted)."""
    assert grade("surgical-site-infection", **answers) == expected


def test_asepsis_has_the_published_points():
    """Additional treatment 10, 5, 10, isolation 10, stay 5; daily at most 5, 5, 10, 10
    (table of 2006).
    """
    most = {
        part.part: max(choice.points for choice in part.choices)
        for part in GRADINGS["asepsis"].parts
    }
    assert most == {
        "serous": 5,
        "erythema": 5,
        "purulent": 10,
        "separation": 10,
        "antibiotics": 10,
        "drained": 5,
        "debridement": 10,
        "isolation": 10,
        "stay": 5,
    }


def test_both_conventions_of_asepsis_have_their_maximum():
    """5 x 30 + 40 = 190 as a sum, 30 + 40 = 70 as the highest single day (Wilson 1986)."""
    grading = GRADINGS["asepsis"]
    most = {part.part: [part.choices[-1].choice] * part.days for part in grading.parts}
    full = score(grading, most)
    assert (full.points, full.maximum) == (190, 190)
    assert (full.highest_day, full.highest_possible) == (70, 70)


def test_the_highest_day_takes_the_worst_day_and_what_is_counted_once():
    """The two conventions part where more than one day scores."""
    grading = GRADINGS["asepsis"]
    made = score(
        grading, choices(grading, erythema=[2, 2, 0, 0, 0], purulent=[4, 6, 0, 0, 0], drained=5)
    )
    assert made.points == 2 + 2 + 4 + 6 + 5
    assert made.highest_day == 2 + 6 + 5


@pytest.mark.parametrize(
    ("points", "title"),
    [
        (0, "Satisfactory healing"),
        (10, "Satisfactory healing"),
        (11, "Disturbance of healing"),
        (20, "Disturbance of healing"),
        (21, "Minor infection"),
        (30, "Minor infection"),
        (31, "Moderate infection"),
        (40, "Moderate infection"),
        (41, "Severe infection"),
        (190, "Severe infection"),
    ],
)
def test_the_bands_of_asepsis_end_at_the_published_sums(points, title):
    """The cut-offs 10, 20, 30, 40 (Wilson 1986, recalled)."""
    assert band_of(GRADINGS["asepsis"], points).title == title


@pytest.mark.parametrize(
    ("points", "title"), [(8, "Not yet fit to go home"), (9, "Fit to go home")]
)
def test_a_patient_goes_home_with_nine_points(points, title):
    """9 or 10 of 10 points are fit (Chung 1995, as quoted)."""
    grading = GRADINGS["discharge-score"]
    assert maximum(grading) == 10
    assert [len(part.choices) for part in grading.parts] == [3] * 5
    assert band_of(grading, points).title == title
    made = score(grading, choices(grading, **dict.fromkeys(parts(grading), 2), pain=points - 8))
    assert (made.points, made.band.title) == (points, title)
    assert made.highest_day is None


def parts(grading: Grading) -> list[str]:
    """The parts but for pain."""
    names = [part.part.replace("-", "_") for part in grading.parts]
    return [name for name in names if name != "pain"]


@pytest.mark.parametrize("name", SCORES)
def test_every_sum_lies_in_one_band(name):
    """From nothing to the maximum, and not beyond."""
    grading = GRADINGS[name]
    most = maximum(grading)
    titles = [band_of(grading, points).title for points in range(most + 1)]
    assert list(dict.fromkeys(titles)) == [band.title for band in grading.bands]
    for outside in (-1, most + 1):
        with pytest.raises(ValueError, match=f"there are 0 to {most}"):
            band_of(grading, outside)


def test_a_score_needs_every_choice():
    """A part or a day without a choice is no score, and an unknown choice is named."""
    grading = GRADINGS["asepsis"]
    whole = choices(grading)
    with pytest.raises(ValueError, match="serous: 5 choices are due, 4"):
        score(grading, whole | {"serous": whole["serous"][:4]})
    with pytest.raises(ValueError, match="stay: 1 choices are due, 0"):
        score(grading, {name: made for name, made in whole.items() if name != "stay"})
    with pytest.raises(KeyError, match="perhaps"):
        score(grading, whole | {"stay": ["perhaps"]})
