"""The kinds of record that lie in a folder of their own and need nothing but the sources and what
the other such folders hold.

A further kind is one more line in the table.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from offmidline.records.base import Record
from offmidline.records.case import Audience
from offmidline.records.complication import Complication
from offmidline.records.complication_checks import check_complication
from offmidline.records.draft import Draft
from offmidline.records.evidence import Evidence
from offmidline.records.evidence_checks import check_evidence
from offmidline.records.files import COMPLICATIONS, EVIDENCE, GRADINGS, PAPERS
from offmidline.records.grading import Grading
from offmidline.records.grading_checks import check_grading
from offmidline.records.known import Known
from offmidline.records.paper import Paper
from offmidline.records.paper_checks import check_paper


@dataclass(frozen=True)
class Kind:
    """One kind of record: its folder, the key that holds its id, its model, its checks.

    Attributes:
        audience: the only one that reads it; None where everybody does.
    """

    folder: str
    key: str
    record: type[Record]
    check: Callable[[Draft, Known], None]
    audience: Audience | None = None


KINDS: Final[Mapping[str, Kind]] = {
    kind.folder: kind
    for kind in (
        Kind(EVIDENCE, "evidence", Evidence, check_evidence),
        Kind(COMPLICATIONS, "complication", Complication, check_complication),
        Kind(GRADINGS, "grading", Grading, check_grading),
        Kind(PAPERS, "paper", Paper, check_paper, "examiner"),
    )
}
