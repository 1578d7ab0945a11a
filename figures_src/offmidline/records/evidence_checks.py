"""Everything about published results that no single field can tell."""

from __future__ import annotations

from typing import Final

from offmidline.records.document import Way
from offmidline.records.draft import Draft, check_id, check_unique, known_values
from offmidline.records.known import Known

_FORMS: Final = ("arms", "rate", "estimate", "finding")


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
    if draft.text(*way, "outcome") == "recurrence" and "follow_up" not in draft.keys(*way):
        draft.document.fault(draft.document.key_mark(way), "follow_up_missing")
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


def _number(draft: Draft, *way: str | int) -> float | None:
    text = draft.text(*way)
    try:
        return None if text is None else float(text)
    except ValueError:
        return None
