"""Evaluates a grading system: answers lead to a grade, choices add up to a band."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from offmidline.records import Band, Choice, Grade, Grading, Part


@dataclass(frozen=True)
class Score:
    """What a score came to.

    ``points`` is the sum over all days; ``band`` holds it. ``highest_day`` is the other convention
    of a daily score, the best-scoring day with what is counted once; None where nothing is daily.
    """

    points: int
    maximum: int
    band: Band
    highest_day: int | None
    highest_possible: int | None


def walk(grading: Grading, answers: Mapping[str, str]) -> Grade | None:
    """The grade that answers, by question, lead to; None while a question on the way is open.

    Answers to questions that are not on the way do not count. Raises KeyError for an unknown
    answer.
    """
    questions = {question.question: question for question in grading.questions}
    grades = {grade.grade: grade for grade in grading.grades}
    at = grading.start
    while at is not None:
        if at not in answers:
            return None
        answer = {one.answer: one for one in questions[at].answers}[answers[at]]
        if answer.grade is not None:
            return grades[answer.grade]
        at = answer.next
    return None


def ways(grading: Grading) -> Iterator[dict[str, str]]:
    """Every complete set of answers, by question: one for each way to a grade."""
    questions = {question.question: question for question in grading.questions}

    def on(at: str, so_far: dict[str, str]) -> Iterator[dict[str, str]]:
        for answer in questions[at].answers:
            now = so_far | {at: answer.answer}
            if answer.next is None:
                yield now
            else:
                yield from on(answer.next, now)

    if grading.start is not None:
        yield from on(grading.start, {})


def score(grading: Grading, chosen: Mapping[str, Sequence[str]]) -> Score:
    """The score of the choices of each part, one for each day of it (one for a part asked once).

    Raises ValueError where a part or a day has no choice, KeyError for an unknown choice.
    """
    points = {part.part: _points(part, chosen.get(part.part, ())) for part in grading.parts}
    total = sum(sum(of_part) for of_part in points.values())
    daily = [part for part in grading.parts if part.days > 1]
    highest = None
    if daily:
        once = sum(sum(points[part.part]) for part in grading.parts if part.days == 1)
        days = zip(*(points[part.part] for part in daily), strict=True)
        highest = once + max(sum(of_day) for of_day in days)
    return Score(
        points=total,
        maximum=maximum(grading),
        band=band_of(grading, total),
        highest_day=highest,
        highest_possible=sum(_most(part) for part in grading.parts) if daily else None,
    )


def maximum(grading: Grading) -> int:
    """The most points there can be: the highest choice of every part, on each of its days."""
    return sum(_most(part) * part.days for part in grading.parts)


def band_of(grading: Grading, points: int) -> Band:
    """The band that holds a number of points. Raises ValueError outside 0 to the maximum."""
    most = maximum(grading)
    for band in grading.bands:
        if band.start <= points <= (most if band.end is None else band.end):
            return band
    raise ValueError(f"{points} points of {grading.grading}: there are 0 to {most}")


def _points(part: Part, chosen: Sequence[str]) -> list[int]:
    if len(chosen) != part.days:
        raise ValueError(f"{part.part}: {part.days} choices are due, {len(chosen)} were made")
    known: dict[str, Choice] = {choice.choice: choice for choice in part.choices}
    return [known[name].points for name in chosen]


def _most(part: Part) -> int:
    return max(choice.points for choice in part.choices)
