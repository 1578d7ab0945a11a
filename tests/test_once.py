"""Answers that are worked out once for each case plan and kept with it."""

from __future__ import annotations

import copy
import gc
import weakref
from dataclasses import fields, replace

from tests.strategies import a_case, a_technique

from offmidline.once import once
from offmidline.plan import CasePlan, plan_case


def test_each_plan_is_asked_once():
    """A second call with the same plan gives the first answer; another plan gets its own."""
    asked = []

    @once
    def lowest(planned: CasePlan) -> float:
        asked.append(planned)
        return min(pit.at for pit in planned.case.findings.pits)

    one, other = (plan_case(a_case(pits=[(at, 2)]), a_technique()) for at in (70, 60))
    assert [lowest(plan) for plan in (one, other, one, other)] == [70, 60, 70, 60]
    assert len(asked) == 2


def test_nothing_counts_as_an_answer():
    """None is kept like any other answer."""
    asked = []

    @once
    def nothing(planned: CasePlan) -> None:
        asked.append(planned)

    planned = plan_case(a_case(), a_technique())
    nothing(planned)
    nothing(planned)
    assert len(asked) == 1


def test_a_kept_answer_changes_nothing_else_and_goes_with_its_plan():
    """Plans stay equal, a changed copy starts anew, and no answer outlives its plan."""

    class Answer:
        """Something that can be watched."""

    @once
    def answer(_: CasePlan) -> Answer:
        return Answer()

    planned = plan_case(a_case(), a_technique())
    kept = weakref.ref(answer(planned))
    changed = replace(planned, conflicts=())
    assert changed == planned
    assert answer(changed) is not kept()
    del planned
    gc.collect()
    assert kept() is None


def test_a_copy_takes_no_answers_with_it():
    """A plan that is handed to another process carries its fields alone, and compares as equal."""

    @once
    def answer(_: CasePlan) -> object:
        return object()

    planned = plan_case(a_case(), a_technique())
    kept = answer(planned)
    twin = copy.copy(planned)
    assert twin == planned
    assert set(vars(twin)) == {field.name for field in fields(CasePlan)}
    assert answer(twin) is not kept
