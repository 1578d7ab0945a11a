"""What the site puts on every page: reading time, the page's sources, caution, version, review."""

from __future__ import annotations

import html
import re
from datetime import date
from pathlib import Path

import pytest
from tests.generated import SCENARIOS

from offmidline import __version__, messages
from offmidline.records import read_sources
from offmidline.site import reading
from offmidline.site.citations import Citations
from offmidline.site.page_end import framed

pytestmark = pytest.mark.site

LONGEST = 10  # minutes that a page may take


@pytest.fixture
def citations() -> Citations:
    """Nothing cited yet, of the shipped sources."""
    return Citations(read_sources(SCENARIOS))


@pytest.fixture(scope="module")
def built(shipped_site: Path) -> dict[str, str]:
    """Every page of the shipped handbook by its path, but the one for a wrong address."""
    return {
        path.relative_to(shipped_site).as_posix(): path.read_text("utf-8")
        for path in sorted(shipped_site.rglob("*.html"))
        if path.name != "404.html"
    }


def test_every_page_has_them_all(built: dict[str, str]) -> None:
    """Each page has its reading time under the title, and at its end sources, caution, version and
    the day of the review.
    """
    for path, text in built.items():
        assert re.search(r'</h1>\s*<p class="om-reading"', text), path
        end = text[text.index('class="om-page-sources"') :]
        assert text.count('class="om-page-sources"') == 1, path
        assert messages.text("caution.text") in html.unescape(end), path
        assert f"Version {__version__}" in html.unescape(end), path
        assert f'<time datetime="{messages.text("site.reviewed")}">' in end, path


def test_no_page_takes_too_long(built: dict[str, str]) -> None:
    """No page asks for more than ten minutes, by what it says itself."""
    times = {
        path: int(found[1])
        for path, text in built.items()
        if (found := re.search(r"About (\d+) minutes to read", text))
    }
    assert len(times) > 20
    assert {path: minutes for path, minutes in times.items() if minutes > LONGEST} == {}


def test_a_page_lists_what_it_cites_and_nothing_else(built: dict[str, str]) -> None:
    """The sources at the end are those of the citations on the page, each once, in order."""
    for path, text in built.items():
        body, _, end = text.partition('class="om-page-sources"')
        cited = {int(n) for n in re.findall(r'class="om-cite" href="[^"#]*#source-(\d+)"', body)}
        listed = [int(n) for n in re.findall(r'href="[^"#]*#source-(\d+)">\[', end)]
        assert listed == sorted(cited), path


def test_the_review_has_one_date_in_the_words() -> None:
    """The day is a calendar day, and stands in one place."""
    day = date.fromisoformat(messages.text("site.reviewed"))
    assert day.year >= 2026


def test_an_entry_says_who_when_and_how_well_read(citations: Citations) -> None:
    """Number, first author or body, year and standing, with a link to the whole entry."""
    citations.cite("sozen-2011", "cases/a.md")
    citations.cite("karydakis-1992:memory", "b.md")
    (entry,) = citations.short_list("cases/a.md")
    words = html.unescape(entry)
    assert 'href="../sources.md#source-1"' in words
    assert re.search(r"\[1\] \S+ and others, 2011</a>", words)
    assert "read</span>" in words
    assert "recalled" in citations.short_list("b.md")[0]
    assert citations.short_list("c.md") == []


def test_a_page_without_sources_says_so(citations: Citations) -> None:
    """Nothing cited is a statement, not a gap."""
    assert messages.text("site.page_sources.none") in framed("# A\n\ntext\n", "a.md", citations)


def test_head_and_end_stand_round_the_text(citations: Citations) -> None:
    """The title stays first, also where there is no other line."""
    parts = framed("# A title\n\nSome text.\n", "a.md", citations).split("\n\n")
    assert parts[0] == "# A title"
    assert parts[1].startswith('<p class="om-reading"')
    assert parts[2] == "Some text."
    assert framed("# Alone", "a.md", citations).startswith("# Alone\n\n<p")


@pytest.mark.parametrize(
    ("source", "count"),
    [
        ("One two three.", 3),
        ("# A heading { #with-an-id }", 2),
        ('A [link](a/long/way.md) <a class="om-cite" href="x">[1, recalled]</a>.', 2),
        ('<ol class="om-sources"><li>not read</li></ol> read', 1),
        ("14&#46;5 mm, half-open, isn’t <!-- no comment -->", 4),
    ],
)
def test_words_are_those_that_are_read(source: str, count: int) -> None:
    """Markup, citations and lists of references do not count."""
    assert reading.words(source) == count


def test_figures_take_their_time() -> None:
    """Six figures take a minute more; a short text takes one."""
    text = "word " * 390
    assert reading.minutes("word") == 1
    assert reading.minutes(text) == 2
    assert reading.minutes(text + "<figure></figure>" * 6) == 3
