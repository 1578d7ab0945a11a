"""The analysis of a paper as tables for other programs; columns have names of their own here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np

from offmidline import messages
from offmidline.exam.analysis import Analysis, Group
from offmidline.exam.csv_text import Cell, csv_text
from offmidline.exam.item_statistics import OptionStatistic
from offmidline.exam.misunderstood import Misunderstanding
from offmidline.exam.reliability import Interval

_BETWEEN: Final = "; "

# Read again by Hofstee's method.
SCORES: Final = ("candidate", "form", "score", "of", "percent", "minutes")
_RELIABILITY: Final = (
    *("forms", "candidates", "questions", "mean", "sd_ddof1"),
    *("alpha", "alpha_low", "alpha_high", "kr20", "kr21", "sem", "times_for_080"),
)
_ITEMS: Final = (
    *("forms", "question", "item", "model", "case", "topic", "kind", "candidates", "right"),
    *("difficulty", "difficulty_low", "difficulty_high"),
    *("item_rest", "item_rest_low", "item_rest_high", "discrimination", "alpha_without"),
    *("functioning_distractors", "not_answered", "flags"),
)
_OPTIONS: Final = (
    *("forms", "question", "option", "text", "right", "mistake"),
    *("candidates", "share", "mean_score", "option_total", "functions"),
)
_FAMILIES: Final = (
    *("model", "case", "topic", "questions", "answers", "right"),
    *("difficulty", "difficulty_low", "difficulty_high", "spread", "item_rest", "discrimination"),
)
_MISTAKES: Final = (
    *("model", "mistake", "title", "answers", "candidates", "met"),
    *("share", "share_low", "share_high"),
)


def analysis_tables(analysis: Analysis) -> dict[str, bytes]:
    """The files by their names."""
    groups = analysis.groups
    mistakes = (*analysis.mistakes, *analysis.mistakes_by_model)
    return {
        "scores.csv": csv_text(SCORES, (row for group in groups for row in _scores(group))),
        "reliability.csv": csv_text(_RELIABILITY, map(_reliability, groups)),
        "items.csv": csv_text(_ITEMS, (row for group in groups for row in _items(group))),
        "options.csv": csv_text(_OPTIONS, (row for group in groups for row in _options(group))),
        "families.csv": csv_text(_FAMILIES, _families(analysis)),
        "mistakes.csv": csv_text(_MISTAKES, map(_mistake, mistakes)),
        "history.yml": _history(analysis).encode(),
    }


def _forms(group: Group) -> str:
    return _BETWEEN.join(group.marks.forms)


def _scores(group: Group) -> Iterator[tuple[Cell, ...]]:
    marks = group.marks
    of = len(marks.asked)
    for candidate, form, score, minutes in zip(
        marks.candidates, marks.form_of, marks.totals.tolist(), marks.minutes.tolist(), strict=True
    ):
        noted = None if np.isnan(minutes) else minutes
        yield candidate, form, score, of, 100 * score / of, noted


def _reliability(group: Group) -> tuple[Cell, ...]:
    found = group.reliability
    alpha = found.alpha
    ends = (None, None, None) if alpha is None else (alpha.value, alpha.low, alpha.high)
    return (
        *(_forms(group), group.people, len(group.items), group.mean, group.deviation),
        *(*ends, found.kr20, found.kr21, found.error, found.times),
    )


def _items(group: Group) -> Iterator[tuple[Cell, ...]]:
    raised = {one.asked.name: names for one, names in group.flagged}
    for one in group.items:
        item, share, rest = one.asked.item, one.difficulty, one.corrected
        yield (
            *(_forms(group), _BETWEEN.join(one.asked.named), item.ident),
            *(item.model, item.case, item.topic, item.kind, one.people, one.right),
            *(share.value, share.low, share.high),
            *((None, None, None) if rest is None else (rest.value, rest.low, rest.high)),
            *(one.discrimination, one.alpha_without, one.functioning, one.unanswered),
            _BETWEEN.join(raised.get(one.asked.name, ())),
        )


def _options(group: Group) -> Iterator[tuple[Cell, ...]]:
    for one in group.items:
        for option in one.options:
            yield (
                *(_forms(group), one.asked.name, option.meaning.label, _text(option.meaning.text)),
                *(_yes(option.meaning.right), option.meaning.mistake),
                *(option.count, option.share, option.mean_total, _value(option.correlation)),
                _functions(option),
            )


def _value(found: Interval | None) -> float | None:
    return None if found is None else found.value


def _functions(option: OptionStatistic) -> str:
    return "" if option.functions is None else _yes(option.functions)


def _yes(what: bool) -> str:
    return "yes" if what else "no"


def _text(text: str) -> str:
    """A text that no spreadsheet takes for a formula, as one begins with a minus or an equals
    sign.
    """
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


def _families(analysis: Analysis) -> Iterable[tuple[Cell, ...]]:
    for one in analysis.families:
        share = one.difficulty
        yield (
            *(one.model, one.case, one.topic, _BETWEEN.join(one.questions), one.answers, one.right),
            *(share.value, share.low, share.high, one.spread, one.corrected, one.discrimination),
        )


def _history(analysis: Analysis) -> str:
    """Rows for the history of the paper's record, from which blueprints know how hard a model is;
    the sitting has still to be named.
    """
    answers, right = Counter[str](), Counter[str]()
    for one in analysis.families:
        answers[one.model] += one.answers
        right[one.model] += one.right
    name = messages.text("exam.statistics.sitting")
    rows = (
        f"  - {{sitting: {name}, model: {model}, candidates: {count}, right: {right[model]}}}\n"
        for model, count in sorted(answers.items())
    )
    return "".join(("history:\n", *rows))


def _mistake(one: Misunderstanding) -> tuple[Cell, ...]:
    share = one.share
    return (
        *(one.model, one.mistake, _text(one.title), one.answers, one.people, one.met),
        *(share.value, share.low, share.high),
    )
