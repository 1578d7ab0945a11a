"""From a path to a record, or to every fault of the file.

A case may lie anywhere; techniques and sources are found in the scenarios folder. What a case
names is read with it, so that its faults are known too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Generic, TypeAlias, TypeVar

from pydantic import TypeAdapter, ValidationError

from offmidline.records import checks
from offmidline.records.case import Case
from offmidline.records.document import Document
from offmidline.records.draft import Draft
from offmidline.records.explain import explain
from offmidline.records.faults import Fault, FaultsError
from offmidline.records.fields import ID_PATTERN
from offmidline.records.files import (
    CASES,
    SOURCES,
    Loaded,
    load,
    records_in,
    technique_ids,
    technique_path,
)
from offmidline.records.kinds import Kind
from offmidline.records.known import Known, grades_in, rows_in
from offmidline.records.source import Source
from offmidline.records.technique import Technique
from offmidline.records.yaml_text import read_document

SourceList: TypeAlias = tuple[Source, ...]
Record = TypeVar("Record")


@dataclass(frozen=True)
class Reading(Generic[Record]):
    """What came of one file: the record, or None, and the faults; the draft for other checks."""

    draft: Draft
    record: Record | None
    faults: tuple[Fault, ...]

    def result(self) -> Record:
        """The record; raises FaultsError if the file has any fault."""
        if self.faults or self.record is None:
            raise FaultsError(self.faults)
        return self.record


def read_case(path: Path | str, scenarios: Path | str) -> Case:
    """Read a case file. Raises FaultsError with the faults of the case and of its technique."""
    return case_reading(load(Path(path), Path(scenarios)), Path(scenarios)).result()


def read_technique(path_or_id: Path | str, scenarios: Path | str) -> Technique:
    """Read a technique by its id in the scenarios folder or by its path. Raises FaultsError."""
    scenarios = Path(scenarios)
    path = Path(path_or_id)
    if re.fullmatch(ID_PATTERN, str(path_or_id)):
        path = technique_path(str(path_or_id), scenarios)
    return technique_reading(load(path, scenarios), scenarios).result()


def read_sources(scenarios: Path | str) -> dict[str, Source]:
    """Read the sources of a scenarios folder, by id. Raises FaultsError."""
    scenarios = Path(scenarios)
    found = sources_reading(load(scenarios / SOURCES, scenarios)).result()
    return {source.id: source for source in found}


def case_reading(loaded: Loaded, scenarios: Path) -> Reading[Case]:
    """Read a case and the technique that it names; the technique's faults are among the faults."""
    if loaded.fault is not None:
        return _nothing(loaded)
    document, record, at_fault = _typed(loaded, Case)
    draft = Draft(document, at_fault)
    technique: Reading[Technique] | None = None
    if document.tree is not None:
        if checks.check_technique_id(draft, technique_ids(scenarios)):
            named = technique_path(str(draft.text("technique")), scenarios)
            technique = technique_reading(load(named, scenarios), scenarios)
        checks.check_case(draft, technique.draft if technique else None)
    faults = (*document.faults, *(technique.faults if technique else ()))
    return Reading(draft, record, faults)


def technique_reading(loaded: Loaded, scenarios: Path) -> Reading[Technique]:
    """Read a technique and its sources, whose faults are among the faults."""
    if loaded.fault is not None:
        return _nothing(loaded)
    sources = sources_reading(load(scenarios / SOURCES, scenarios))
    known = checks.source_ids(sources.draft) if sources.draft.document.tree is not None else None
    own = _technique(loaded.data, loaded.path, known)
    return Reading(own.draft, own.record, (*own.faults, *sources.faults))


def record_reading(
    kind: Kind, loaded: Loaded, scenarios: Path, known: Known | None = None
) -> Reading[Any]:
    """Read a record of one of the kinds with a folder of their own, and the sources with it.

    ``known`` is what there is to be named, where the caller reads many records of one folder.
    """
    if loaded.fault is not None:
        return _nothing(loaded)
    sources = sources_reading(load(scenarios / SOURCES, scenarios))
    document, record, at_fault = _typed(loaded, kind.record)
    draft = Draft(document, at_fault)
    if document.tree is not None:
        kind.check(draft, known or known_in(scenarios))
    return Reading(draft, record, (*document.faults, *sources.faults))


def known_in(scenarios: Path) -> Known:
    """What the records of a scenarios folder may name of each other."""
    sources = sources_reading(load(scenarios / SOURCES, scenarios))
    ids = checks.source_ids(sources.draft) if sources.draft.document.tree is not None else None
    return Known(
        sources=ids,
        grades=grades_in(scenarios),
        rows=rows_in(scenarios),
        cases=[path.stem for path in records_in(scenarios / CASES)],
        techniques=technique_ids(scenarios),
    )


def sources_reading(loaded: Loaded) -> Reading[SourceList]:
    """Read a file of sources."""
    return _nothing(loaded) if loaded.fault is not None else _sources(loaded.data, loaded.path)


# Techniques and sources are read with every case: the same bytes give the same reading.
@lru_cache(maxsize=16)
def _technique(data: bytes, path: Path, sources: frozenset[str] | None) -> Reading[Technique]:
    document, record, at_fault = _typed(Loaded(path, data), Technique)
    draft = Draft(document, at_fault)
    if document.tree is not None:
        checks.check_technique(draft, sources)
    return Reading(draft, record, tuple(document.faults))


@lru_cache(maxsize=16)
def _sources(data: bytes, path: Path) -> Reading[SourceList]:
    document, record, at_fault = _typed(Loaded(path, data), SourceList)
    draft = Draft(document, at_fault)
    if document.tree is not None:
        checks.check_sources(draft)
    return Reading(draft, record, tuple(document.faults))


def _nothing(loaded: Loaded) -> Reading[Any]:
    faults = (loaded.fault,) if loaded.fault is not None else ()
    return Reading(Draft(Document(loaded.path)), None, faults)


@cache
def _adapter(record: Any) -> TypeAdapter[Any]:
    return TypeAdapter(record)


def _typed(loaded: Loaded, record: Any) -> tuple[Document, Any, frozenset[Any]]:
    """The document, the record or None, and the ways to the parts that pydantic refused."""
    document = read_document(loaded.data, loaded.path)
    if document.tree is None:
        return document, None, frozenset()
    try:
        typed = _adapter(record).validate_python(document.tree)
    except ValidationError as error:
        ways = [
            explain(detail, record, document)
            for detail in error.errors(include_url=False, include_input=False)
        ]
        bad = {way for way in ways if way is not None}
        return document, None, frozenset(bad | document.refused)
    return document, typed, frozenset(document.refused)
