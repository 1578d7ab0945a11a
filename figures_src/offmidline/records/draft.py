"""A file as far as it could be read, and the checks that several kinds of record share.

The checks work on the tree as written, not on finished records, so that they also speak where
another part of the same file is at fault; a part that is missing or at fault is left out.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field

from offmidline import messages, quantities
from offmidline.records.document import START, Document, Tree, Way
from offmidline.records.faults import shown
from offmidline.records.fields import ID_PATTERN, did_you_mean


@dataclass(frozen=True)
class Draft:
    """A file as far as it could be read: its document and the ways to the parts at fault."""

    document: Document
    at_fault: Collection[Way] = field(default_factory=frozenset)

    def part(self, *way: str | int) -> Tree:
        """A part of the tree; None where it is missing or at fault."""
        if any(way[:n] in self.at_fault for n in range(len(way) + 1)):
            return None
        found = self.document.tree
        for step in way:
            if isinstance(found, dict) and isinstance(step, str):
                found = found.get(step)
            elif isinstance(found, list) and isinstance(step, int) and step < len(found):
                found = found[step]
            else:
                return None
        return found

    def text(self, *way: str | int) -> str | None:
        """A scalar's text."""
        found = self.part(*way)
        return found if isinstance(found, str) else None

    def length(self, *way: str | int) -> float | None:
        """A length in mm."""
        return self._quantity("length", way)

    def duration(self, *way: str | int) -> float | None:
        """A duration in months."""
        return self._quantity("duration", way)

    def count(self, *way: str | int) -> int | None:
        """A whole number."""
        text = self.text(*way)
        return int(text) if text is not None and text.isdecimal() else None

    def _quantity(self, kind: quantities.Kind, way: Way) -> float | None:
        text = self.text(*way)
        try:
            return None if text is None else quantities.parse(text, kind)
        except quantities.QuantityError:
            return None

    def items(self, *way: str | int) -> range:
        """The numbers of a list's items."""
        found = self.part(*way)
        return range(len(found) if isinstance(found, list) else 0)

    def keys(self, *way: str | int) -> list[str]:
        """The keys of a mapping."""
        found = self.part(*way)
        return list(found) if isinstance(found, dict) else []

    def fault(self, way: Way, name: str, /, **values: object) -> None:
        """Note a fault at a value."""
        self.document.fault(self.document.value_mark(way), name, **values)


def check_id(draft: Draft, key: str) -> None:
    """A file is called by its id, so its name must be one."""
    found, stem = draft.text(key), draft.document.path.stem
    if not re.fullmatch(ID_PATTERN, stem):
        draft.document.fault(START, "stem_no_id", stem=shown(stem))
    elif found is not None and found != stem:
        draft.fault((key,), "id_not_stem", key=key, value=shown(found), stem=shown(stem))


def check_standing(draft: Draft, way: Way, sources: Collection[str] | None) -> None:
    """What is sourced names a source, and every source named exists; None skips the latter."""
    at_fault = (*way, "source") in draft.at_fault
    sourced = draft.text(*way, "status") == "sourced"
    if sourced and not at_fault and not draft.part(*way, "source"):
        mark = draft.document.key_mark(way)
        key = way[-1] if way else draft.document.path.stem
        draft.document.fault(mark, "source_missing", key=key)
    for n in draft.items(*way, "source"):
        name = draft.text(*way, "source", n)
        if sources is not None and name is not None and name not in sources:
            draft.fault(
                (*way, "source", n),
                "unknown_source",
                value=shown(name),
                hint=did_you_mean(name, sources),
            )


def check_unique(draft: Draft, ways: list[Way]) -> None:
    """An id only once in its list."""
    seen: set[str] = set()
    for way in ways:
        name = draft.text(*way)
        if name is not None and name in seen:
            draft.fault(way, "id_twice", key=way[-1], value=shown(name))
        elif name is not None:
            seen.add(name)


def known_values(word: str, known: Collection[str]) -> dict[str, str]:
    """The values of a message that lists what there is and suggests what may have been meant."""
    words = messages.either(sorted(known)) if known else messages.text("faults.none_known")
    return {"value": shown(word), "known": words, "hint": did_you_mean(word, known)}
