"""Pages on paper: the text, its figures whole, its caution, and no answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = [pytest.mark.site, pytest.mark.browser]

CHAPTERS = ("disease", "closure")
# A4 between the margins of the style sheet, at 96 px an inch.
SHEET = {"width": 680, "height": 1000}
PRINTED = (*CHAPTERS, "cases/glazier", "gallery")


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    """A page of the width of a sheet."""
    context = browser.new_context(viewport=SHEET, reduced_motion="reduce", color_scheme="dark")
    yield context.new_page()
    context.close()


def printed(page: Any, address: str, folder: Path) -> str:
    """The words of a page as it is printed, on one line."""
    from pypdf import PdfReader

    page.goto(address)
    page.pdf(path=str(folder / "page.pdf"), prefer_css_page_size=True)
    pages = PdfReader(folder / "page.pdf").pages
    return " ".join(" ".join(one.extract_text() for one in pages).split())


@pytest.mark.parametrize("name", CHAPTERS)
def test_answers_are_not_printed(page: Any, shipped_site: Path, tmp_path: Path, name: str) -> None:
    """The questions of a chapter are on paper, their answers are not, even when they are open."""
    address = (shipped_site / f"{name}.html").as_uri()
    page.goto(address)
    answers = page.locator(".om-answer p:last-of-type").all_text_contents()
    assert len(answers) >= 3
    text = printed(page, address, tmp_path)
    page.evaluate("for (const one of document.querySelectorAll('.om-answer')) one.open = true")
    page.pdf(path=str(tmp_path / "open.pdf"), prefer_css_page_size=True)
    from pypdf import PdfReader

    opened = " ".join(one.extract_text() for one in PdfReader(tmp_path / "open.pdf").pages)
    assert "Check yourself" in text
    for answer in answers:
        words = " ".join(answer.split())[:40]
        assert words not in text
        assert words not in " ".join(opened.split())


@pytest.mark.parametrize("name", PRINTED)
def test_paper_carries_the_caution_and_no_navigation(
    page: Any, shipped_site: Path, tmp_path: Path, name: str
) -> None:
    """A printed page has its sources, the caution, the day of its review, and nothing to click."""
    text = printed(page, (shipped_site / f"{name}.html").as_uri(), tmp_path)
    assert "Not for planning an operation on a patient" in text
    assert "Sources of this page" in text
    assert "reviewed on" in text
    for word in ("Previous", "On this page", "Search", "Grading complications"):
        assert word not in text, word


@pytest.mark.parametrize("name", PRINTED)
def test_figures_are_not_split(page: Any, shipped_site: Path, name: str) -> None:
    """No figure is longer than a sheet, and none may be broken; nothing hangs over the margin."""
    page.goto((shipped_site / f"{name}.html").as_uri())
    page.emulate_media(media="print")
    figures = page.evaluate(
        """() => [...document.querySelectorAll('.om-figure')].map(e =>
          [getComputedStyle(e).breakInside, e.getBoundingClientRect().height])"""
    )
    over = page.evaluate("document.scrollingElement.scrollWidth - innerWidth")
    page.emulate_media(media="screen")
    assert figures
    assert {how for how, _ in figures} == {"avoid"}
    assert max(height for _, height in figures) < SHEET["height"]
    assert over <= 0


def test_paper_is_white(page: Any, shipped_site: Path) -> None:
    """Printed from a dark screen, a page is dark on white."""
    from offmidline.figures.page.style import contrast

    page.goto((shipped_site / "disease.html").as_uri())
    page.emulate_media(media="print")
    ink, paper = page.evaluate(
        """() => ['--fig-ink', '--fig-paper'].map(name =>
          getComputedStyle(document.body).getPropertyValue(name).trim())"""
    )
    page.emulate_media(media="screen")
    assert contrast(paper, "#000000") > contrast(ink, "#000000")
    assert contrast(ink, paper) >= 7
