"""The chapter about results: its numbers are those of the invented answers, reckoned anew."""

from __future__ import annotations

import math
import re
from collections import Counter
from functools import cache
from html import unescape

import numpy as np
import pytest
from scipy.stats import binomtest
from tests.generated import SCENARIOS

from offmidline.exam.specimen_responses import Specimen, specimen
from offmidline.items.score import score
from offmidline.records import AUDIENCES, load_library
from offmidline.site.cohort_draft import draft_cohort
from offmidline.site.drafts import CohortDraft

from .conftest import ROOT


@cache
def invented() -> Specimen:
    """The answers, as a trainee's build invents them."""
    return specimen(load_library(SCENARIOS, {"trainee"}))


@cache
def draft() -> CohortDraft:
    """What the chapter is given."""
    return draft_cohort(invented())


@cache
def marks() -> np.ndarray:
    """Candidates by questions, 1 where the answer is right."""
    items = invented().form.items
    return np.array(
        [
            [
                0 if answer is None else int(score(item, answer).right)
                for item, answer in zip(items, sheet.answers, strict=True)
            ]
            for sheet in invented().sheets
        ]
    )


def cells(table: str) -> list[list[list[str]]]:
    """The rows of a table, each cell in its lines."""
    body = table.split("</thead>")[1]
    rows = re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    return [
        [
            [unescape(re.sub(r"<[^>]*>", "", line)) for line in cell.split("<br>")]
            for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        ]
        for row in rows
    ]


def number(text: str) -> float:
    """A number as a page prints it."""
    return float(unescape(text).replace("−", "-"))


def test_scores_and_reliability_are_those_of_the_answers() -> None:
    """Mean, spread, KR-20, error and length, by their textbook formulas."""
    table, values = marks(), draft().values
    people, questions = table.shape
    totals = table.sum(axis=1)
    shares = table.mean(axis=0)
    kr20 = questions / (questions - 1) * (1 - (shares * (1 - shares)).sum() / totals.var())
    expected = {
        "candidates": people,
        "questions": questions,
        "mean": totals.mean(),
        "deviation": math.sqrt(((totals - totals.mean()) ** 2).sum() / (people - 1)),
        "kr20": kr20,
        "error": math.sqrt(((totals - totals.mean()) ** 2).sum() / (people - 1) * (1 - kr20)),
        "times": 0.8 * (1 - kr20) / (kr20 * (1 - 0.8)),
        "group": round(0.27 * people),
    }
    for name, value in expected.items():
        decimals = len(unescape(values[name]).partition(".")[2])
        assert number(values[name]) == pytest.approx(value, abs=0.5000001 * 10**-decimals), name


def test_every_question_is_told_as_it_was_answered() -> None:
    """Difficulty with Wilson's interval, and the correlation with all the others."""
    table = marks()
    rows = cells(draft().tables["items"])
    named = [f"Q{at}" for at in range(1, table.shape[1] + 1)]
    assert [row[0][0].partition(".")[0] for row in rows] == named
    for column, row in zip(table.T, rows, strict=True):
        ends = binomtest(int(column.sum()), len(column)).proportion_ci(method="wilson")
        told = [f"{column.mean():.2f}", f"{ends.low:.2f}\u00a0to\u00a0{ends.high:.2f}"]
        assert row[1] == told
        rest = np.corrcoef(column, table.sum(axis=1) - column)[0, 1]
        assert number(row[3][0]) == pytest.approx(rest, abs=0.0051)


def test_mistakes_are_counted() -> None:
    """The commonest first, with the answers that stand for each."""
    made = Counter(
        scored.mistake
        for sheet in invented().sheets
        for item, answer in zip(invented().form.items, sheet.answers, strict=True)
        if answer is not None and (scored := score(item, answer)).mistake
    )
    told = [int(row[1][0]) for row in cells(draft().tables["mistakes"])]
    assert told == [count for _, count in made.most_common(len(told))]


def test_the_wrong_key_is_what_the_chapter_says() -> None:
    """The question that it names is hard, goes against the rest, and raises the gravest flag."""
    at = invented().miskeyed - 1
    values = draft().values
    assert values["miskeyed"] == f"Q{at + 1}"
    assert number(values["miskeyed-difficulty"]) == pytest.approx(marks()[:, at].mean(), abs=0.0051)
    assert number(values["miskeyed-discrimination"]) < 0
    rows = cells(draft().tables["items"])
    assert rows[at][0][1].startswith("negative")
    assert not any("negative" in row[0][-1] for row in rows[:at] + rows[at + 1 :])


def test_the_chapter_is_the_same_for_every_audience() -> None:
    """It comes from cases that everybody may see: of an examiner's case there is nothing in it."""
    everything = load_library(SCENARIOS, AUDIENCES)
    assert draft_cohort(specimen(everything)) == draft()
    hidden = {case.case for case in everything.cases if case.audience == "examiner"}
    assert hidden
    assert not hidden & {item.case for item in invented().form.items}


def test_the_chapter_types_no_number_of_the_analysis() -> None:
    """It names all that it is given, so that nothing typed can differ from what was worked out."""
    chapter = (ROOT / "handbook" / "exam-results.md").read_text("utf-8")
    named = set(re.findall(r"\{\{ cohort:([a-z0-9-]+) \}\}", chapter))
    plots = {f"{name}-plot" for name in draft().plots}
    assert named <= {*draft().values, *draft().tables, *plots}
    assert named >= {"kr20", "error", "miskeyed", "items", "mistakes", *plots}
    assert {name for name in draft().values if name not in named} <= {"kr21"}
    assert "Invented" in chapter
