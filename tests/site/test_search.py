"""The search finds what a reader of the trade calls by another name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .watch import search

pytestmark = [pytest.mark.site, pytest.mark.browser]

FIRST = 6  # results that are seen without scrolling
# What is typed, and a page that has to be among the first ones.
SOUGHT = {
    "rhomboid": "choosing",
    "Limberg": "glossary",
    "Karydakis": "glossary",
    "Bascom": "glossary",
    "cleft lift": "glossary",
    "dog ear": "glossary",
    "dog-ear": "glossary",
    "natal cleft": "glossary",
    "gluteal cleft": "glossary",
    "pilonidal cyst": "glossary",
    "hematoma": "glossary",
    "dehiscence": "glossary",
    "LAST": "glossary",
    "lipid emulsion": "infiltration",
    "bupivacaine": "infiltration",
    "seroma": "complications",
    "haematoma": "complications",
    "undermining": "flap",
    "antibiotic": "preparation",
    "prone": "safety",
    "hair removal": "follow-up",
    "pocket": "checklists/pocket",
}


@pytest.fixture(scope="module")
def page(browser: Any, shipped_site: Path) -> Iterator[Any]:
    """The first page, opened from a folder."""
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    page.goto((shipped_site / "index.html").as_uri())
    yield page
    page.close()


@pytest.mark.parametrize(("words", "wanted"), SOUGHT.items())
def test_a_name_of_the_trade_is_found(
    page: Any, shipped_site: Path, words: str, wanted: str
) -> None:
    """Each name, as it may be typed, leads to the page that is about it."""
    search(page, words)
    links = page.eval_on_selector_all(
        ".md-search-result__item > a", "links => links.map(link => link.href)"
    )
    top = f"{shipped_site.as_uri()}/"
    found = list(dict.fromkeys(link.removeprefix(top).partition(".html")[0] for link in links))
    assert wanted in found[:FIRST], found


def test_what_every_page_ends_with_is_not_searched(shipped_site: Path) -> None:
    """Cautions, lists of sources and reading times are on every page and would be found on every
    page.
    """
    index = (shipped_site / "search" / "search_index.json").read_text("utf-8")
    for words in ("Sources of this page", "reviewed on", "minutes to read", "Version 0"):
        assert words not in index, words
