"""Which wrong answers stand beside a key: taken by chance, and so that they give nothing away.

Words from records are as long as they are. The linter says which of them go together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from offmidline.items.item import FEWEST_OPTIONS, MOST_OPTIONS, Item, Option
from offmidline.items.lint import lint
from offmidline.items.model import Candidate, Question
from offmidline.items.stream import Stream

# Drawings of each number of wrong answers before fewer are tried. Common practice, no source.
_DRAWS: Final = 12


def shortlisted(question: Question, stream: Stream) -> Question | None:
    """The question with as many of its wrong answers as go with the key; None where too few do."""
    for count in range(min(MOST_OPTIONS - 1, len(question.wrong)), FEWEST_OPTIONS - 2, -1):
        for _ in range(_DRAWS):
            chosen = tuple(stream.some(question.wrong, count))
            if not lint(_as_item(question, chosen)):
                return replace(question, wrong=chosen)
    return None


def first_shortlisted(questions: Iterable[Question], stream: Stream) -> Question | None:
    """The first question for which there is a list; None where there is none for any."""
    lists = (shortlisted(question, stream) for question in questions)
    return next((one for one in lists if one is not None), None)


def _as_item(question: Question, wrong: Iterable[Candidate]) -> Item:
    return Item(
        model="",
        case="",
        topic="",
        version="",
        kind="choice",
        stem=question.stem,
        lead_in=question.lead_in,
        explanation=question.explanation,
        standing=question.standing,
        options=tuple(
            Option(one.text, one.mistake, one.title, one.feedback) for one in (question.key, *wrong)
        ),
    )
