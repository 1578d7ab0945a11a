"""From files of ratings to what is told of them, a function for each method."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from offmidline import messages
from offmidline.exam.flags import INFORMATIVE_FROM
from offmidline.exam.standard.angoff import angoff
from offmidline.exam.standard.borderline_regression import (
    GradedScores,
    RegressionCut,
    borderline_regression,
)
from offmidline.exam.standard.ebel import ebel
from offmidline.exam.standard.hofstee import HofsteeCut, hofstee
from offmidline.exam.standard.plots import hofstee_figure, judges_figure, regression_figure
from offmidline.exam.standard.ratings import (
    BOUNDS,
    read_angoff,
    read_ebel,
    read_graded,
    read_hofstee,
    read_scores,
)
from offmidline.exam.standard.report import Standard, title
from offmidline.exam.told import PLACES, percent, span, told

Real = NDArray[np.float64]

# Fewer judges than this are said to be few; common practice, no source.
FEW_JUDGES: Final = 5


def by_angoff(path: Path) -> Standard:
    """Angoff's cut of a file; raises FaultsError with all of its faults."""
    ratings = read_angoff(path)
    found = angoff(ratings)
    shown = np.column_stack([ratings.chances, found.means])
    rows = [(item, *_rated(row)) for item, row in zip(ratings.items, shown, strict=True)]
    return Standard(
        method="angoff",
        cut=found.cut,
        miss="",
        intro=_say("intro.angoff", judges=len(ratings.judges), items=len(ratings.items)),
        measures=(),
        numbers=_own(ratings.judges, found.own),
        warnings=_few_judges(len(ratings.judges)),
        agreement=found.agreement if len(ratings.judges) > 1 else None,
        heads=(_head("item"), *ratings.judges, _head("mean")),
        ratings=[*rows, (_head("own"), *map(told, found.own), told(found.cut.value))],
        figure=judges_figure(title("angoff"), ratings.judges, found.own, found.cut),
    )


def by_ebel(path: Path) -> Standard:
    """Ebel's cut of a file; raises FaultsError with all of its faults."""
    ratings = read_ebel(path)
    found = ebel(ratings)
    shown = np.column_stack([ratings.expected, found.means])
    rows = [
        (*cell, str(count), *_rated(row))
        for cell, count, row in zip(ratings.cells, ratings.counts, shown, strict=True)
    ]
    own = (_head("own"), "", str(sum(ratings.counts)), *map(told, found.own), told(found.cut.value))
    return Standard(
        method="ebel",
        cut=found.cut,
        miss="",
        intro=_say("intro.ebel", judges=len(ratings.judges), items=sum(ratings.counts)),
        measures=(),
        numbers=_own(ratings.judges, found.own),
        warnings=_few_judges(len(ratings.judges)),
        agreement=found.agreement if len(ratings.judges) > 1 else None,
        heads=(
            *map(_head, ("relevance", "difficulty", "items")),
            *ratings.judges,
            _head("mean"),
        ),
        ratings=[*rows, own],
        figure=judges_figure(title("ebel"), ratings.judges, found.own, found.cut),
    )


def by_hofstee(path: Path, scores_path: Path) -> Standard:
    """Hofstee's cut of a file and the candidates' scores; raises FaultsError with all faults."""
    ratings, scores = read_hofstee(path), read_scores(scores_path)
    found = hofstee(ratings, scores)
    shown = ratings.bounds * (1, 1, 100, 100)
    means = (_head("mean"), *map(told, shown.mean(axis=0)))
    rows = [(judge, *map(told, row)) for judge, row in zip(ratings.judges, shown, strict=True)]
    return Standard(
        method="hofstee",
        cut=found.cut,
        miss="" if found.miss is None else _say(f"misses.{found.miss}"),
        intro=_say("intro.hofstee", judges=len(ratings.judges), candidates=len(scores)),
        measures=_hofstee(found),
        numbers=(("fails", found.fails), *_box(found)),
        warnings=_few_judges(len(ratings.judges)),
        agreement=None,
        heads=(_head("judge"), *map(_head, BOUNDS)),
        ratings=[*rows, means],
        figure=hofstee_figure(title("hofstee"), found, scores),
    )


def by_borderline_regression(path: Path, borderline: float) -> Standard:
    """The cut of a file of scores and grades; raises FaultsError with all of its faults."""
    graded = read_graded(path, borderline)
    found = borderline_regression(graded, borderline)
    method = "borderline-regression"
    return Standard(
        method=method,
        cut=found.cut,
        miss="",
        intro=_say(
            f"intro.{method}",
            candidates=len(graded.scores),
            judges=len(graded.judges),
            borderline=f"{borderline:g}",
        ),
        measures=[(name, told(value)) for name, value in _regression(found)],
        numbers=_regression(found),
        warnings=_few_candidates(len(graded.scores)),
        agreement=found.agreement if len(graded.judges) > 1 else None,
        heads=tuple(map(_head, ("grade", "candidate_count", "mean_score"))),
        ratings=list(_by_grade(graded)),
        figure=regression_figure(title(method), graded, found, borderline),
    )


def _by_grade(graded: GradedScores) -> Iterable[tuple[str, str, str]]:
    """How many candidates had each mean grade, and their mean score."""
    grades = graded.mean_grades
    for grade in np.unique(grades):
        scores = graded.scores[grades == grade]
        yield f"{grade:g}", str(len(scores)), told(float(scores.mean()))


def _regression(found: RegressionCut) -> list[tuple[str, float | None]]:
    return [
        (name, getattr(found, name))
        for name in ("slope", "intercept", "explained", "rmse", "group_mean", "group_median")
    ]


def _hofstee(found: HofsteeCut) -> list[tuple[str, str]]:
    box = found.box
    fails = span(100 * box.lowest_fail, 100 * box.highest_fail, 1)
    measures = [
        ("box_cut", span(box.lowest_cut, box.highest_cut)),
        ("box_fail", messages.text("exam.numbers.percent", value=fails)),
    ]
    return measures if found.fails is None else [("fails", percent(found.fails)), *measures]


def _box(found: HofsteeCut) -> list[tuple[str, float]]:
    return [(name, getattr(found.box, name)) for name in BOUNDS]


def _rated(row: Real) -> tuple[str, ...]:
    """Ratings, and their mean with one decimal more."""
    *ratings, mean = row
    return (*map(told, ratings), told(mean, PLACES + 1))


def _few_judges(count: int) -> tuple[str, ...]:
    return (_say("few_judges", count=count),) if count < FEW_JUDGES else ()


def _few_candidates(count: int) -> tuple[str, ...]:
    return (_say("few_candidates", count=count),) if count < INFORMATIVE_FROM else ()


def _own(judges: Sequence[str], own: Sequence[float]) -> list[tuple[str, float]]:
    return [(f"own cut of {judge}", cut) for judge, cut in zip(judges, own, strict=True)]


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.standard.{name}", **values)


def _head(name: str) -> str:
    return _say(f"ratings.{name}")
