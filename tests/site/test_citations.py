"""Numbered citations."""

from __future__ import annotations

import html

import pytest
from tests.generated import SCENARIOS

from offmidline.records import read_sources
from offmidline.site.citations import Citations
from offmidline.site.template import UnknownNameError


@pytest.fixture
def citations() -> Citations:
    """Nothing cited yet, of the shipped sources."""
    return Citations(read_sources(SCENARIOS))


def test_numbers_follow_the_order_of_citing(citations: Citations) -> None:
    """A source keeps the number of its first citation."""
    assert ">[1]<" in citations.cite("sozen-2011", "a.md")
    assert ">[2]<" in citations.cite("kf-risk-2016", "cases/a.md")
    assert ">[1]<" in citations.cite("sozen-2011", "cases/b.md")


def test_links_lead_from_any_page(citations: Citations) -> None:
    """A citation links to its entry, from a folder too."""
    assert 'href="sources.md#source-1"' in citations.cite("sozen-2011", "a.md")
    assert 'href="../sources.md#source-1"' in citations.cite("sozen-2011", "cases/a.md")


def test_status_stands_beside_the_number(citations: Citations) -> None:
    """What was not read in the source says so; a fact may be less known than its source."""
    assert "[1, recalled]" in citations.cite("karydakis-1992", "a.md")
    assert "[2, quoted elsewhere]" in citations.cite("bnf-ropivacaine", "a.md")
    assert "[3, recalled]" in citations.cite("sozen-2011:memory", "a.md")


def test_listing_holds_only_what_is_cited(citations: Citations) -> None:
    """The list has the cited sources, in order, each with how it was read."""
    citations.cite("kf-risk-2016", "a.md")
    citations.cite("karydakis-1992", "a.md")
    listing = citations.listing()
    assert listing.count("<li") == 2
    assert listing.index("source-1") < listing.index("source-2")
    assert listing.count("Recalled; to be checked in print.") == 1
    assert 'href="https://doi.org/10.1016/j.jss.2016.04.035"' in html.unescape(listing)


@pytest.mark.parametrize("name", ["sozen-2012", "sozen-2011:recalled"])
def test_unknown_source_or_status_is_refused(citations: Citations, name: str) -> None:
    """An unknown source, or an unknown status, is an error with the nearest known one."""
    with pytest.raises(UnknownNameError, match=r"did you mean|known here"):
        citations.cite(name, "a.md")
