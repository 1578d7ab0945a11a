"""Pages that are enlarged, narrow, spaced out or in forced colours lose nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .turns import in_turn

pytestmark = [pytest.mark.site, pytest.mark.browser]

# A window 1280 px wide at 400 % and at 200 % (WCAG 2.2, 1.4.10 and 1.4.4), and a phone.
# On the narrowest every page is looked at, on the others every second one.
ENLARGED = {"400 %": (320, 0, 1), "200 %": (640, 0, 2), "phone": (360, 1, 2)}
# WCAG 2.2, 1.4.12: what a reader may set for the spacing of text.
SPACED = """
* { line-height: 1.5 !important; letter-spacing: 0.12em !important }
* { word-spacing: 0.16em !important }
p { margin-bottom: 2em !important }
svg text { line-height: normal !important; letter-spacing: normal !important;
  word-spacing: normal !important }
"""
# By how much a page is wider than its window.
TOO_WIDE = "document.scrollingElement.scrollWidth - innerWidth"
# Elements with text that is cut off: it does not fit, and cannot be scrolled to.
CUT_OFF = """() => [...document.querySelectorAll('body *')].filter(e => {
  if (e.closest('svg') || e.matches('.om-unseen, .md-search__scrollwrap, select')) return false;
  if (!e.checkVisibility({visibilityProperty: true, opacityProperty: true})) return false;
  if (e.clientWidth <= 1 || e.clientHeight <= 1) return false;  // there to be heard alone
  const style = getComputedStyle(e);
  const cuts = over => over === 'hidden' || over === 'clip';
  return e.textContent.trim() && (cuts(style.overflowX) && e.scrollWidth > e.clientWidth + 1
    || cuts(style.overflowY) && e.scrollHeight > e.clientHeight + 1);
}).map(e => e.outerHTML.slice(0, 120))"""


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page on which nothing moves."""
    context = browser.new_context(reduced_motion="reduce")
    yield context.new_page()
    context.close()


def addresses(site: Path, turn: int = 0, turns: int = 1) -> list[str]:
    """Every page whose turn it is, but the one for a wrong address, whose own addresses begin at a
    server's top.
    """
    found = [path.relative_to(site).as_posix() for path in site.rglob("*.html")]
    return [(site / name).as_uri() for name in in_turn(found, turn, turns) if name != "404.html"]


@pytest.mark.parametrize(("width", "turn", "turns"), ENLARGED.values(), ids=ENLARGED)
def test_no_page_scrolls_sideways(
    page: Any, shipped_site: Path, width: int, turn: int, turns: int
) -> None:
    """Enlarged, every page is read by scrolling down alone; only tables scroll by themselves."""
    page.set_viewport_size({"width": width, "height": 640})
    faults = {}
    for address in addresses(shipped_site, turn, turns):
        page.goto(address)
        found = page.evaluate(TOO_WIDE), page.evaluate(CUT_OFF)
        if found[0] > 0 or found[1]:
            faults[address.rpartition("/")[2]] = found
    assert faults == {}


@pytest.mark.parametrize(("width", "turns"), [(320, 1), (1280, 2)])
def test_spacing_out_the_text_loses_nothing(
    page: Any, shipped_site: Path, width: int, turns: int
) -> None:
    """With the widest spacing that a reader may ask for, no text is cut off."""
    page.set_viewport_size({"width": width, "height": 800})
    faults = {}
    for address in addresses(shipped_site, 0, turns):
        page.goto(address)
        page.add_style_tag(content=SPACED)
        found = page.evaluate(TOO_WIDE), page.evaluate(CUT_OFF)
        if found[0] > 0 or found[1]:
            faults[address.rpartition("/")[2]] = found
    assert faults == {}


def test_a_page_too_wide_and_a_text_cut_off_are_found(page: Any) -> None:
    """The measures find a planted fault of each kind."""
    page.set_viewport_size({"width": 320, "height": 640})
    page.set_content('<div style="width: 400px">wide</div>')
    assert page.evaluate(TOO_WIDE) > 0
    page.set_content('<div style="width: 40px; height: 10px; overflow: hidden">cut off</div>')
    assert len(page.evaluate(CUT_OFF)) == 1


def test_tables_scroll_by_the_keyboard(page: Any, shipped_site: Path) -> None:
    """A table that is too wide for the window is scrolled with the arrows."""
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto((shipped_site / "cases" / "glazier.html").as_uri())
    page.focus(".om-scroll:has(.om-rules)")
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(400)
    assert page.evaluate("document.activeElement.scrollLeft") > 0


def test_forced_colours_show_where_the_reader_is(page: Any, shipped_site: Path) -> None:
    """Where the system forces its colours, the place in the contents and the focus keep a line."""
    page.emulate_media(forced_colors="active")
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto((shipped_site / "marking.html").as_uri())
    here = "getComputedStyle(document.querySelector('.om-nav__link--here')).borderLeftStyle"
    assert page.evaluate(here) == "solid"
    page.keyboard.press("Tab")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_nothing_moves_for_those_who_ask(page: Any, shipped_site: Path) -> None:
    """With reduced motion no element has a transition or an animation."""
    page.goto((shipped_site / "marking.html").as_uri())
    moving = page.evaluate(
        """() => [...document.querySelectorAll('*')].filter(e => {
          const style = getComputedStyle(e);
          return parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none';
        }).length"""
    )
    assert moving == 0
