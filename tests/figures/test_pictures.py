"""Every picture of every view, on every case: nothing overlaps, is clipped, too small or too
large.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from functools import lru_cache

import pytest
from tests.figures.published import extremes, pictures
from tests.figures.soundness import faults
from tests.generated import cases, technique
from tests.strategies import shipped_plans

from offmidline import figures
from offmidline.plan import CasePlan, plan_case

GENERATED = 300
BLOCK = 100
# How many pictures of generated cases are tried of a view: one that makes many of a case is tried
# on fewer cases, unless more is asked for (HYPOTHESIS_PROFILE=search).
PICTURES = 120
# Views that ask make a picture of every marking of a case, all built alike: fewer still.
PICTURES_ASKED = 60


@lru_cache(maxsize=1)
def _generated() -> tuple[CasePlan, ...]:
    return tuple(plan_case(case, technique()) for case in cases(GENERATED, seed=20))


def _block(start: int, view: str) -> Iterator[CasePlan]:
    """Some of the generated cases; before the first of them, those shipped and the extreme ones."""
    if start < 0:
        yield from (*shipped_plans(), *extremes().values())
    else:
        yield from _generated()[start : start + BLOCK : _step(view)]


def _step(view: str) -> int:
    """Of how many generated cases one is tried."""
    if os.environ.get("HYPOTHESIS_PROFILE") == "search":
        return 1
    of_a_case = max(len(figures.VIEWS[view].parts(planned)) for planned in _with_marking())
    most = PICTURES if figures.VIEWS[view].listed else PICTURES_ASKED
    return max(1, math.ceil(GENERATED * of_a_case / most))


def _with_marking() -> Iterator[CasePlan]:
    return (planned for planned in shipped_plans() if planned.right is not None)


@pytest.mark.parametrize("start", range(-BLOCK, GENERATED, BLOCK))
@pytest.mark.parametrize("view", figures.VIEWS)
def test_pictures_are_sound(view: str, start: int):
    """Every picture of shipped, extreme and generated cases passes every check of soundness."""
    wrong = []
    seen = 0
    for planned in _block(start, view):
        for drawn in pictures(planned, view):
            seen += 1
            wrong += [
                f"{planned.case.title} | {drawn[1].title} | {fault}" for fault in faults(drawn)
            ]
    assert not wrong, "\n".join(wrong[:40])
    assert seen > 0
