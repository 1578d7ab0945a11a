"""Checklists in Chromium: ticks that stay, ticks that are cleared, and the sheet of paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from .conftest import small_project
from .watch import Watch, collapsed

pytestmark = [pytest.mark.site, pytest.mark.browser]

NAME = "off-midline-flap"
OTHER = "other-flap"
PHASE, POCKET, INDEX, SHEET = (
    f"checklists/{name}.html" for name in ("marking", "pocket", "index", "sheet")
)
# What a browser may do with a page that wants to keep something.
REFUSALS = {
    "reading": "Object.defineProperty(window, 'localStorage',"
    " {get() { throw new DOMException('refused', 'SecurityError'); }});",
    "writing": "Storage.prototype.setItem ="
    " () => { throw new DOMException('full', 'QuotaExceededError'); };",
}
# Points, of everything that has text of its own.
SMALLEST_TEXT = """() => Math.min(...[...document.querySelectorAll('.md-content *')]
  .filter(one => one.checkVisibility() && [...one.childNodes].some(
    part => part.nodeType === Node.TEXT_NODE && part.textContent.trim()))
  .map(one => parseFloat(getComputedStyle(one).fontSize) * 0.75))"""
# Points; what an A4 sheet measures.
A4 = (595, 842)


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two handbooks beside each other, of two techniques whose steps have the same names."""
    top = tmp_path_factory.mktemp("checklists")
    for name in (NAME, OTHER):
        project = small_project(top / name)
        if name == OTHER:
            _rename(project.scenarios / "techniques", project.cases)
        project.build(technique=name)
    return top


def _rename(techniques: Path, cases: Path) -> None:
    text = (techniques / f"{NAME}.yml").read_text("utf-8")
    (techniques / f"{NAME}.yml").unlink()
    (techniques / f"{OTHER}.yml").write_text(text.replace(NAME, OTHER), "utf-8")
    for case in cases.iterdir():
        case.write_text(case.read_text("utf-8").replace(NAME, OTHER), "utf-8")


@pytest.fixture
def address(sites: Path, serve: Callable[[Path], str]) -> str:
    """Where both handbooks are served, from one host."""
    return serve(sites)


@pytest.fixture
def context(browser: Any) -> Iterator[Any]:
    """A browser that has kept nothing yet."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield context
    context.close()


class Checklist:
    """A page of a checklist."""

    def __init__(self, context: Any, top: str, path: str = PHASE, name: str = NAME) -> None:
        self.page = context.new_page()
        self.watch = Watch(self.page)
        self.page.goto(f"{top}/{name}/site/{path}")
        self.boxes = self.page.locator("[data-tick]")
        self.note = self.page.locator(".om-checklist-note")
        self.said = self.page.locator(".om-checklist-said")

    def done(self, phase: str = "marking") -> str:
        """What is said of a phase."""
        return collapsed(self.page.locator(f"[data-steps^='{phase}/']").inner_text())

    def ticked(self) -> list[int]:
        """The places of the ticked steps."""
        return [n for n in range(self.boxes.count()) if self.boxes.nth(n).is_checked()]

    def button(self, name: str) -> Any:
        """A button by the beginning of its name."""
        return self.page.get_by_role("button", name=re.compile(f"^{name}"))


@pytest.mark.parametrize("over", ["http", "file"])
def test_ticks_are_kept_and_counted(context: Any, sites: Path, address: str, over: str) -> None:
    """A tick is there again after a reload, in the pocket list, and in the count of the index."""
    top = address.rstrip("/") if over == "http" else sites.as_uri()
    phase = Checklist(context, top)
    count = phase.boxes.count()
    assert phase.done() == f"0 of {count} done"
    phase.page.get_by_text("Draw the new midline parallel").click()  # the words are the label
    phase.boxes.nth(0).check()
    place = phase.ticked()
    assert len(place) == 2
    phase.page.reload()
    assert phase.ticked() == place
    assert phase.done() == f"2 of {count} done"
    assert "Nothing is sent" in phase.note.inner_text()
    assert "until you clear them" in phase.note.inner_text()
    assert Checklist(context, top, INDEX).done() == f"2 of {count} done"
    pocket = Checklist(context, top, POCKET)
    assert len(pocket.ticked()) == 2
    assert pocket.done() == f"2 of {count} done"
    phase.boxes.nth(0).uncheck()
    # Pages that are open follow each other, as soon as the browser tells them.
    pocket.page.get_by_text(f"1 of {count} done").first.wait_for()
    assert phase.watch.problems == pocket.watch.problems == []


def test_nothing_is_sent(context: Any, address: str) -> None:
    """Ticking and clearing ask no server for anything."""
    phase = Checklist(context, address.rstrip("/"))
    phase.page.wait_for_load_state("networkidle")
    before = len(phase.watch.requests)
    phase.boxes.nth(1).check()
    phase.button("Clear this phase").click()
    phase.button("Yes, clear").click()
    assert len(phase.watch.requests) == before


def test_two_techniques_do_not_share_ticks(context: Any, address: str) -> None:
    """On one host, the ticks of one technique are not those of the other, nor cleared with them."""
    top = address.rstrip("/")
    one, other = Checklist(context, top), Checklist(context, top, name=OTHER)
    one.boxes.nth(1).check()
    other.boxes.nth(2).check()
    one.page.reload()
    other.page.reload()
    assert (one.ticked(), other.ticked()) == ([1], [2])
    one.button("Clear all").click()
    one.button("Yes, clear").click()
    other.page.reload()
    assert (one.ticked(), other.ticked()) == ([], [2])


def test_clearing_asks_first_and_clears_what_it_says(context: Any, address: str) -> None:
    """The first press asks, with the number; a second clears the phase, and it alone."""
    top = address.rstrip("/")
    phase = Checklist(context, top)
    other = Checklist(context, top, "checklists/flap.html")
    other.boxes.nth(0).check()
    phase.boxes.nth(0).check()
    phase.boxes.nth(3).check()
    clear = phase.button("Clear this phase")
    clear.click()
    assert phase.ticked() == [0, 3]
    assert phase.button("Yes, clear them").inner_text() == "Yes, clear them (2)"
    assert "Press again" in phase.said.inner_text()
    phase.button("Yes, clear them").click()
    assert phase.ticked() == []
    assert "Ticks cleared: 2" in phase.said.inner_text()
    assert clear.is_visible()
    clear.click()
    assert "no tick to clear" in phase.said.inner_text()
    other.page.reload()
    assert other.ticked() == [0]
    phase.button("Clear all phases").click()
    phase.button("Yes, clear them").click()
    other.page.reload()
    assert other.ticked() == []
    assert phase.watch.problems == []


def test_clearing_can_be_left(context: Any, address: str) -> None:
    """Keep, Escape and going elsewhere leave all ticks, and the next press asks again."""
    phase = Checklist(context, address.rstrip("/"))
    phase.boxes.nth(0).check()
    leave = {
        "keep": lambda: phase.button("Keep them").click(),
        "escape": lambda: phase.page.keyboard.press("Escape"),
        "elsewhere": lambda: phase.boxes.nth(1).focus(),
    }
    for way, go in leave.items():
        phase.button("Clear this phase").click()
        go()
        assert phase.ticked() == [0], way
        assert phase.button("Clear this phase").is_visible(), way
        assert phase.button("Keep them").count() == 0, way
        if way != "elsewhere":
            focused = phase.page.evaluate("document.activeElement.textContent")
            assert focused == "Clear this phase", way


@pytest.mark.parametrize("way", REFUSALS)
def test_where_nothing_is_kept_the_page_says_so(context: Any, address: str, way: str) -> None:
    """Boxes are ticked and counted all the same, and the page tells that they are not kept."""
    context.add_init_script(REFUSALS[way])
    phase = Checklist(context, address.rstrip("/"))
    assert "keeps nothing" in phase.note.inner_text()
    phase.boxes.nth(2).check()
    assert phase.done().startswith("1 of ")
    phase.button("Clear this phase").click()
    phase.button("Yes, clear").click()
    assert phase.ticked() == []


def test_a_tick_whose_step_is_gone_is_not_counted(context: Any, address: str) -> None:
    """What is kept of an older technique does no harm, and goes when all is cleared."""
    phase = Checklist(context, address.rstrip("/"))
    old = f"offmidline/{NAME}/marking/long-gone"
    phase.page.evaluate("key => localStorage.setItem(key, '1')", old)
    ours = "Object.keys(localStorage).filter(key => key.startsWith('offmidline/'))"
    phase.page.reload()
    assert phase.done().startswith("0 of ")
    phase.boxes.nth(0).check()
    assert phase.done().startswith("1 of ")
    phase.button("Clear all").click()
    phase.button("Yes, clear").click()
    assert phase.page.evaluate(ours) == []


def test_the_keyboard_ticks_and_clears(context: Any, address: str) -> None:
    """Space ticks; Tab reaches the buttons; Enter asks and clears; the box in use is in sight."""
    phase = Checklist(context, address.rstrip("/"))
    press = phase.page.keyboard.press
    for number in range(phase.boxes.count()):
        while not phase.boxes.nth(number).evaluate("box => box === document.activeElement"):
            press("Tab")
        press("Space")
        hidden = phase.boxes.nth(number).evaluate(
            """box => {
              const own = box.getBoundingClientRect();
              const bar = document.querySelector('.om-checklist-bar').getBoundingClientRect();
              return own.bottom > bar.top && own.top < bar.bottom;
            }"""
        )
        assert not hidden, number
    count = phase.boxes.count()
    assert phase.done() == f"{count} of {count} done"
    press("Tab")
    press("Enter")
    press("Enter")
    assert phase.ticked() == []
    assert phase.page.evaluate("document.activeElement.textContent") == "Clear this phase"


def test_what_is_said_is_said_to_all(context: Any, address: str) -> None:
    """Count and answers are live regions; each box has the step's words as its name."""
    phase = Checklist(context, address.rstrip("/"))
    regions = phase.page.locator(".om-checklist [role=status]")
    assert regions.count() == 2
    name = phase.boxes.nth(1).evaluate("box => box.labels[0].textContent")
    assert name.startswith("Draw the midline from the coccyx")
    assert phase.page.get_by_role("checkbox", name=name).count() == 1


@pytest.mark.parametrize("width", [320, 390])
def test_phones_scroll_no_checklist_sideways(browser: Any, sites: Path, width: int) -> None:
    """Phase, pocket, index and sheet fit, and what is touched is big enough for a thumb."""
    page = browser.new_page(viewport={"width": width, "height": 700})
    for path in (PHASE, POCKET, INDEX, SHEET):
        page.goto((sites / NAME / "site" / path).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        for one in page.locator(".om-tick, .om-checklist-button, .om-pocket summary").all():
            assert not one.is_visible() or one.bounding_box()["height"] >= 44, path
    page.close()


def test_boxes_can_be_ticked_without_scripts(browser: Any, sites: Path) -> None:
    """Without scripts the list is whole, says that nothing is kept, and shows no dead button."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((sites / NAME / "site" / PHASE).as_uri())
    page.locator("[data-tick]").nth(2).check()
    assert page.locator("[data-tick]").nth(2).is_checked()
    assert "Without scripts" in page.locator(".om-checklist-note").inner_text()
    assert page.locator(".om-checklist button").count() == 0
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_sheet_prints_on_one_page(browser: Any, sites: Path, scheme: str) -> None:
    """One A4 page holds every step, caution and version; no text is smaller than 7.5 points."""
    context = browser.new_context(color_scheme=scheme)
    page = context.new_page()
    page.goto((sites / NAME / "site" / SHEET).as_uri())
    for size in ({"prefer_css_page_size": True}, {"format": "A4"}):
        made = page.pdf(**size)
        assert len(re.findall(rb"/Type\s*/Page\b", made)) == 1, size
        box = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", made)
        assert box is not None
        for found, wanted in zip(box.groups(), A4, strict=True):
            assert float(found) == pytest.approx(wanted, abs=1.5)
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 703, "height": 1047})  # what the margins leave, in CSS pixels
    assert page.evaluate(SMALLEST_TEXT) >= 7.5
    assert page.locator(".om-caution").is_visible()
    assert page.locator(".om-sheet li").count() == page.locator(".om-sheet li:visible").count()
    clipped = page.evaluate(
        """() => [...document.querySelectorAll('.om-sheet li, .om-caution')].filter(one => {
          const box = one.getBoundingClientRect();
          return box.right > innerWidth || box.bottom > innerHeight;
        }).length"""
    )
    assert clipped == 0
    context.close()
