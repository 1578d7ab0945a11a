"""The table of complications: whole by itself, and narrowed by day and signs in Chromium."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from offmidline import messages
from offmidline.records import Complication, load_library
from offmidline.site.recogniser import anchor, days, span
from offmidline.site.template import UnknownNameError

from .conftest import ROOT, small_project
from .pages import pages
from .watch import Watch, collapsed

SHIPPED = ROOT / "scenarios"
COMPLICATIONS = load_library(SHIPPED, ()).complications
PAGE = "complications.html"
LAST_DAY = 365
DANGEROUS = {"anaesthetic-toxicity", "deep-infection", "haematoma"}


def fitting(day: int | None, signs: list[str]) -> tuple[set[str], str]:
    """The twin of the script: those whose time holds the day and that have all of the signs, or
    else one of them.
    """
    then = {
        name: {sign.sign for sign in one.signs}
        for name, one in COMPLICATIONS.items()
        if day is None or holds(one, day)
    }
    every = {name for name, has in then.items() if set(signs) <= has}
    some = {name for name, has in then.items() if set(signs) & has}
    return (every, "every") if every else (some, "some" if some else "none")


def holds(one: Complication, day: int) -> bool:
    """Whether a day lies in the usual time of a complication."""
    first, last = days(one)
    return first <= day and (last is None or day <= last)


def said(shown: set[str], how: str) -> str:
    """What the live region says."""
    words = messages.section("site.recogniser.script")
    sentence: str = words["all"] if len(shown) == len(COMPLICATIONS) else words[how]
    missed = DANGEROUS - shown
    sentence += f" {words['missed']}" if missed else ""
    ordered = sorted(COMPLICATIONS.values(), key=lambda one: (days(one)[0], one.window.end or 1e9))
    titles = ", ".join(one.title for one in ordered if one.complication in missed)
    values = {"shown": len(shown), "count": len(COMPLICATIONS), "missed": titles}
    for name, value in values.items():
        sentence = sentence.replace(f"[{name}]", str(value))
    return sentence


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site with the shipped complications on one page, and a link to one from another."""
    project = small_project(tmp_path_factory.mktemp("complications"))
    for folder in ("complications", "gradings", "evidence"):
        source, target = SHIPPED / folder, project.scenarios / folder
        shutil.copytree(source, target, dirs_exist_ok=True)
    (project.handbook / "complications.md").write_text("# All\n\n{{ recogniser }}\n", "utf-8")
    contents = (project.handbook / "contents.yml").read_text("utf-8")
    (project.handbook / "contents.yml").write_text(f"{contents}- complications.md\n", "utf-8")
    start = project.handbook / "index.md"
    start.write_text(start.read_text("utf-8") + "\nThink of {{ complication:seroma }}.\n", "utf-8")
    return project.build()


@pytest.fixture
def page(browser: Any, site: Path) -> Iterator[Any]:
    """The page with the table."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    watch = Watch(page)
    page.goto((site / PAGE).as_uri())
    yield page
    assert watch.problems == []
    page.close()


def shown(page: Any) -> set[str]:
    """The complications whose rows are seen."""
    rows = page.locator("tr[data-signs]:visible")
    return {
        str(name).removeprefix("complication-")
        for name in rows.evaluate_all("r => r.map(e => e.id)")
    }


def result(page: Any) -> str:
    """What the live region says."""
    return collapsed(page.get_by_role("status").inner_text())


def test_the_shipped_complications_are_twelve_and_three_are_dangerous():
    """Every one that the chapters name, and what must not be missed."""
    assert len(COMPLICATIONS) == 12
    assert {name for name, one in COMPLICATIONS.items() if one.danger} == DANGEROUS


@pytest.mark.parametrize(
    ("name", "first", "last"),
    [
        ("anaesthetic-toxicity", 0, 0),
        ("haematoma", 0, 2),
        ("seroma", 3, 21),
        ("superficial-infection", 3, 30),
        ("delayed-healing", 42, None),
        ("altered-sensation", 0, 365),
    ],
)
def test_a_window_becomes_days(name, first, last):
    """Hours count to the day that they reach; weeks and months are their days; day 0 is the
    operation's.
    """
    assert days(COMPLICATIONS[name]) == (first, last)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("anaesthetic-toxicity", "1 minute to 2 hours"),
        ("haematoma", "first 48 hours"),
        ("seroma", "day 3 to day 21"),
        ("delayed-healing", "from 6 weeks on"),
        ("recurrence", "from 2 months on"),
        ("altered-sensation", "first 12 months"),
    ],
)
def test_a_window_is_told_in_fitting_units(name, words):
    """As one says it, and not as it is kept."""
    window = COMPLICATIONS[name].window
    assert span(window.start, window.end) == words


def test_every_sign_and_factor_has_words():
    """The fixed lists of the records have their titles, and no title is left over."""
    from typing import get_args

    from offmidline.records.complication import Factor, SignId

    assert list(messages.section("site.signs")) == list(get_args(SignId))
    assert list(messages.section("site.factors")) == sorted(get_args(Factor))


@pytest.mark.site
def test_the_page_holds_every_row_once(site):
    """Each complication can be linked to, and links to it arrive."""
    found = pages(site)
    ids = found[PAGE].ids
    assert {name for name in COMPLICATIONS if ids[anchor(name)] == 1} == set(COMPLICATIONS)
    assert f"{PAGE}#{anchor('seroma')}" in found["index.html"].links


def test_an_unknown_complication_is_named():
    """The nearest known one is offered."""
    from offmidline.site.recogniser import link

    with pytest.raises(UnknownNameError, match="did you mean seroma"):
        link(load_library(SHIPPED, ()), "seromas", "index.md")


@pytest.mark.site
@pytest.mark.browser
def test_every_day_and_sign_narrows_as_said(page):
    """On each day of a year and for any day, with each sign and without: the script shows what its
    twin in Python does, and says so.
    """
    signs = page.locator(".om-form-choice input").evaluate_all("all => all.map(e => e.value)")
    assert len(signs) == len({sign.sign for one in COMPLICATIONS.values() for sign in one.signs})
    found = page.evaluate(
        """async (last) => {
          const day = document.getElementById("recogniser-day");
          const ticks = [...document.querySelectorAll(".om-form-choice input")];
          const rows = [...document.querySelectorAll("tr[data-signs]")];
          const out = [];
          for (const tick of [null, ...ticks]) {
            if (tick) tick.checked = true;
            for (let n = -1; n <= last; n += 1) {
              day.value = n < 0 ? "" : String(n);
              day.dispatchEvent(new Event("input", { bubbles: true }));
              const seen = rows.filter((row) => !row.hidden).map((row) => row.id);
              const words = document.querySelector(".om-form-result").textContent;
              out.push([n, tick ? tick.value : "", seen.join(" "), words]);
            }
            if (tick) tick.checked = false;
          }
          return out;
        }""",
        LAST_DAY,
    )
    assert len(found) == (LAST_DAY + 2) * (len(signs) + 1)
    for day, sign, seen, words in found:
        expected, how = fitting(None if day < 0 else day, [sign] if sign else [])
        assert (set(seen.split()), words) == (
            {anchor(name) for name in expected},
            said(expected, how),
        )


@pytest.mark.site
@pytest.mark.browser
def test_several_signs_first_ask_for_all_of_them(page):
    """Where nothing has all of the signs, what has one of them is shown, and that is said."""
    for name in ("Swelling", "A wave under the fingers"):
        page.get_by_label(name, exact=True).check()
    assert shown(page) == {"seroma"}
    page.get_by_label("Headache", exact=True).check()
    expected, how = fitting(None, ["swelling", "fluctuance", "headache"])
    assert (how, "spinal-headache" in expected) == ("some", True)
    assert shown(page) == expected
    assert result(page) == said(expected, how)


@pytest.mark.site
@pytest.mark.browser
def test_what_is_dangerous_is_never_hidden_silently(page):
    """The lines above the form stay, and the live region names what the table leaves out."""
    page.get_by_label("Day after the operation").fill("200")
    page.get_by_label("Headache", exact=True).check()
    assert shown(page) == set()
    for name in DANGEROUS:
        assert COMPLICATIONS[name].title in result(page)
        assert page.locator(".om-dangers").get_by_text(str(COMPLICATIONS[name].danger)).is_visible()


@pytest.mark.site
@pytest.mark.browser
def test_a_link_to_a_hidden_row_brings_it_back(page):
    """From the lines above the form, also a second time."""
    day = page.get_by_label("Day after the operation")
    for _ in range(2):
        day.fill("200")
        assert "haematoma" not in shown(page)
        page.locator(".om-dangers").get_by_role("link", name="Haematoma").click()
        page.wait_for_function("document.querySelector('#complication-haematoma').hidden === false")
        assert shown(page) == set(COMPLICATIONS)
        assert day.input_value() == ""


@pytest.mark.site
@pytest.mark.browser
@pytest.mark.parametrize("wrong", ["366", "-1", "2.5"])
def test_a_day_that_is_none_is_said_and_not_counted(page, wrong):
    """The fault stands beside the field, is tied to it, and every day counts until it is mended."""
    day = page.get_by_label("Day after the operation")
    day.fill(wrong)
    assert day.get_attribute("aria-invalid") == "true"
    fault = page.locator(f"#{day.get_attribute('aria-describedby')}")
    assert "from 0 to 365" in fault.inner_text()
    assert shown(page) == set(COMPLICATIONS)
    day.fill("5")
    assert day.get_attribute("aria-invalid") is None
    assert fault.inner_text() == ""


@pytest.mark.site
@pytest.mark.browser
def test_show_all_takes_everything_back(page):
    """By keyboard: the day, the signs and the table."""
    page.get_by_label("Day after the operation").fill("200")
    page.get_by_label("Headache", exact=True).focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Show all").focus()
    page.keyboard.press("Enter")
    assert shown(page) == set(COMPLICATIONS)
    assert page.locator(".om-form-choice input:checked").count() == 0
    assert result(page) == said(set(COMPLICATIONS), "every")


@pytest.mark.site
@pytest.mark.browser
def test_without_scripts_and_on_paper_the_table_is_whole(browser, site, page):
    """No form without the script; what the form hides is printed all the same."""
    bare = browser.new_context(java_script_enabled=False).new_page()
    bare.goto((site / PAGE).as_uri())
    assert shown(bare) == set(COMPLICATIONS)
    assert bare.locator(".om-form").count() == 0
    bare.context.close()
    page.get_by_label("Day after the operation").fill("200")
    page.emulate_media(media="print")
    assert shown(page) == set(COMPLICATIONS)
    assert not page.locator(".om-form").is_visible()


@pytest.mark.site
@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 360, 1280])
def test_nothing_is_wider_than_the_window(page, width):
    """Rows are cards that need no scrolling to the side, and stay a table for those who hear it."""
    page.set_viewport_size({"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    box = page.locator("#recogniser-table")
    assert box.evaluate("e => e.scrollWidth <= e.parentElement.clientWidth")
    table = page.get_by_role("table", name="The complications of this operation")
    assert table.get_by_role("row").count() == len(COMPLICATIONS) + 1
    assert table.get_by_role("rowheader").count() == len(COMPLICATIONS)


@pytest.mark.site
@pytest.mark.browser
def test_nothing_is_kept(page):
    """What is ticked stays on the page, and is gone with it."""
    page.get_by_label("Headache", exact=True).check()
    assert json.loads(page.evaluate("JSON.stringify(Object.keys(sessionStorage))")) == []
    page.reload()
    assert shown(page) == set(COMPLICATIONS)
    assert page.locator(".om-form-choice input:checked").count() == 0
