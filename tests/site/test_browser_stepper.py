"""The steps of a figure in Chromium: by mouse, by keyboard alone, without scripts, on paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from .conftest import PLAIN_CASE, small_project
from .watch import Watch, collapsed

pytestmark = [pytest.mark.site, pytest.mark.browser]

VIEW = "closure"
STEPPERS = ("figure-plain-closure", "figure-other-closure")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site whose first page has the steps of two cases."""
    project = small_project(tmp_path_factory.mktemp("steps"))
    other = PLAIN_CASE.replace("case: plain", "case: other").replace("at: 60 mm", "at: 64 mm")
    project.write_case("other", other)
    names = "\n\n".join(f"{{{{ figure:{case}:{VIEW} }}}}" for case in ("plain", "other"))
    (project.handbook / "index.md").write_text(
        f"# Start\n\n[away](#start)\n\n{names}\n\n[back](sources.md)\n", "utf-8"
    )
    return project.build()


@pytest.fixture
def page(browser: Any, site: Path) -> Iterator[Any]:
    """The page, in a window of a desk."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    watch = Watch(page)
    page.goto((site / "index.html").as_uri())
    yield page
    assert watch.problems == []
    page.close()


class Stepper:
    """One of the steppers of a page."""

    def __init__(self, page: Any, ident: str = STEPPERS[0]) -> None:
        self.page = page
        self.box = page.locator(f"#{ident}")
        self.steps = self.box.locator(".om-stepper-step")
        self.previous = self.box.get_by_role("button", name="Previous")
        self.next = self.box.get_by_role("button", name="Next")
        self.position = self.box.locator("[aria-live=polite]")

    @property
    def count(self) -> int:
        """The number of steps."""
        return int(self.steps.count())

    def visible(self) -> list[int]:
        """The numbers of the steps that can be seen."""
        return [n + 1 for n in range(self.count) if self.steps.nth(n).locator("svg").is_visible()]

    def is_at(self, number: int) -> bool:
        """Whether this step, and it alone, is shown and named."""
        said = collapsed(self.position.inner_text())
        return self.visible() == [number] and said.startswith(f"{number} of {self.count}: ")


@pytest.mark.parametrize("over", ["http", "file"])
def test_buttons_go_through_the_steps(
    browser: Any, site: Path, serve: Callable[[Path], str], over: str
) -> None:
    """One step is seen at a time; the buttons go on and back, and stop at the ends."""
    page = browser.new_page()
    watch = Watch(page)
    page.goto((serve(site) if over == "http" else f"{site.as_uri()}/") + "index.html")
    stepper = Stepper(page)
    assert stepper.count > 2
    assert stepper.is_at(1)
    assert stepper.previous.get_attribute("aria-disabled") == "true"
    stepper.previous.click(force=True)  # Playwright itself would wait for a button at its end
    assert stepper.is_at(1)
    for number in range(2, stepper.count + 1):
        assert stepper.next.get_attribute("aria-disabled") == "false"
        stepper.next.click()
        assert stepper.is_at(number)
    assert stepper.next.get_attribute("aria-disabled") == "true"
    stepper.next.click(force=True)
    assert stepper.is_at(stepper.count)
    assert page.evaluate("document.activeElement.textContent") == "Next"
    stepper.previous.click()
    assert stepper.is_at(stepper.count - 1)
    assert watch.problems == []
    page.close()


def test_steppers_of_a_page_are_their_own(page: Any) -> None:
    """What is done to one stepper leaves the other where it is."""
    first, second = (Stepper(page, ident) for ident in STEPPERS)
    second.next.click()
    second.next.click()
    assert second.is_at(3)
    assert first.is_at(1)


def test_the_keyboard_is_enough(page: Any) -> None:
    """The buttons are reached by Tab and work by Enter and Space; arrows, Home and End go."""
    stepper, press = Stepper(page), page.keyboard.press
    stops = []
    for _ in range(40):
        press("Tab")
        stops.append(
            page.evaluate(
                "id => document.getElementById(id).contains(document.activeElement)", STEPPERS[0]
            )
        )
        if stops[-1]:
            break
    assert stops[-1]
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    press("ArrowRight")
    assert stepper.is_at(2)
    press("ArrowRight")
    press("ArrowLeft")
    assert stepper.is_at(2)
    press("End")
    assert stepper.is_at(stepper.count)
    press("ArrowRight")
    assert stepper.is_at(stepper.count)
    press("Home")
    assert stepper.is_at(1)
    press("Tab")  # from Previous to Next: nothing lies between
    assert page.evaluate("document.activeElement.textContent") == "Next"
    press("Enter")
    press("Space")
    assert stepper.is_at(3)
    press("Tab")  # hidden steps are no stops
    assert page.evaluate("document.activeElement.closest('.om-stepper').id") == STEPPERS[1]


def test_keys_belong_to_the_stepper_in_focus(page: Any) -> None:
    """Arrows elsewhere, and arrows together with another key, are not the stepper's."""
    stepper = Stepper(page)
    page.get_by_role("link", name="away").focus()
    page.keyboard.press("ArrowRight")
    assert stepper.is_at(1)
    stepper.next.focus()
    for key in ("Control+ArrowRight", "Shift+ArrowRight", "Shift+End"):
        page.keyboard.press(key)
        assert stepper.is_at(1), key


def test_hidden_steps_are_hidden_from_everybody(page: Any) -> None:
    """A step that is not shown is inert, and assistive technology meets one picture."""
    stepper = Stepper(page)
    stepper.next.click()
    inert = stepper.steps.evaluate_all("steps => steps.map(step => step.inert)")
    assert [n for n, hidden in enumerate(inert, 1) if not hidden] == [2]
    assert stepper.box.get_by_role("img").count() == 1


def test_the_height_does_not_jump(page: Any) -> None:
    """The steps lie in one place, whose height stays the same while one goes through them."""
    stepper = Stepper(page)
    boxes = set()
    for _ in range(stepper.count):
        place, button = stepper.box.bounding_box(), stepper.next.bounding_box()
        boxes.add((place["y"], place["height"], button["x"], button["y"]))
        stepper.next.click(force=True)
    assert len(boxes) == 1
    places = [stepper.steps.nth(n).bounding_box() for n in range(stepper.count)]
    assert len({(place["x"], place["y"]) for place in places}) == 1


def test_nothing_moves_by_itself(page: Any) -> None:
    """Steps change at once, for everybody: there is no animation to be reduced."""
    moving = page.evaluate(
        """() => [...document.querySelectorAll('.om-stepper, .om-stepper *')].filter(one => {
          const style = getComputedStyle(one);
          return style.animationName !== 'none' || /[1-9]/.test(style.transitionDuration);
        }).length"""
    )
    assert moving == 0


def test_a_link_opens_its_step(browser: Any, site: Path) -> None:
    """An address that names a picture opens its step, at first and later, as often as asked."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((site / "index.html").as_uri())
    idents = page.locator(f"#{STEPPERS[1]} svg[role=img]").evaluate_all("all => all.map(s => s.id)")
    page.goto("about:blank")
    page.goto(f"{(site / 'index.html').as_uri()}#{idents[2]}")
    first, second = (Stepper(page, ident) for ident in STEPPERS)
    assert second.is_at(3)
    assert first.is_at(1)
    page.wait_for_timeout(300)
    place = second.box.bounding_box()
    assert 40 <= place["y"] < 140  # under the page's header, the buttons in sight
    page.evaluate("hash => { location.hash = hash }", idents[1])
    page.wait_for_function("id => !document.getElementById(id).closest('li').inert", arg=idents[1])
    assert second.is_at(2)
    link = "hash => document.querySelector('article a').setAttribute('href', '#' + hash)"
    page.evaluate(link, idents[1])
    second.next.click()
    assert second.is_at(3)
    page.get_by_role("link", name="away").click()
    assert second.is_at(2)
    page.close()


def test_an_address_that_names_nothing_is_harmless(browser: Any, site: Path) -> None:
    """A broken or foreign address leaves the steps at the first."""
    page = browser.new_page()
    watch = Watch(page)
    for end in ("#%E0%A4%A", "#nowhere", "#start"):
        page.goto("about:blank")
        page.goto(f"{(site / 'index.html').as_uri()}{end}")
        assert Stepper(page).is_at(1)
    assert watch.problems == []
    page.close()


def test_without_scripts_all_is_there(browser: Any, site: Path) -> None:
    """Where no script runs, every step stands under its name, in order, and there is no button."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    stepper = Stepper(page)
    assert stepper.visible() == list(range(1, stepper.count + 1))
    names = stepper.box.locator(".om-stepper-name")
    tops = [names.nth(n).bounding_box()["y"] for n in range(stepper.count)]
    assert tops == sorted(set(tops))
    for number in range(stepper.count):
        assert names.nth(number).inner_text().startswith(f"{number + 1} of ")
    assert page.locator(".om-stepper button").count() == 0
    context.close()


def test_paper_shows_every_step(page: Any, tmp_path: Path) -> None:
    """In print every step is there under its name, wherever one was, and no button is."""
    from pypdf import PdfReader

    stepper = Stepper(page)
    stepper.next.click()
    page.emulate_media(media="print")
    assert stepper.visible() == list(range(1, stepper.count + 1))
    assert not stepper.next.is_visible()
    assert not stepper.position.is_visible()
    page.pdf(path=str(tmp_path / "page.pdf"), format="A4", prefer_css_page_size=True)
    text = collapsed(" ".join(p.extract_text() for p in PdfReader(tmp_path / "page.pdf").pages))
    for number in range(1, stepper.count + 1):
        assert text.count(f" {number} of {stepper.count}: ") == len(STEPPERS)
    page.emulate_media(media="screen")
    assert stepper.is_at(2)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_phones_have_room_for_it(browser: Any, site: Path, scheme: str) -> None:
    """At 360 px nothing scrolls sideways, and the buttons are high enough for a thumb."""
    context = browser.new_context(
        viewport={"width": 360, "height": 640}, has_touch=True, color_scheme=scheme
    )
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    stepper = Stepper(page)
    for number in range(1, stepper.count + 1):
        assert stepper.is_at(number)
        assert page.evaluate("document.scrollingElement.scrollWidth - innerWidth") <= 0
        for button in (stepper.previous, stepper.next):
            box = button.bounding_box()
            assert box["height"] >= 44
            assert box["width"] >= 44
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= 360
        stepper.next.tap(force=True)
    context.close()


def test_smallest_text_of_a_figure_on_a_phone(browser: Any, site: Path) -> None:
    """On a page 360 px wide every text of every figure, in a stepper or alone, is 9 px or larger,
    and no figure is wider than the screen.
    """
    page = browser.new_page(viewport={"width": 360, "height": 640})
    watch = Watch(page)
    for path in ("index.html", "cases/plain.html"):
        page.goto((site / path).as_uri())
        sizes = page.evaluate(
            """() => [...document.querySelectorAll('.om-figure svg text')].map(text =>
                   parseFloat(text.getAttribute('font-size')) *
                   Math.hypot(text.getCTM().a, text.getCTM().b))"""
        )
        assert len(sizes) > 10
        assert min(sizes) >= 9
        widths = page.evaluate(
            "() => [...document.querySelectorAll('.om-figure svg')]"
            ".map(svg => svg.getBoundingClientRect().width)"
        )
        assert max(widths) <= 360
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert watch.problems == []
    page.close()
