"""Everything about a complication that no single field can tell."""

from __future__ import annotations

from offmidline.records.draft import (
    Draft,
    check_id,
    check_standing,
    check_unique,
    known_values,
)
from offmidline.records.known import Known


def check_complication(draft: Draft, known: Known) -> None:
    """The window, each sign once, and that everything named exists."""
    check_id(draft, "complication")
    check_standing(draft, (), known.sources)
    for n in draft.items("raised_by"):
        check_standing(draft, ("raised_by", n), known.sources)
    start, end = (draft.duration("window", name) for name in ("from", "to"))
    if start is not None and end is not None and end <= start:
        draft.fault(("window", "to"), "window_reversed")
    check_unique(draft, [("signs", n, "sign") for n in draft.items("signs")])
    _check_frequency(draft, known)
    _check_grades(draft, known)


def _check_frequency(draft: Draft, known: Known) -> None:
    for n in draft.items("frequency"):
        row = draft.text("frequency", n)
        if known.rows is not None and row is not None and row not in known.rows:
            draft.fault(("frequency", n), "unknown_row", **known_values(row, known.rows))


def _check_grades(draft: Draft, known: Known) -> None:
    systems = known.grades
    if systems is None:
        return
    for n in draft.items("grades"):
        system, grade = draft.text("grades", n, "system"), draft.text("grades", n, "grade")
        if system is None:
            continue
        if system not in systems:
            values = known_values(system, systems)
            draft.fault(("grades", n, "system"), "unknown_system", **values)
        elif grade is not None and grade not in systems[system]:
            values = known_values(grade, systems[system])
            draft.fault(("grades", n, "grade"), "unknown_grade", system=system, **values)
