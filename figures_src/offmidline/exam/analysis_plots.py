"""The plots of an analysis: how scores are spread, and every question's two numbers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from offmidline import messages
from offmidline.evidence import Proportion
from offmidline.exam.analysis import Group
from offmidline.exam.flags import EASY_ABOVE, HARD_BELOW
from offmidline.exam.picture import Dot, Panel, bars, rows
from offmidline.exam.reliability import Interval
from offmidline.exam.told import told
from offmidline.figures.charts.marks import Form
from offmidline.figures.page.axes import Axis
from offmidline.figures.words import Words

_SOUND: Final[Form] = "disc"
_FLAGGED: Final[Form] = "diamond"


@dataclass(frozen=True)
class Plotted:
    """A plot as ``<svg>``, and its words."""

    svg: str
    words: Words


def score_plot(ident: str, group: Group, forms: str) -> Plotted:
    """How many candidates had each score."""
    totals = group.marks.totals
    questions = len(group.items)
    words = _words(
        "scores",
        forms=forms,
        count=group.people,
        lowest=int(totals.min()),
        highest=int(totals.max()),
        questions=questions,
        mean=told(group.mean),
    )
    counts = np.bincount(totals, minlength=questions + 1).tolist()
    names = _say("scores.x"), _say("scores.y")
    return Plotted(bars(ident, words, _say("scores.subtitle"), counts, names), words)


def item_plot(ident: str, group: Group, forms: str) -> Plotted:
    """Difficulty and correlation with the rest, a row for each question."""
    flagged = {one.asked.name for one, _ in group.flagged}
    words = _words("items", forms=forms, questions=len(group.items), flagged=len(flagged))
    marks: list[Form] = [_FLAGGED if one.asked.name in flagged else _SOUND for one in group.items]
    hard = [_dot(one.difficulty, form) for one, form in zip(group.items, marks, strict=True)]
    rest = [
        None if one.corrected is None else _dot(one.corrected, form)
        for one, form in zip(group.items, marks, strict=True)
    ]
    panels = (
        Panel(Axis(0.0, 1.0, _say("items.difficulty")), hard, (HARD_BELOW, EASY_ABOVE)),
        Panel(Axis(-1.0, 1.0, _say("items.corrected")), rest, (0.0,)),
    )
    key = ((_SOUND, _say("items.sound")), (_FLAGGED, _say("items.flagged")))
    names = [one.asked.name for one in group.items]
    drawn = rows(ident, words, _say("items.subtitle"), names, panels, key, [_say("items.note")])
    return Plotted(drawn, words)


# Drawn of a group whose forms are called so; the id begins every id in the plot.
PLOTS: Final[Mapping[str, Callable[[str, Group, str], Plotted]]] = MappingProxyType(
    {"scores": score_plot, "items": item_plot}
)


def _dot(found: Interval | Proportion, form: Form) -> Dot:
    return Dot(found.value, found.low, found.high, form)


def _say(name: str) -> str:
    return messages.text(f"exam.statistics.figures.{name}")


def _words(name: str, **values: object) -> Words:
    texts: Mapping[str, Any] = messages.section(f"exam.statistics.figures.{name}")
    title, description, caption = (
        str(texts[key]).format_map(values) for key in ("title", "description", "caption")
    )
    return Words(title, description, caption)
