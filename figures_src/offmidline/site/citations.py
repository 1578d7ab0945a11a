"""Numbered citations: a source gets its number where the site cites it first, in the order of the
pages.

How well each source was read stands beside every citation, unless its own words were: abstract,
first page, table, or official text. A fact may be less well known than its source:
``source:id:memory``.
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from functools import cache
from typing import Final, get_args

from offmidline import messages
from offmidline.records import Source
from offmidline.records.source import Known
from offmidline.site import escape
from offmidline.site.template import unknown

PAGE: Final = "sources.md"
KNOWN: Final[tuple[str, ...]] = get_args(Known)
_POINT: Final = escape.text(".")


class Citations:
    """The sources cited so far, numbered in order."""

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self._sources = sources
        self._numbers: dict[str, int] = {}
        self._pages: dict[str, set[str]] = {}
        self._link = cache(self._make_link)

    def cite(self, name: str, page: str) -> str:
        """A link from a page to a source: ``id``, or ``id:status`` for a fact of another standing.

        Raises UnknownNameError.
        """
        link = self._link(name, _way_from(posixpath.dirname(page)))
        self._pages.setdefault(page, set()).add(name.partition(":")[0])
        return link

    def _make_link(self, name: str, way: str) -> str:
        source_id, _, status = name.partition(":")
        if source_id not in self._sources:
            raise unknown(source_id, self._sources)
        if status and status not in KNOWN:
            raise unknown(status, KNOWN)
        number = self._numbers.setdefault(source_id, len(self._numbers) + 1)
        standing = messages.section("site.known_short")[status or self._sources[source_id].known]
        remark = f", {standing}" if standing else ""
        return f'<a class="om-cite" href="{way}#{_anchor(number)}">[{number}{remark}]</a>'

    def listing(self) -> str:
        """The cited sources as a numbered list."""
        items = [
            _entry(number, self._sources[source_id]) for source_id, number in self._numbers.items()
        ]
        return "\n".join(['<ol class="om-sources">', *items, "</ol>"])

    def short_list(self, page: str) -> list[str]:
        """What a page cites, in order of the numbers: number, who, year, and how it was read."""
        way = _way_from(posixpath.dirname(page))
        cited = sorted(self._pages.get(page, ()), key=self._numbers.__getitem__)
        return [_short(self._numbers[name], self._sources[name], way) for name in cited]


@cache
def _way_from(folder: str) -> str:
    """The way from a folder of pages to the list of sources."""
    return posixpath.relpath(PAGE, folder or ".")


def _anchor(number: int) -> str:
    return f"source-{number}"


def _entry(number: int, source: Source) -> str:
    parts = [
        _authors(source),
        f"<cite>{escape.text(source.title)}</cite>",
        _place(source),
        _year(source),
    ]
    parts += _links(source)
    words = " ".join(f"{part.removesuffix(_POINT)}." for part in parts if part)
    known = messages.section("site.known")[source.known]
    note = "" if source.note is None else f" ({escape.text(source.note)})"
    return f'<li id="{_anchor(number)}">{words} <span class="om-standing">{known}</span>{note}</li>'


def _short(number: int, source: Source, way: str) -> str:
    name = "entry" if source.year else "undated"
    words = messages.text(f"site.page_sources.{name}", who=_first_author(source), year=source.year)
    known = messages.section("site.page_sources.known")[source.known]
    return (
        f'<a href="{way}#{_anchor(number)}">[{number}] {words}</a>'
        f' <span class="om-standing">{known}</span>'
    )


def _first_author(source: Source) -> str:
    """Family name of the first author, or the body; where neither is known, the title."""
    everybody = source.author or source.editor
    if not everybody:
        return escape.text(source.publisher or source.title)
    first = escape.text(everybody[0].literal or everybody[0].family or everybody[0].given or "")
    return messages.text("site.page_sources.others", first=first) if everybody[1:] else first


def _authors(source: Source) -> str:
    names = [
        name.literal or " ".join(part for part in (name.family, name.given) if part)
        for name in source.author or source.editor
    ]
    return ", ".join(escape.text(name) for name in names)


def _place(source: Source) -> str:
    volume = source.volume or ""
    if source.issue:
        volume += f"({source.issue})"
    where = ": ".join(part for part in (volume, source.page) if part)
    whole = source.container_title or source.publisher or ""
    return " ".join(escape.text(part) for part in (whole, where) if part)


def _year(source: Source) -> str:
    return "" if source.year is None else str(source.year)


def _links(source: Source) -> list[str]:
    """DOI, PubMed and web address as links; the reader saw to it that they can be nothing else."""
    found = []
    if source.doi:
        found.append((f"https://doi.org/{source.doi}", f"doi:{source.doi}"))
    if source.pmid:
        found.append((f"https://pubmed.ncbi.nlm.nih.gov/{source.pmid}/", f"PMID {source.pmid}"))
    if source.url:
        found.append((source.url, messages.text("site.web_address")))
    return [f'<a href="{escape.attribute(url)}">{escape.text(words)}</a>' for url, words in found]
