"""What follows from a case plan, worked out once and kept with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from offmidline.plan import CasePlan

Found = TypeVar("Found")


def once(work: Callable[[CasePlan], Found]) -> Callable[[CasePlan], Found]:
    """The same function, which works out its answer only once for each case plan.

    The answer is kept in the plan itself, as ``functools.cached_property`` keeps one, and goes with
    it; plans are frozen, so that it stays true.
    """
    key = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def remembered(planned: CasePlan) -> Found:
        kept = vars(planned)
        if key not in kept:
            kept[key] = work(planned)
        found: Found = kept[key]
        return found

    return remembered
