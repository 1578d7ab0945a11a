"""The faults of any files: what kind of record each is meant to be, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from offmidline import messages
from offmidline.records.base import Record
from offmidline.records.case import Case
from offmidline.records.document import Tree
from offmidline.records.explain import keys_of
from offmidline.records.faults import Fault, whole_file
from offmidline.records.files import CASES, SOURCES, TECHNIQUES, Loaded, files_of, load
from offmidline.records.kinds import KINDS
from offmidline.records.reader import (
    case_reading,
    record_reading,
    sources_reading,
    technique_reading,
)
from offmidline.records.technique import Technique
from offmidline.records.yaml_text import read_document


def check_paths(paths: Iterable[Path | str], scenarios: Path | str) -> list[Fault]:
    """All the faults of files and folders, and of what the files name, in order.

    No path stands for everything in the scenarios folder.
    """
    return check_files(paths, scenarios)[1]


def check_files(paths: Iterable[Path | str], scenarios: Path | str) -> tuple[int, list[Fault]]:
    """The number of files looked at, and all their faults in order."""
    scenarios = Path(scenarios)
    files, faults = files_of([Path(path) for path in paths], scenarios)
    for file in files:
        faults += _faults_of(load(file, scenarios), scenarios)
    return len(files), sorted(set(faults))


def _faults_of(loaded: Loaded, scenarios: Path) -> tuple[Fault, ...]:
    if loaded.fault is not None:
        return (loaded.fault,)
    document = read_document(loaded.data, loaded.path)
    kind = kind_of(loaded.path, document.tree)
    if kind == CASES:
        return case_reading(loaded, scenarios).faults
    if kind == TECHNIQUES:
        return technique_reading(loaded, scenarios).faults
    if kind == SOURCES:
        return sources_reading(loaded).faults
    if kind is not None and kind in KINDS:
        return record_reading(KINDS[kind], loaded, scenarios).faults
    unknown = whole_file(loaded.path, messages.text("faults.unknown_kind"))
    return tuple(document.faults) if document.tree is None else (*document.faults, unknown)


def kind_of(path: Path, tree: Tree) -> str | None:
    """What a file is meant to be (cases, sources.yml, ...): by its place, else by its keys."""
    records: dict[str, type[Record]] = {CASES: Case, TECHNIQUES: Technique}
    records |= {name: kind.record for name, kind in KINDS.items()}
    if path.parent.name in records:
        return path.parent.name
    if path.name == SOURCES or isinstance(tree, list):
        return SOURCES
    if isinstance(tree, dict):
        shared = {name: len(tree.keys() & set(keys_of(record))) for name, record in records.items()}
        best = [name for name, count in shared.items() if count == max(shared.values())]
        return best[0] if len(best) == 1 else None
    return None
