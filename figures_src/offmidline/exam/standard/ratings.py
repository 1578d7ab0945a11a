"""Judges' ratings from CSV files, or every fault of them.

===================== ============================================================================
method                header
===================== ============================================================================
angoff                ``item`` and one column a judge: chances between 0 and 1
ebel                  ``relevance,difficulty,items`` and one column a judge: shares between 0 and 1
hofstee               ``judge,lowest_cut,highest_cut,lowest_fail,highest_fail``: marks, per cent
borderline-regression ``candidate,score`` and one column a judge: grades
===================== ============================================================================

Hofstee takes the candidates' scores from a second file with the columns ``candidate,score``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from offmidline.exam.rows import Faults, Row, columns_of, judges_of, read_table, refuse_name
from offmidline.exam.standard.angoff import AngoffRatings
from offmidline.exam.standard.borderline_regression import GradedScores
from offmidline.exam.standard.ebel import EbelRatings
from offmidline.exam.standard.hofstee import HofsteeRatings
from offmidline.items.score import UnreadableNumberError, read_number

Real = NDArray[np.float64]

BOUNDS: Final = ("lowest_cut", "highest_cut", "lowest_fail", "highest_fail")
# What ``offmidline analyse`` writes beside a score.
BESIDE_SCORES: Final = ("form", "of", "percent", "minutes")
_HUNDRED: Final = 100.0
_ANY: Final = (-math.inf, math.inf)
_SHARE: Final = (0.0, 1.0)
_COUNT: Final = re.compile("[0-9]{1,6}")
# A line needs so many points to have an error.
_FEWEST_GRADED: Final = 3


def read_angoff(path: Path) -> AngoffRatings:
    """The chances of an Angoff file; raises FaultsError with all of its faults."""
    table = read_table(path, "item")
    judges = judges_of(table, ("item",), 1)
    names = _Names(table.faults)
    items, chances = [], []
    at = table.header.cells.index("item")
    for row in table.rows:
        items.append(names.take(row, at))
        chances.append(_numbers(table.faults, row, judges, _SHARE))
    table.faults.refuse()
    return AngoffRatings(tuple(items), tuple(judges), np.array(chances))


def read_ebel(path: Path) -> EbelRatings:
    """The grid of an Ebel file; raises FaultsError with all of its faults."""
    due = ("relevance", "difficulty", "items")
    table = read_table(path, due[0])
    judges = judges_of(table, due, 1)
    relevance, difficulty, items = map(table.header.cells.index, due)
    cells: dict[tuple[str, str], int] = {}
    counts, expected = [], []
    for row in table.rows:
        for at in (relevance, difficulty):
            refuse_name(table.faults, row.line, at + 1, row.cells[at])
        cell = row.cells[relevance], row.cells[difficulty]
        if cells.setdefault(cell, row.line) != row.line:
            table.faults.add(row.line, relevance + 1, "cell_twice", first=cells[cell])
        counts.append(_whole(table.faults, row, items))
        expected.append(_numbers(table.faults, row, judges, _SHARE))
    if not sum(counts):
        table.faults.add(table.header.line, items + 1, "no_items")
    table.faults.refuse()
    return EbelRatings(tuple(cells), tuple(judges), tuple(counts), np.array(expected))


def read_hofstee(path: Path) -> HofsteeRatings:
    """The bounds of a Hofstee file; raises FaultsError with all of its faults."""
    table = read_table(path, "judge")
    places = columns_of(table, ("judge", *BOUNDS))
    names = _Names(table.faults)
    judges, bounds = [], []
    cuts = {name: places[name] for name in BOUNDS[:2]}
    fails = {name: places[name] for name in BOUNDS[2:]}
    for row in table.rows:
        judges.append(names.take(row, places["judge"]))
        lowest, highest = _numbers(table.faults, row, cuts, (0.0, math.inf))
        least, most = _numbers(table.faults, row, fails, (0.0, _HUNDRED))
        for low, high, at in (
            (lowest, highest, cuts["highest_cut"]),
            (least, most, fails["highest_fail"]),
        ):
            if low >= high:
                table.faults.add(row.line, at + 1, "bounds", value=row.cells[at])
        bounds.append((lowest, highest, least / _HUNDRED, most / _HUNDRED))
    table.faults.refuse()
    return HofsteeRatings(tuple(judges), np.array(bounds))


def read_scores(path: Path) -> Real:
    """The scores (marks) of a file of candidates; raises FaultsError with all of its faults."""
    table = read_table(path, "candidate")
    places = columns_of(table, ("candidate", "score"), BESIDE_SCORES)
    names = _Names(table.faults)
    scores = []
    for row in table.rows:
        names.take(row, places["candidate"])
        scores += _numbers(table.faults, row, {"score": places["score"]}, (0.0, math.inf))
    table.faults.refuse()
    return np.array(scores)


def read_graded(path: Path, borderline: float) -> GradedScores:
    """Scores with grades; raises FaultsError with all of the file's faults, also where the
    borderline grade lies beyond the grades given.
    """
    table = read_table(path, "candidate")
    judges = judges_of(table, ("candidate", "score"), 1)
    names = _Names(table.faults)
    candidate, score = map(table.header.cells.index, ("candidate", "score"))
    scores, grades = [], []
    for row in table.rows:
        names.take(row, candidate)
        scores += _numbers(table.faults, row, {"score": score}, (0.0, math.inf))
        grades.append(_numbers(table.faults, row, judges, _ANY))
    table.faults.refuse()
    graded = GradedScores(tuple(judges), np.array(scores), np.array(grades))
    _check_grades(table.faults, graded, borderline)
    return graded


def _check_grades(faults: Faults, graded: GradedScores, borderline: float) -> None:
    """Refuse what a line cannot be laid through."""
    means = graded.mean_grades
    if len(means) < _FEWEST_GRADED or np.ptp(means) == 0:
        faults.add(1, 1, "too_few_grades", least=_FEWEST_GRADED)
    elif not means.min() <= borderline <= means.max():
        low, high = f"{means.min():g}", f"{means.max():g}"
        faults.add(1, 1, "borderline", value=f"{borderline:g}", low=low, high=high)
    faults.refuse()


class _Names:
    """The names of a column, each of which may stand there once."""

    def __init__(self, faults: Faults) -> None:
        self._faults = faults
        self._lines: dict[str, int] = {}

    def take(self, row: Row, at: int) -> str:
        """The name in a row."""
        name = row.cells[at]
        if refuse_name(self._faults, row.line, at + 1, name):
            first = self._lines.setdefault(name, row.line)
            if first != row.line:
                self._faults.add(row.line, at + 1, "candidate_twice", name=name, first=first)
        return name


def _numbers(
    faults: Faults, row: Row, places: Mapping[str, int], allowed: tuple[float, float]
) -> list[float]:
    """The numbers of some columns of a row; not a number where one is at fault."""
    return [_number(faults, row, name, at, allowed) for name, at in places.items()]


def _number(faults: Faults, row: Row, name: str, at: int, allowed: tuple[float, float]) -> float:
    text, (low, high) = row.cells[at], allowed
    try:
        value = read_number(text)
    except UnreadableNumberError:
        faults.add(row.line, at + 1, "no_number", column=name, value=text)
        return math.nan
    if low <= value <= high:
        return value
    span = ("from_to", low, high) if math.isfinite(high) else ("at_least", low, high)
    faults.add(row.line, at + 1, span[0], column=name, value=text, low=f"{low:g}", high=f"{high:g}")
    return math.nan


def _whole(faults: Faults, row: Row, at: int) -> int:
    text = row.cells[at]
    if _COUNT.fullmatch(text):
        return int(text)
    faults.add(row.line, at + 1, "no_count", value=text)
    return 0
