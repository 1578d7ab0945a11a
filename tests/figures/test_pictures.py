"""Every picture of every view, on every case: nothing overlaps, is clipped, too small or too
large.
"""

from __future__ import annotations

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
# Views that ask make a picture of every marking of a case, all built alike: of the generated cases
# they are tried on one in so many.
ASKED = 20


@lru_cache(maxsize=1)
def _generated() -> tuple[CasePlan, ...]:
    return tuple(plan_case(case, technique()) for case in cases(GENERATED, seed=20))


def _block(start: int, view: str) -> Iterator[CasePlan]:
    """Some of the generated cases; before the first of them, those shipped and the extreme ones."""
    if start < 0:
        yield from (*shipped_plans(), *extremes().values())
    else:
        yield from _generated()[start : start + BLOCK : 1 if figures.VIEWS[view].listed else ASKED]


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
