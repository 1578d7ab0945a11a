"""What records in different folders may name of each other: sources, grades, rows of evidence."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from offmidline.records.files import EVIDENCE, GRADINGS, load, records_in
from offmidline.records.yaml_text import read_document


@dataclass(frozen=True)
class Known:
    """The names that there are; None where they could not be read, and are not checked.

    ``grades`` are the grades of every grading system, by its id; ``rows`` are the rows of the
    evidence, each as ``publication.row``; ``cases`` and ``techniques`` are ids.
    """

    sources: Collection[str] | None = None
    grades: Mapping[str, Collection[str]] | None = None
    rows: Collection[str] | None = None
    cases: Collection[str] | None = None
    techniques: Collection[str] | None = None


def grades_in(scenarios: Path) -> dict[str, frozenset[str]]:
    """The grades of every grading system of a scenarios folder, also of files with faults."""
    return {
        path.stem: _names(load(path, scenarios).data, path, "grades", "grade")
        for path in records_in(scenarios / GRADINGS)
    }


def rows_in(scenarios: Path) -> frozenset[str]:
    """The rows of the evidence of a scenarios folder, also of files with faults."""
    return frozenset(
        f"{path.stem}.{row}"
        for path in records_in(scenarios / EVIDENCE)
        for row in _names(load(path, scenarios).data, path, "rows", "row")
    )


# Read with every record that may name them: the same bytes hold the same names.
@lru_cache(maxsize=512)
def _names(data: bytes, path: Path, section: str, key: str) -> frozenset[str]:
    """The texts under a key of the items of a list."""
    tree = read_document(data, path).tree
    items = tree.get(section) if isinstance(tree, dict) else None
    found = (item.get(key) for item in items or () if isinstance(item, dict))
    return frozenset(str(name) for name in found if isinstance(name, str))
