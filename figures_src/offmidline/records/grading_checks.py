"""Everything about a grading system that no single field can tell.

A system of questions is walked from its start: every way must end in a grade, and every question
and grade must lie on some way. The bands of a system of points must hold every sum there can be.
"""

from __future__ import annotations

from itertools import pairwise

from offmidline.records.document import Way
from offmidline.records.draft import (
    Draft,
    check_id,
    check_standing,
    check_unique,
    known_values,
)
from offmidline.records.known import Known


def check_grading(draft: Draft, known: Known) -> None:
    """Its ids, its form, and its questions or its bands."""
    check_id(draft, "grading")
    check_standing(draft, (), known.sources)
    check_unique(draft, [("grades", n, "grade") for n in draft.items("grades")])
    check_unique(draft, [("questions", n, "question") for n in draft.items("questions")])
    check_unique(draft, [("parts", n, "part") for n in draft.items("parts")])
    for section, item, name in (("questions", "answers", "answer"), ("parts", "choices", "choice")):
        for n in draft.items(section):
            ways: list[Way] = [(section, n, item, m, name) for m in draft.items(section, n, item)]
            check_unique(draft, ways)
    if ("questions" in draft.keys()) == ("parts" in draft.keys()):  # noqa: SIM118 - Draft.keys
        draft.document.fault(draft.document.key_mark(()), "questions_or_parts")
    elif "parts" in draft.keys():  # noqa: SIM118 - Draft.keys
        _check_bands(draft)
    elif not draft.at_fault:
        _check_ways(draft)


def _check_ways(draft: Draft) -> None:
    """Answers lead to what there is, in no circle, and everything is led to."""
    questions = {str(draft.text("questions", n, "question")): n for n in draft.items("questions")}
    grades = {str(draft.text("grades", n, "grade")): n for n in draft.items("grades")}
    whole = _check_answers(draft, questions, grades)
    start = draft.text("start")
    if start is None:
        draft.document.fault(draft.document.key_mark(()), "missing_key", key="start")
    elif start not in questions:
        draft.fault(("start",), "unknown_question", **known_values(start, questions))
    elif whole:
        _check_reached(draft, questions, grades, start)


def _check_answers(draft: Draft, questions: dict[str, int], grades: dict[str, int]) -> bool:
    """Whether every answer leads to exactly one thing, which exists."""
    whole = True
    for n in questions.values():
        for m in draft.items("questions", n, "answers"):
            way: Way = ("questions", n, "answers", m)
            further, grade = draft.text(*way, "next"), draft.text(*way, "grade")
            if (further is None) == (grade is None):
                draft.fault(way, "answer_leads")
            elif further is not None and further not in questions:
                draft.fault((*way, "next"), "unknown_question", **known_values(further, questions))
            elif grade is not None and grade not in grades:
                system = str(draft.text("grading"))
                values = known_values(grade, grades)
                draft.fault((*way, "grade"), "unknown_grade", system=system, **values)
            else:
                continue
            whole = False
    return whole


def _check_reached(
    draft: Draft, questions: dict[str, int], grades: dict[str, int], start: str
) -> None:
    done: set[str] = set()
    reached: set[str] = set()

    def follow(at: str, before: frozenset[str]) -> None:
        n = questions[at]
        for m in draft.items("questions", n, "answers"):
            way: Way = ("questions", n, "answers", m)
            further, grade = draft.text(*way, "next"), draft.text(*way, "grade")
            if grade is not None:
                reached.add(grade)
            elif further in before | {at}:
                draft.fault((*way, "next"), "answers_in_a_circle", value=further)
            elif further is not None and further not in done:
                follow(further, before | {at})
        done.add(at)

    follow(start, frozenset())
    for question in questions.keys() - done:
        draft.fault(("questions", questions[question], "question"), "not_reached", value=question)
    for grade in grades.keys() - reached:
        draft.fault(("grades", grades[grade], "grade"), "not_reached", value=grade)


def _check_bands(draft: Draft) -> None:
    """The bands hold every sum from 0 to the maximum, each once."""
    bands = [
        (draft.count("bands", n, "from"), draft.count("bands", n, "to"))
        for n in draft.items("bands")
    ]
    if draft.at_fault:
        return
    if not bands:
        draft.document.fault(draft.document.key_mark(()), "missing_key", key="bands")
        return
    most = _maximum(draft)
    if bands[0][0] != 0:
        draft.fault(("bands", 0, "from"), "band_start", due=0)
    for n, ((_, end), (start, _)) in enumerate(pairwise(bands), start=1):
        if end is None or start != end + 1:
            draft.fault(("bands", n, "from"), "band_start", due="…" if end is None else end + 1)
    for n, (start, end) in enumerate(bands):
        if start is not None and start > (most if end is None else end):
            draft.fault(("bands", n), "band_empty", most=most)
    if bands[-1][1] not in (None, most):
        draft.fault(("bands", len(bands) - 1, "to"), "band_end", most=most)


def _maximum(draft: Draft) -> int:
    most = 0
    for n in draft.items("parts"):
        points = [
            draft.count("parts", n, "choices", m, "points") or 0
            for m in draft.items("parts", n, "choices")
        ]
        most += max(points, default=0) * (draft.count("parts", n, "days") or 1)
    return most
