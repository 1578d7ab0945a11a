"""Grades and scores: a wound or a treatment described, and points to be added up."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from offmidline import messages
from offmidline.grading import score, walk, ways
from offmidline.items.counted import Counted
from offmidline.items.item import Standing
from offmidline.items.model import Candidate, ItemModel, Material, Question, slip
from offmidline.items.shortlist import first_shortlisted
from offmidline.items.stream import Stream
from offmidline.patient_words import patient_words
from offmidline.records import Choice, Grade, Grading, Part

# Wrong sums stay so far from the right one that a typed whole number tells them apart. [derived]
_POINTS_APART: Final = 2
# Scored tables that are tried until the slips stay apart from the sum; common practice, no source.
_DRAWS: Final = 20
_TOPIC: Final = "grading"
_BY_TREATMENT: Final = "clavien-dindo"
_TREATED: Final = "grade-of-complication"
_SUM: Final = "score-sum"
_DAILY: Final = "daily-score-sum"
# Typed: the slips lie on one side of the sum, and options would show on which.
_POINTS: Final = Counted(always_numeric=True)

Ask = Callable[[Material], Question | None]
Chosen = Mapping[str, Sequence[str]]
Slips = Callable[[Grading, Chosen], Mapping[str, int]]


def _walked(model: str, grading_id: str) -> Ask:
    """A way through a system's questions, and the grades that one other answer leads to."""

    def ask(material: Material) -> Question | None:
        grading = material.library.gradings.get(grading_id)
        if grading is None:
            return None
        stream = material.stream.fork(model, material.planned.case.case)
        described = stream.shuffled(list(ways(grading)))
        return first_shortlisted((_way(model, material, grading, way) for way in described), stream)

    return ask


def _way(model: str, material: Material, grading: Grading, way: Mapping[str, str]) -> Question:
    right = walk(grading, way)
    if right is None:
        raise ValueError(f"{grading.grading}: a way of answers leads to no grade")
    return Question(
        form="text",
        stem=_say(
            model,
            "stem",
            patient=_patient(material),
            found=" ".join(_answered(grading, asked, answer) for asked, answer in way.items()),
        ),
        lead_in=_say(model, "lead_in", system=grading.title),
        explanation=_say(
            model,
            "explanation",
            answered=_answered(grading, *list(way.items())[-1]),
            grade=right.title,
            convention=grading.convention,
        ),
        standing=_standing(grading),
        key=Candidate(text=right.title, value=_rank(grading, right)),
        wrong=tuple(_one_answer_away(grading, way, right)),
    )


def _one_answer_away(grading: Grading, way: Mapping[str, str], right: Grade) -> Iterator[Candidate]:
    """The grades that another answer to one question on the way leads to at once."""
    for question in grading.questions:
        for answer in question.answers if question.question in way else ():
            other = walk(grading, {**way, question.question: answer.answer})
            if other is not None and other.grade != right.grade:
                yield slip(
                    "answered-otherwise",
                    _rank(grading, other),
                    other.title,
                    grade=other.title,
                    answered=_answered(grading, question.question, answer.answer),
                    right=right.title,
                )


def _rank(grading: Grading, grade: Grade) -> float:
    """The place of a grade in its system, by which options are put in order."""
    return float(grading.grades.index(grade))


def _answered(grading: Grading, asked: str, answer: str) -> str:
    """A question with its answer, as it stands in notes: without what else the answer is for."""
    (question,) = (one for one in grading.questions if one.question == asked)
    (given,) = (one for one in question.answers if one.answer == answer)
    return messages.text(
        "items.grading.answered", ask=question.ask, answer=given.title.partition(";")[0]
    )


def _treated(material: Material) -> Question | None:
    """The grade of a complication by how it was treated or how it looked."""
    stream = material.stream.fork(_TREATED, material.planned.case.case)
    gradings = material.library.gradings
    graded = [
        (one.title, graded.when, gradings[graded.system], graded.grade)
        for one in material.library.complications.values()
        for graded in one.grades
        if graded.system == _BY_TREATMENT and not _gives_away(graded.when, gradings[graded.system])
    ]
    questions = (
        _treated_question(material, title, when, grading, grade)
        for title, when, grading, grade in stream.shuffled(graded)
    )
    return first_shortlisted(questions, stream)


def _gives_away(when: str, grading: Grading) -> bool:
    """Whether a treatment is told by a grade, or in the very words of one."""
    named = messages.text("items.grading.grade") in when.casefold().split()
    return named or any(when == one.means for one in grading.grades)


def _treated_question(
    material: Material, title: str, when: str, grading: Grading, grade: str
) -> Question:
    (right,) = (one for one in grading.grades if one.grade == grade)
    return Question(
        form="text",
        stem=_say(_TREATED, "stem", patient=_patient(material), title=title, when=when),
        lead_in=_say(_TREATED, "lead_in", system=grading.title),
        explanation=_say(
            _TREATED,
            "explanation",
            grade=right.title,
            means=right.means,
            convention=grading.convention,
        ),
        standing=_standing(grading),
        key=Candidate(text=right.title, value=_rank(grading, right)),
        wrong=tuple(
            slip(
                "grade-of-something-else",
                _rank(grading, other),
                other.title,
                grade=other.title,
                means=other.means,
                right=right.title,
                right_means=right.means,
            )
            for other in grading.grades
            if other.grade != grade
        ),
    )


def _scored(model: str, grading_id: str, slips: Slips) -> Ask:
    """Points that are to be added up."""

    def ask(material: Material) -> Question | None:
        grading = material.library.gradings.get(grading_id)
        if grading is None:
            return None
        stream = material.stream.fork(model, material.planned.case.case)
        for _ in range(_DRAWS):
            chosen = {part.part: _choices(part, stream) for part in grading.parts}
            points = score(grading, chosen).points
            wrong = slips(grading, chosen)
            if all(abs(value - points) >= _POINTS_APART for value in wrong.values()):
                return _sum(model, material, grading, chosen, points, wrong)
        return None

    return ask


def _choices(part: Part, stream: Stream) -> list[str]:
    """A choice by chance; of a part that is asked daily, one that comes on some day and fades."""
    ranked = sorted(part.choices, key=lambda choice: choice.points)
    names = [choice.choice for choice in ranked]
    worst, first = stream.below(len(names)), stream.below(part.days)
    fading = [max(0, worst - (day - first)) if day >= first else 0 for day in range(part.days)]
    return [names[rank] for rank in fading]


def _sum(
    model: str,
    material: Material,
    grading: Grading,
    chosen: Chosen,
    points: int,
    wrong: Mapping[str, int],
) -> Question:
    right = score(grading, chosen)
    # Nobody knows the points of a long table by heart; there the sum is what is asked.
    daily = right.highest_day is not None
    earned = [choice.points for part in grading.parts for choice in part.choices]
    return Question(
        form="value",
        stem=_say(
            model,
            "stem",
            patient=_patient(material),
            least=min(earned),
            most=max(earned),
            found=" ".join(_part(part, chosen[part.part], pointed=daily) for part in grading.parts),
        ),
        lead_in=_say(model, "lead_in", system=grading.title),
        explanation=_say(
            model,
            "explanation",
            points=points,
            terms=_terms(grading, chosen),
            band=right.band.title,
            convention=grading.convention,
        ),
        standing=_standing(grading),
        key=Candidate(value=float(points)),
        wrong=tuple(slip(name, float(value), right=points) for name, value in wrong.items()),
        scale=_POINTS,
    )


def _part(part: Part, chosen: Sequence[str], *, pointed: bool) -> str:
    """What was chosen of a part, with its points where these are not asked for."""
    shown = {choice.choice: _choice(choice, pointed=pointed) for choice in part.choices}
    found = "; ".join(shown[name] for name in chosen)
    return messages.text("items.grading.answered_part", part=part.title, found=found)


def _choice(choice: Choice, *, pointed: bool) -> str:
    if not pointed:
        return choice.title
    return messages.text("items.grading.with_points", found=choice.title, points=choice.points)


def _terms(grading: Grading, chosen: Chosen) -> str:
    return " + ".join(str(sum(_points(part, chosen))) for part in grading.parts)


def _points(part: Part, chosen: Chosen) -> list[int]:
    points = {choice.choice: choice.points for choice in part.choices}
    return [points[name] for name in chosen[part.part]]


def _slips_of_sum(grading: Grading, chosen: Chosen) -> Mapping[str, int]:
    """The part with most points left out, and every part counted from the wrong end."""
    points = {part.part: sum(_points(part, chosen)) for part in grading.parts}
    total = sum(points.values())
    turned = sum(
        max(choice.points for choice in part.choices) - points[part.part] for part in grading.parts
    )
    return {"part-left-out": total - max(points.values()), "counted-from-wrong-end": turned}


def _slips_of_daily_sum(grading: Grading, chosen: Chosen) -> Mapping[str, int]:
    """The worst day taken for the sum, what was done left out, and what was done counted daily."""
    right = score(grading, chosen)
    once = [part for part in grading.parts if part.days == 1]
    done = sum(sum(_points(part, chosen)) for part in once)
    days = max(part.days for part in grading.parts)
    return {
        "worst-day-only": right.points if right.highest_day is None else right.highest_day,
        "treatment-left-out": right.points - done,
        "treatment-counted-daily": right.points + (days - 1) * done,
    }


def _patient(material: Material) -> str:
    person = material.planned.case.patient
    return patient_words(person, person.occupation)


def _standing(grading: Grading) -> Standing:
    return Standing(grading.title, grading.purpose, grading.status, grading.source)


def _say(model: str, key: str, /, **values: object) -> str:
    return messages.text(f"items.models.{model}.{key}", **values)


MODELS: Final[tuple[ItemModel, ...]] = (
    ItemModel("wound-grade", _TOPIC, _walked("wound-grade", "southampton")),
    ItemModel("treatment-grade", _TOPIC, _walked("treatment-grade", _BY_TREATMENT)),
    ItemModel(_TREATED, _TOPIC, _treated),
    ItemModel(_SUM, _TOPIC, _scored(_SUM, "discharge-score", _slips_of_sum)),
    ItemModel(_DAILY, _TOPIC, _scored(_DAILY, "asepsis", _slips_of_daily_sum)),
)
