"""Everything about published results that no single field can tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from offmidline import messages
from offmidline.records.document import Way
from offmidline.records.draft import Draft, check_id, check_unique, known_values
from offmidline.records.evidence import NOT_STATED, RATIOS, TIMED
from offmidline.records.faults import shown
from offmidline.records.fields import did_you_mean
from offmidline.records.known import Known

_FORMS: Final = ("arms", "rate", "estimate", "finding")
_OPERATIONS: Final = "site.operations"


def check_evidence(draft: Draft, known: Known) -> None:
    """Its source exists; every row is there once, holds one form of result, and hangs together."""
    check_id(draft, "evidence")
    source = draft.text("source")
    if known.sources is not None and source is not None and source not in known.sources:
        draft.fault(("source",), "no_such_source", **known_values(source, known.sources))
    check_unique(draft, [("rows", n, "row") for n in draft.items("rows")])
    for n in draft.items("rows"):
        _check_row(draft, ("rows", n))


def _check_row(draft: Draft, way: Way) -> None:
    if sum(form in draft.keys(*way) for form in _FORMS) != 1:
        draft.document.fault(draft.document.key_mark(way), "one_form")
    _check_follow_up(draft, way)
    _check_operations(draft, way)
    for n in draft.items(*way, "arms"):
        events, of = (draft.count(*way, "arms", n, key) for key in ("events", "of"))
        if events is not None and of is not None and events > of:
            draft.fault((*way, "arms", n, "events"), "more_events", of=of)
    for form, middle in (("rate", "percent"), ("estimate", "value")):
        low, value, high = (_number(draft, *way, form, key) for key in ("low", middle, "high"))
        if (low is None) != (high is None):
            draft.fault((*way, form), "half_interval")
        elif (
            low is not None and value is not None and high is not None and not low <= value <= high
        ):
            draft.fault((*way, form, middle), "outside_interval", low=low, high=high)
    _check_measure(draft, (*way, "estimate"))


def _check_follow_up(draft: Draft, way: Way) -> None:
    """A recurrence has its time; a mean, and the end of a range, belong to a time."""
    keys = draft.keys(*way)
    if draft.text(*way, "outcome") in TIMED and "follow_up" not in keys:
        draft.document.fault(draft.document.key_mark(way), "follow_up_missing")
    if draft.text(*way, "follow_up") in (None, NOT_STATED):
        for key in ("follow_up_is", "follow_up_to"):
            if key in keys and (*way, "follow_up") not in draft.at_fault:
                draft.fault((*way, key), "follow_up_no_time", key=key)
    start, end = (draft.duration(*way, key) for key in ("follow_up", "follow_up_to"))
    if start is not None and end is not None and end <= start:
        draft.fault((*way, "follow_up_to"), "follow_up_reversed")


def _check_operations(draft: Draft, way: Way) -> None:
    """What is compared has words, or no page could name it."""
    known = messages.section(_OPERATIONS)
    for part in _operations(draft, way):
        name = draft.text(*part)
        if name is not None and name not in known:
            hint = did_you_mean(name, known)
            draft.fault(
                part, "unknown_operation", value=shown(name), section=_OPERATIONS, hint=hint
            )


def _operations(draft: Draft, way: Way) -> Iterator[Way]:
    for n in draft.items(*way, "arms"):
        yield (*way, "arms", n, "operation")
    yield (*way, "rate", "operation")
    for form in ("estimate", "finding"):
        for n in draft.items(*way, form, "between"):
            yield (*way, form, "between", n)


def _check_measure(draft: Draft, way: Way) -> None:
    """A ratio is positive and has no unit; a difference has one."""
    measure = draft.text(*way, "measure")
    if measure is None:
        return
    if (measure in RATIOS) == ("unit" in draft.keys(*way)):
        draft.fault((*way, "measure"), "unit_of_measure", measure=shown(measure))
    for key in ("value", "low", "high"):
        number = _number(draft, *way, key)
        if measure in RATIOS and number is not None and number <= 0:
            draft.fault((*way, key), "ratio_not_positive", key=key)


def _number(draft: Draft, *way: str | int) -> float | None:
    text = draft.text(*way)
    try:
        return None if text is None else float(text)
    except ValueError:
        return None
