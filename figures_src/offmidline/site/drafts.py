"""What the site keeps of a case between builds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class CaseDraft:
    """A case's page before numbering, its values, and its line in the list of cases.

    Attributes:
        report: as ``offmidline measure`` prints it.
        summary: the patient in a sentence.
        tags: what the case shows, in a few words.
        shows: the views on its page, each of one picture.
    """

    page: str
    report: dict[str, Any]
    summary: str
    tags: str
    shows: list[str]
