"""A mistake beside what is right: the two plans, the rules that it breaks, and what differs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from offmidline import messages, rule_words
from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import Array, polyline, segments, together
from offmidline.figures.page.foot_table import FootTable
from offmidline.figures.page.hatching import hatch
from offmidline.figures.page.labels import Column, Label
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.style import TEXT_SIZE, THIN
from offmidline.figures.view import right
from offmidline.figures.words import say
from offmidline.mistakes import MISTAKES, Mistake, wrong_plans
from offmidline.plan import CasePlan, Plan
from offmidline.rules import Verdict, judge
from offmidline.variants import Picture, what_changes

RIGHT: Final = "right"
WRONG: Final = "wrong"

# Lines of a hatch lie so far apart, measured across the page: of what is too much, and of what is
# missing.
_DENSE: Final = 2.4
_SPARSE: Final = 3.6
# A shorter line (mm across the page) would be a dot.
_SHORTEST: Final = 0.2
# Hatched areas are named at the middles of their longest lines.
_ANCHORS: Final = 8
# What is narrower than this (mm on the page) is a line rather than an area, and not named.
_NAMED: Final = 1.5


# How the table of rules is parted.
_SHARES: Final = (83.5, 25.5, 36.0)


class Pair(NamedTuple):
    """A mistake, its plan beside the right one, and the rules that are not met, those that it
    always breaks first.
    """

    mistake: Mistake
    right: Plan
    wrong: Plan
    broken: tuple[Verdict, ...]

    @property
    def title(self) -> str:
        """What the mistake is called."""
        return messages.text(f"mistakes.{self.mistake.mistake}.title")

    @property
    def picture(self) -> Picture:
        """The kind of picture that shows it."""
        return what_changes(self.right.marking, self.wrong.marking)

    def panel(self, gid: str) -> str:
        """What stands above a panel."""
        return say(f"mistakes.panel_{gid}", mistake=self.title)

    @property
    def plans(self) -> tuple[tuple[str, Plan, Plan], ...]:
        """Name, plan and the other plan of the two panels."""
        return (RIGHT, self.right, self.wrong), (WRONG, self.wrong, self.right)


def pair(planned: CasePlan, name: str) -> Pair:
    """The pair of a mistake that applies to a case."""
    (mistake,) = (one for one in MISTAKES if one.mistake == name)
    wrong = wrong_plans(planned)[name]
    broken = [verdict for verdict in judge(wrong) if verdict.verdict == "not met"]
    broken.sort(key=lambda verdict: verdict.rule not in mistake.breaks)
    return Pair(mistake, right(planned), wrong, tuple(broken))


def verdict_words(verdict: Verdict) -> str:
    """A rule that is not met, with what was measured and what is required."""
    measured, required = _values(verdict)
    return say("mistakes.not_met", rule=verdict.title, measured=measured, required=required)


def verdict_table(shown: Pair) -> FootTable:
    """What stands below the drawing: the rules that are not met, with measured and required."""
    heads = tuple(say(f"mistakes.table_{head}") for head in ("rule", "measured", "required"))
    rows = [(verdict.title, *_values(verdict)) for verdict in shown.broken]
    return FootTable("not-met", [heads, *rows], _SHARES)


def _values(verdict: Verdict) -> tuple[str, str]:
    """What a rule that is not met measured and requires."""
    if verdict.measured is None or verdict.required is None:
        return "", ""
    return (
        rule_words.value(verdict.measured, verdict.unit),
        rule_words.asked(verdict.required, verdict.unit),
    )


@dataclass(frozen=True)
class Difference:
    """Areas in which a wrong plan differs, by what is wrong about them: ``excess`` or
    ``missing``.
    """

    gid: str
    rings: Sequence[Array]

    def lines(self, scale: float) -> Array:
        """The lines of its hatch, shape (n, 2, 2), at a scale of the page."""
        excess = self.gid == "excess"
        lines = hatch(self.rings, (_DENSE if excess else _SPARSE) / scale, rising=excess)
        return lines[np.abs(lines[:, 1, 0] - lines[:, 0, 0]) * scale >= _SHORTEST]


def shade(board: Board, difference: Difference) -> None:
    """Tell an area that differs: what is too much tinted and hatched closely, what is missing
    hatched the other way.
    """
    if not difference.rings:
        return
    scale = board.frame.scale
    if difference.gid == "excess":
        area = together([polyline(_short(ring, scale), closed=True) for ring in difference.rings])
        board.area(f"{difference.gid}-area", area, "wrong-tint")
    lines = difference.lines(scale)
    if len(lines):
        board.line(difference.gid, segments(_short(lines, scale)), "wrong", THIN)


def _short(points: Array, scale: float) -> Array:
    """Points to hundredths of a mm on the page, which are enough for what is shaded and keep the
    file small.
    """
    rounded: Array = np.round(points * scale, 2) / scale
    return rounded


def name_difference(
    board: Board, difference: Difference, text: str, columns: tuple[Column, ...], room: float
) -> None:
    """The name of an area that differs, if there is one, with a leader into it."""
    lines = difference.lines(board.frame.scale)
    lengths = np.abs(lines[:, 1, 0] - lines[:, 0, 0])
    if lengths.max(initial=0.0) * board.frame.scale < _NAMED:
        return
    longest = lines[np.argsort(-lengths, kind="stable")[:_ANCHORS]]
    middles = board.frame.page(longest.mean(axis=1))
    anchors = tuple((float(x), float(y)) for x, y in middles)
    label = Label(
        f"label-{difference.gid}", wrap(text, room, TEXT_SIZE), anchors, columns, dot=True
    )
    board.label(label)
