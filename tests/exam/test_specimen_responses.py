"""The invented answers to the invented paper."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

from tests.generated import SCENARIOS

from offmidline.exam.form import label
from offmidline.exam.letters import LETTERS
from offmidline.exam.responses import Answer, read_responses
from offmidline.exam.specimen_responses import CANDIDATES, Specimen, specimen
from offmidline.items.item import Item
from offmidline.items.score import score
from offmidline.records import load_library


@cache
def invented() -> Specimen:
    """The answers."""
    return specimen(load_library(SCENARIOS, {"trainee"}))


def written(item: Item, answer: Answer) -> str:
    """An answer as somebody types it from a paper."""
    if answer is None:
        return ""
    if isinstance(answer, int):
        return LETTERS[answer]
    if isinstance(answer, str):
        return answer
    return "".join(LETTERS[item.shown.index(at)] for at in answer)


def test_answers_are_the_same_in_another_process() -> None:
    """They follow from their seed alone."""
    script = (
        "from offmidline.records import load_library;"
        "from offmidline.exam.specimen_responses import specimen;"
        f"print(specimen(load_library({str(SCENARIOS)!r}, {{'trainee'}})).sheets)"
    )
    command = [sys.executable, "-c", script]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == repr(invented().sheets)


def test_answers_could_come_from_a_file(tmp_path: Path) -> None:
    """Typed into the score sheet and read again, they are what they were."""
    form, sheets = invented().form, invented().sheets
    questions = [label(number) for number in range(1, len(form.items) + 1)]
    lines = [["candidate", "form", *questions]]
    lines += [[one.candidate, one.form, *map(written, form.items, one.answers)] for one in sheets]
    path = tmp_path / "answers.csv"
    path.write_text("".join(",".join(line) + "\n" for line in lines), "utf-8")
    assert read_responses(path, {form.form: form}) == sheets


def test_the_answers_are_of_all_sorts() -> None:
    """Right ones and wrong ones to every question, named mistakes among them; some are missing."""
    form, sheets = invented().form, invented().sheets
    assert len(sheets) == CANDIDATES == len({one.candidate for one in sheets})
    assert len({item.model for item in form.items}) == len(form.items)
    for at, item in enumerate(form.items):
        scored = [score(item, a) for one in sheets if (a := one.answers[at]) is not None]
        assert 0 < sum(one.right for one in scored) < len(scored)
        assert item.kind == "order" or any(one.mistake for one in scored)
    assert any(answer is None for one in sheets for answer in one.answers)


def test_the_wrong_key_is_played_on_one_question() -> None:
    """There one wrong answer is given more often than the right one, and by the stronger."""
    form, sheets, at = invented().form, invented().sheets, invented().miskeyed - 1
    item = form.items[at]
    others = {
        one.candidate: sum(
            answer is not None and score(form.items[place], answer).right
            for place, answer in enumerate(one.answers)
            if place != at
        )
        for one in sheets
    }
    given: dict[Answer, list[int]] = {}
    for one in sheets:
        given.setdefault(one.answers[at], []).append(others[one.candidate])
    popular = max(given, key=lambda answer: len(given[answer]))
    assert popular != item.key
    key, wrong = given[item.key], given[popular]
    assert sum(wrong) / len(wrong) > sum(key) / len(key)
