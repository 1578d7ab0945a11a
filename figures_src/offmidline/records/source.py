"""Sources: entries with the field names of CSL-JSON, and how well each was read."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias, get_args

from pydantic import Field

from offmidline.records import ranges
from offmidline.records.base import LongText, Record, ShortText, SourceId
from offmidline.records.fields import Count, Matching, Text, Word

SourceType = Literal[
    "article",
    "article-journal",
    "book",
    "chapter",
    "legal_case",
    "report",
    "software",
    "standard",
    "thesis",
    "webpage",
]
Known = Literal["abstract-read", "standard-read", "secondary-read", "memory"]
Confidence = Literal["high", "medium", "low"]

LONG_TITLE = 400

# Links go into pages: nothing but http(s), and no character that could end an attribute.
_URL = Matching(r"https?://[^\s\"'<>`{}]+", "bad_url", "https://example.org/paper")
_DOI = Matching(r"10\.[0-9]{4,9}/[^\s\"<>`{}]+", "bad_doi", "10.1000/182")
_PMID = Matching(r"[0-9]{1,9}", "bad_number_id", "12345678")
_PMCID = Matching(r"PMC[0-9]{1,9}", "bad_number_id", "PMC1234567")
# One date: the year, then the month and the day where they are known.
DateParts: TypeAlias = Annotated[
    tuple[Annotated[int, Count(ranges.DATE_PART)], ...], Field(min_length=1, max_length=3)
]


class Name(Record):
    """A person by family and given name, or a body by its name as it stands."""

    family: ShortText | None = None
    given: ShortText | None = None
    literal: ShortText | None = None


class Issued(Record):
    """When it appeared: year, and month and day where known."""

    date_parts: tuple[DateParts, ...] = Field(alias="date-parts", min_length=1, max_length=1)


class Source(Record):
    """One source. `known` says how it was read, `confidence` how sure its details are."""

    id: SourceId
    type: Annotated[SourceType, Word(get_args(SourceType))]
    title: Annotated[str, Text(LONG_TITLE)]
    author: tuple[Name, ...] = ()
    editor: tuple[Name, ...] = ()
    issued: Issued | None = None
    container_title: ShortText | None = Field(None, alias="container-title")
    collection_title: ShortText | None = Field(None, alias="collection-title")
    volume: ShortText | None = None
    issue: ShortText | None = None
    page: ShortText | None = None
    number: ShortText | None = None
    edition: ShortText | None = None
    version: ShortText | None = None
    publisher: ShortText | None = None
    doi: Annotated[str, _DOI] | None = Field(None, alias="DOI")
    url: Annotated[str, _URL] | None = Field(None, alias="URL")
    pmid: Annotated[str, _PMID] | None = Field(None, alias="PMID")
    pmcid: Annotated[str, _PMCID] | None = Field(None, alias="PMCID")
    isbn: ShortText | None = Field(None, alias="ISBN")
    note: LongText | None = None
    known: Annotated[Known, Word(get_args(Known))]
    confidence: Annotated[Confidence, Word(get_args(Confidence))]

    @property
    def year(self) -> int | None:
        """The year in which it appeared."""
        return self.issued.date_parts[0][0] if self.issued else None
