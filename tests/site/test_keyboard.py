"""The site with the keyboard alone: everything is reached, in order, in sight, and left again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = [pytest.mark.site, pytest.mark.browser]

# One of each kind: figure in steps, tables to scroll, check boxes, filters, calculators, answers,
# drawings with handles, a form made by hand, questions.
PAGES = (
    *("marking", "cases/glazier", "checklists/marking", "complications", "grading", "consent"),
    *("exercises/glazier", "exercises/sandbox", "selftest/index", "selftest/marking"),
)
DESK, PHONE = (1280, 800), (360, 740)

# Notes what can be reached, in the order of the page. A group of radio
# buttons is one stop: the chosen one, or, where none is, its first or last.
REACHABLE = """() => {
  const kinds = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';
  const chosen = e => e.type !== 'radio' || e.checked
    || ![...document.getElementsByName(e.name)].some(other => other.checked)
      && e === [...document.getElementsByName(e.name)].find(other => !other.disabled);
  window.stops = [...document.querySelectorAll(kinds)].filter(e =>
    e.tabIndex >= 0 && !e.disabled && !e.closest('[inert]') && chosen(e)
    && e.checkVisibility({visibilityProperty: true, contentVisibilityAuto: true}));
  return window.stops.length;
}"""
# Where the keyboard is, and how that is seen: the outline's width of the element or of its label,
# or of the ring round a handle of a drawing; and whether the head of the page or the edge of the
# window hides it.
HERE = """() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const shown = e.matches('.md-option') ? e.nextElementSibling : e;
  const style = getComputedStyle(shown), box = shown.getBoundingClientRect();
  const target = e.matches('.om-grip') && getComputedStyle(e.querySelector('.om-grip-target'));
  const head = document.querySelector('.md-header');
  const apart = head.contains(e) || e.matches('.md-skip');
  const bottom = apart ? 0 : head.getBoundingClientRect().bottom;
  const same = s => s === e || s.type === 'radio' && e.type === 'radio' && s.name === e.name;
  return {
    stop: window.stops.findIndex(same),
    outline: target ? target.stroke !== 'none' && parseFloat(target.strokeWidth)
      : style.outlineStyle === 'none' ? 0 : parseFloat(style.outlineWidth),
    hidden: box.bottom <= bottom || box.top >= innerHeight
      || box.right <= 0 || box.left >= innerWidth,
    what: e.outerHTML.slice(0, 120),
  };
}"""


@pytest.fixture
def desk(browser: Any) -> Iterator[Any]:
    """A page on a desk."""
    yield from opened(browser, DESK)


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    """A page on a phone."""
    yield from opened(browser, PHONE)


def opened(browser: Any, size: tuple[int, int]) -> Iterator[Any]:
    """A page of a size, where nothing moves."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        reduced_motion="reduce",
        color_scheme="light",
    )
    yield context.new_page()
    context.close()


def go(page: Any, site: Path, name: str) -> None:
    """Open a page of the site and wait until its scripts have worked."""
    page.goto((site / f"{name}.html").as_uri())
    page.wait_for_selector("html.js")


def focus_in(page: Any, selector: str) -> bool:
    """Whether the keyboard is at an element or inside it."""
    found: bool = page.evaluate("s => !!document.activeElement.closest(s)", selector)
    return found


@pytest.mark.parametrize("key", ["Tab", "Shift+Tab"])
@pytest.mark.parametrize("name", PAGES)
def test_everything_is_reached_in_order_and_in_sight(
    desk: Any, shipped_site: Path, name: str, key: str
) -> None:
    """Tab goes through all that can be used, each stop outlined and not hidden, and out again."""
    go(desk, shipped_site, name)
    expected = desk.evaluate(REACHABLE)
    assert expected > 30
    stops = []
    for _ in range(expected + 3):
        desk.keyboard.press(key)
        here = desk.evaluate(HERE)
        if here is None or here["stop"] in stops:
            break
        stops.append(here["stop"])
        assert here["outline"] >= 2, here
        assert not here["hidden"], here
    forwards = stops if key == "Tab" else stops[::-1]
    assert forwards == list(range(expected))


def test_the_first_stop_leads_to_the_content(desk: Any, shipped_site: Path) -> None:
    """The way past head and contents is first; taken, the next stop is in the text."""
    go(desk, shipped_site, "marking")
    desk.keyboard.press("Tab")
    assert focus_in(desk, ".md-skip")
    desk.keyboard.press("Enter")
    desk.keyboard.press("Tab")
    assert focus_in(desk, "article")


def test_the_contents_of_a_phone_open_and_shut(phone: Any, shipped_site: Path) -> None:
    """The button opens the contents, which hold the keyboard until Escape gives it back."""
    go(phone, shipped_site, "marking")
    button = phone.get_by_role("button", name="Contents")
    assert phone.locator(".om-nav__link").first.is_hidden()
    button.focus()
    phone.keyboard.press("Enter")
    assert button.get_attribute("aria-expanded") == "true"
    assert focus_in(phone, ".om-nav")
    phone.keyboard.press("Tab")
    assert focus_in(phone, ".om-nav__link")
    assert phone.locator("article").evaluate("e => !!e.closest('[inert]')")
    phone.keyboard.press("Escape")
    assert button.get_attribute("aria-expanded") == "false"
    assert focus_in(phone, "button[data-om-opens=__drawer]")
    assert not phone.locator("article").evaluate("e => !!e.closest('[inert]')")
    assert phone.locator(".om-nav__link").first.is_hidden()


def test_the_contents_lead_to_every_heading_and_group(phone: Any, shipped_site: Path) -> None:
    """On a phone the contents show where the reader is, with the page's headings."""
    go(phone, shipped_site, "marking")
    phone.get_by_role("button", name="Contents").click()
    here = phone.locator("[aria-current=page]")
    assert here.is_visible()
    assert here.inner_text() == phone.inner_text("h1")
    phone.locator(".om-nav__headings a").last.click()
    phone.wait_for_url("**/marking.html#*")
    phone.wait_for_timeout(300)
    assert phone.locator("article h2").last.is_visible()
    assert phone.get_by_role("button", name="Contents").get_attribute("aria-expanded") == "false"


def test_the_search_of_a_phone_opens_and_shuts(phone: Any, shipped_site: Path) -> None:
    """The button opens the field and puts the keyboard in it; Escape gives it back."""
    go(phone, shipped_site, "marking")
    assert phone.locator(".md-search__input").is_hidden()
    button = phone.get_by_role("button", name="Search")
    button.focus()
    phone.keyboard.press("Enter")
    phone.wait_for_function("document.activeElement.matches('.md-search__input')")
    phone.keyboard.press("Escape")
    assert phone.locator(".md-search__input").is_hidden()
    assert focus_in(phone, "button[data-om-opens=__search]")


def test_a_result_is_reached_and_opened(desk: Any, shipped_site: Path) -> None:
    """From the field the arrows lead to the results, and Enter opens one."""
    go(desk, shipped_site, "index")
    desk.focus(".md-search__input")
    desk.keyboard.type("undermining", delay=20)
    desk.wait_for_selector(".md-search-result__link")
    desk.keyboard.press("ArrowDown")
    assert focus_in(desk, ".md-search-result__link")
    before = desk.url
    desk.keyboard.press("Enter")
    desk.wait_for_url(lambda url: url != before)


def test_the_colours_are_a_choice_of_two(desk: Any, shipped_site: Path) -> None:
    """The arrows change between light and dark, each named for what it is."""
    go(desk, shipped_site, "index")
    light, dark = desk.get_by_role("radio", name="Light"), desk.get_by_role("radio", name="Dark")
    light.focus()
    assert light.is_checked()
    desk.keyboard.press("ArrowRight")
    assert dark.is_checked()
    assert desk.get_attribute("body", "data-md-color-scheme") == "slate"


def test_single_letters_do_nothing(desk: Any, shipped_site: Path) -> None:
    """No page is left and nothing opens by a letter alone (WCAG 2.2, 2.1.4)."""
    go(desk, shipped_site, "marking")
    before = desk.url
    for key in "npfs/.,":
        desk.keyboard.press(key)
    desk.wait_for_timeout(200)
    assert desk.url == before
    assert not desk.locator("#__search").is_checked()


def test_without_scripts_the_contents_of_a_phone_open(browser: Any, shipped_site: Path) -> None:
    """Where no script runs, a touch on the same place opens the contents."""
    context = browser.new_context(
        java_script_enabled=False, viewport={"width": PHONE[0], "height": PHONE[1]}
    )
    page = context.new_page()
    page.goto((shipped_site / "marking.html").as_uri())
    page.locator("label.om-opener--drawer").click()
    page.wait_for_timeout(400)
    assert page.locator("[aria-current=page]").is_visible()
    context.close()
