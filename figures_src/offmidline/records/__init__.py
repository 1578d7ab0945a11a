"""What people write: cases, techniques and sources, read with the place of every fault.

Everything that others need is here; the modules below may change.
"""

from __future__ import annotations

from offmidline.records.base import Side, Status
from offmidline.records.case import (
    Audience,
    Case,
    Findings,
    History,
    Infiltration,
    Opening,
    Patient,
    Pit,
    PrescribedClosure,
    PrescribedMarking,
    PrescribedSection,
)
from offmidline.records.checker import check_files, check_paths
from offmidline.records.complication import Complication
from offmidline.records.evidence import Evidence, EvidenceRow
from offmidline.records.faults import Fault, FaultsError
from offmidline.records.grading import Answer, Band, Choice, Grade, Grading, Part, Question
from offmidline.records.library import AUDIENCES, Library, load_library
from offmidline.records.paper import BlueprintRow, ItemKind, Paper, Sitting
from offmidline.records.reader import read_case, read_sources, read_technique
from offmidline.records.settings import TechniqueSettings
from offmidline.records.source import Source
from offmidline.records.technique import AgentLimit, Phase, Setting, Step, Technique

__all__ = [
    "AUDIENCES",
    "AgentLimit",
    "Answer",
    "Audience",
    "Band",
    "BlueprintRow",
    "Case",
    "Choice",
    "Complication",
    "Evidence",
    "EvidenceRow",
    "Fault",
    "FaultsError",
    "Findings",
    "Grade",
    "Grading",
    "History",
    "Infiltration",
    "ItemKind",
    "Library",
    "Opening",
    "Paper",
    "Part",
    "Patient",
    "Phase",
    "Pit",
    "PrescribedClosure",
    "PrescribedMarking",
    "PrescribedSection",
    "Question",
    "Setting",
    "Side",
    "Sitting",
    "Source",
    "Status",
    "Step",
    "Technique",
    "TechniqueSettings",
    "check_files",
    "check_paths",
    "load_library",
    "read_case",
    "read_sources",
    "read_technique",
]
