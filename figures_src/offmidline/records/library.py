"""A whole scenarios folder: what an audience may see of it, or every fault in it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, get_args

from offmidline import messages
from offmidline.records.case import Audience, Case
from offmidline.records.complication import Complication
from offmidline.records.document import Document
from offmidline.records.evidence import Evidence
from offmidline.records.faults import Fault, FaultsError
from offmidline.records.files import (
    CASES,
    COMPLICATIONS,
    EVIDENCE,
    GRADINGS,
    PAPERS,
    SOURCES,
    TECHNIQUES,
    folder_faults,
    load,
    records_in,
)
from offmidline.records.grading import Grading
from offmidline.records.kinds import KINDS
from offmidline.records.paper import Paper
from offmidline.records.reader import (
    case_reading,
    known_in,
    record_reading,
    sources_reading,
    technique_reading,
)
from offmidline.records.source import Source
from offmidline.records.technique import Technique
from offmidline.records.yaml_text import read_document

AUDIENCES: frozenset[str] = frozenset(get_args(Audience))


@dataclass(frozen=True)
class Library:
    """The records of a scenarios folder that some audiences may see; cases in order of their
    ids.
    """

    cases: tuple[Case, ...]
    techniques: Mapping[str, Technique]
    sources: Mapping[str, Source]
    evidence: Mapping[str, Evidence]
    complications: Mapping[str, Complication]
    gradings: Mapping[str, Grading]
    papers: Mapping[str, Paper]


def load_library(scenarios: Path | str, audiences: Collection[str]) -> Library:
    """Read a scenarios folder for some audiences. Raises FaultsError with every fault.

    Of a case for another audience nothing but its `audience` is looked at: neither its content nor
    its faults appear anywhere.
    """
    scenarios = Path(scenarios)
    faults = folder_faults(scenarios)
    if not scenarios.is_dir():
        raise FaultsError(faults)
    sources = sources_reading(load(scenarios / SOURCES, scenarios))
    faults += sources.faults
    techniques: dict[str, Technique] = {}
    for path in records_in(scenarios / TECHNIQUES):
        technique = technique_reading(load(path, scenarios), scenarios)
        faults += technique.faults
        if technique.record is not None:
            techniques[technique.record.technique] = technique.record
    others, faulty = _others(scenarios, audiences)
    faults += faulty
    cases: list[Case] = []
    for path in records_in(scenarios / CASES):
        loaded = load(path, scenarios)
        document = read_document(loaded.data, path)
        audience = audience_of(document)
        if audience is None and loaded.fault is None:
            faults += document.faults
        elif audience is None or audience in audiences:
            case = case_reading(loaded, scenarios)
            faults += case.faults
            cases += [case.record] if case.record is not None else []
    if faults or sources.record is None:
        raise FaultsError(faults)
    return Library(
        cases=tuple(sorted(cases, key=lambda case: case.case)),
        techniques=MappingProxyType(techniques),
        sources=MappingProxyType({source.id: source for source in sources.record}),
        evidence=MappingProxyType(others[EVIDENCE]),
        complications=MappingProxyType(others[COMPLICATIONS]),
        gradings=MappingProxyType(others[GRADINGS]),
        papers=MappingProxyType(others[PAPERS]),
    )


def _others(
    scenarios: Path, audiences: Collection[str]
) -> tuple[dict[str, dict[str, Any]], list[Fault]]:
    """The records of the kinds with a folder of their own, by folder and id, and their faults.

    A kind for another audience has none: its files are not opened.
    """
    found: dict[str, dict[str, Any]] = {}
    faults: list[Fault] = []
    known = known_in(scenarios)
    for name, kind in KINDS.items():
        found[name] = {}
        if kind.audience is not None and kind.audience not in audiences:
            continue
        for path in records_in(scenarios / name):
            reading = record_reading(kind, load(path, scenarios), scenarios, known)
            faults += reading.faults
            if reading.record is not None:
                found[name][getattr(reading.record, kind.key)] = reading.record
    return found, faults


def audience_of(document: Document) -> str | None:
    """The audience that a file names for itself; None, with a fault noted, where it does not."""
    tree = document.tree
    audience = tree.get("audience") if isinstance(tree, dict) else None
    if isinstance(audience, str) and audience in AUDIENCES:
        return str(audience)
    if tree is not None:
        document.fault(
            document.value_mark(("audience",)),
            "audience_first",
            words=messages.either(sorted(AUDIENCES)),
        )
    return None
