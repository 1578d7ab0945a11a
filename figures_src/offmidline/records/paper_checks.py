"""Everything about a paper that no single field can tell."""

from __future__ import annotations

from collections.abc import Collection

from offmidline.records.document import Way
from offmidline.records.draft import Draft, check_id, known_values
from offmidline.records.faults import shown
from offmidline.records.known import Known


def check_paper(draft: Draft, known: Known) -> None:
    """Its technique and cases exist, nothing is there twice, and its numbers hang together."""
    check_id(draft, "paper")
    _check_known(draft, ("technique",), "unknown_technique", known.techniques)
    for n in draft.items("cases"):
        _check_known(draft, ("cases", n), "unknown_case", known.cases)
    for name in ("cases", "forms"):
        _check_once(draft, name)
    _check_blueprint(draft)
    for n in draft.items("history"):
        right, candidates = (draft.count("history", n, key) for key in ("right", "candidates"))
        if right is not None and candidates is not None and right > candidates:
            draft.fault(("history", n, "right"), "more_right", candidates=candidates)


def _check_known(draft: Draft, way: Way, fault: str, known: Collection[str] | None) -> None:
    found = draft.text(*way)
    if known is not None and found is not None and found not in known:
        draft.fault(way, fault, **known_values(found, known))


def _check_once(draft: Draft, name: str) -> None:
    seen: set[str] = set()
    for n in draft.items(name):
        text = draft.text(name, n)
        if text is not None and text in seen:
            draft.fault((name, n), "id_twice", key=name, value=shown(text))
        elif text is not None:
            seen.add(text)


def _check_blueprint(draft: Draft) -> None:
    seen: set[tuple[str, str]] = set()
    for n in draft.items("blueprint"):
        topic, kind = (draft.text("blueprint", n, key) for key in ("topic", "kind"))
        if topic is not None and kind is not None:
            if (topic, kind) in seen:
                draft.fault(("blueprint", n), "row_twice", topic=topic, kind=kind)
            seen.add((topic, kind))
        hardest, easiest = (_share(draft, n, key) for key in ("hardest", "easiest"))
        if hardest is not None and easiest is not None and hardest > easiest:
            draft.fault(("blueprint", n, "hardest"), "shares_reversed")


def _share(draft: Draft, n: int, key: str) -> float | None:
    text = draft.text("blueprint", n, key)
    try:
        return None if text is None else float(text)
    except ValueError:
        return None
