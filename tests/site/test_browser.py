"""The site in Chromium: nothing runs that people wrote, nothing is fetched from elsewhere."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from .conftest import PLAIN_CASE, Project, small_project
from .pages import every_byte
from .watch import Watch, collapsed, search

pytestmark = [pytest.mark.site, pytest.mark.browser]

SCRIPT = "<script>window.__pwned=1</script>"
TITLES = {
    "hostile-one": (
        f"1. # \"A' &amp; </title>{SCRIPT} | {{{{ offset }}}} | {{% raw %}} **b** <i>i</i>"
    ),
    "hostile-two": (
        '<img src=x onerror="window.__pwned=1"> [l](javascript:window.__pwned=1) `c` \\{{ a'
    ),
    "hostile-three": (f"\u202etxet\u202c שלום & </script>{SCRIPT} <!-- offmidline sources --> -->"),
}
TEXT = (
    f'{SCRIPT} </svg><svg onload="window.__pwned=1"> {{{{ reach }}}} *x* | "q"'
    " \u202eabc\u202c 1. &lt;"
)
# Kinds of text whose contrast is measured.
KINDS = (
    *("h1", "p", "a", "li", "td", "th", "caption", "figcaption", ".om-standing", ".om-reason"),
    *(".om-pause", ".om-who", ".om-cite", ".om-idle", ".om-caution", ".om-imprint"),
    *(".om-neighbour__direction", ".om-steps dt", ".md-nav__link", ".om-nav__link", ".om-reading"),
    *(".om-stepper-position", ".om-stepper-button", ".om-code code", ".om-made-of p"),
    *(".om-tick .om-do", ".om-checklist-count", ".om-checklist-note", ".om-checklist-button"),
)


def hostile_case(name: str, title: str) -> str:
    """A case whose every text field holds what a page could mistake for markup."""
    data = yaml.safe_load(PLAIN_CASE)
    data |= {"case": name, "title": title, "learning": [TEXT], "teaching_notes": TEXT}
    data["patient"]["occupation"] = TEXT
    return json.dumps(data, ensure_ascii=False)


def make_texts_hostile(project: Project) -> None:
    """Put the same into every text of the technique and of the sources."""
    file = project.scenarios / "techniques" / "off-midline-flap.yml"
    technique = yaml.safe_load(file.read_text("utf-8"))
    technique["title"] = f"Technique {TEXT}"
    for record in technique["dimensions"].values():
        record["why"] = TEXT
    for agent in technique["infiltration"].values():
        agent |= {"name": TEXT, "label": TEXT, "country": TEXT, "why": TEXT, "note": TEXT}
    for phase in technique["steps"]:
        for step in phase["steps"]:
            # In a step, names are names: as text they carry a backslash.
            step.update(dict.fromkeys(("do", "why", "check", "wrong"), TEXT.replace("{{", r"\{{")))
    file.write_text(yaml.safe_dump(technique, allow_unicode=True), "utf-8")
    file = project.scenarios / "sources.yml"
    sources = yaml.safe_load(file.read_text("utf-8"))
    for source in sources:
        source |= {"title": TEXT, "note": TEXT, "author": [{"literal": TEXT}]}
        source["container-title"] = TEXT
    file.write_text(yaml.safe_dump(sources, allow_unicode=True), "utf-8")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site whose every text is hostile."""
    project = small_project(tmp_path_factory.mktemp("hostile"))
    for name, title in TITLES.items():
        project.write_case(name, hostile_case(name, title))
    make_texts_hostile(project)
    (project.handbook / "index.md").write_text(
        "# Start\n\n{{ technique }} {{ source:sozen-2011 }}\n\n{{ steps:marking }}\n\n"
        "{{ dimensions }}\n\n{{ limits }}\n\n{{ gallery:hostile-one }}\n",
        "utf-8",
    )
    return project.build()


@pytest.mark.parametrize("name", TITLES)
def test_hostile_texts_are_text_everywhere(browser: Any, hostile: Path, name: str) -> None:
    """Titles, tables, lists, figures, navigation and description show the text; nothing runs."""
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    watch = Watch(page)
    page.goto((hostile / "cases" / f"{name}.html").as_uri())
    page.wait_for_timeout(300)
    title = collapsed(TITLES[name])
    assert collapsed(page.inner_text("h1")) == title
    assert collapsed(page.title()).startswith(title)
    assert collapsed(page.inner_text(".om-learning li:last-child")) == collapsed(TEXT)
    lead = collapsed(page.inner_text("h1 + .om-reading + p"))
    assert collapsed(TEXT) in lead
    assert collapsed(f"Technique {TEXT}") in lead
    description = page.get_attribute("meta[name=description]", "content")
    assert collapsed(TEXT) in collapsed(description)
    links = [collapsed(text) for text in page.locator(".om-nav__link").all_text_contents()]
    for other in TITLES.values():
        assert collapsed(other) in links
    drawn = page.evaluate(
        "[...document.querySelectorAll('figure svg > title')].map(e => e.textContent)"
    )
    assert len(drawn) == 3
    assert page.evaluate("window.__pwned") is None
    assert page.locator("article script, article img, article svg svg, article i").count() == 0
    assert (
        page.evaluate("[...document.scripts].filter(s => s.textContent.includes('__pwned')).length")
        == 0
    )
    assert watch.problems == []
    page.close()


@pytest.mark.parametrize("path", ["index", "cases/index", "techniques/off-midline-flap", "sources"])
def test_hostile_texts_on_other_pages(browser: Any, hostile: Path, path: str) -> None:
    """Steps, reasons, labels and sources show the text as it is; nothing runs."""
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    watch = Watch(page)
    page.goto((hostile / f"{path}.html").as_uri())
    page.wait_for_timeout(300)
    assert collapsed(TEXT) in collapsed(page.inner_text("article"))
    assert page.evaluate("window.__pwned") is None
    assert page.locator("article script, article img, article svg svg, article i").count() == 0
    assert watch.problems == []
    page.close()


def test_hostile_lines_in_a_gallery(browser: Any, tmp_path: Path) -> None:
    """Lines of a file show what was written, marks, blank lines and all; nothing runs."""
    project = small_project(tmp_path)
    lines = (
        f"  pits:\n\n    # </code></pre>{SCRIPT} {TEXT}\n\n\n    - {{at: 60 mm, diameter: 2 mm}}"
    )
    case = PLAIN_CASE.replace("  pits: [{at: 60 mm, diameter: 2 mm}]", lines)
    project.write_case("plain", case)
    (project.handbook / "index.md").write_text("# Start\n\n{{ gallery:plain }}\n", "utf-8")
    page = browser.new_page()
    watch = Watch(page)
    page.goto((project.build() / "index.html").as_uri())
    shown = page.locator(".om-code").first.text_content()
    assert f"findings:\n{lines}\n" in shown
    assert page.evaluate("window.__pwned") is None
    assert page.locator("article script, article img, article svg svg, article i").count() == 0
    assert watch.problems == []
    page.close()


def test_hostile_titles_in_the_foot(browser: Any, hostile: Path) -> None:
    """The links to the neighbouring pages show their titles as text."""
    page = browser.new_page()
    page.goto((hostile / "cases" / "hostile-three.html").as_uri())
    previous = collapsed(page.inner_text(".om-neighbour--prev .om-neighbour__title"))
    assert previous == collapsed(TITLES["hostile-one"])
    assert page.evaluate("window.__pwned") is None
    page.close()


@pytest.mark.parametrize("over", ["http", "file"])
def test_hostile_titles_in_search(
    browser: Any, hostile: Path, serve: Callable[[Path], str], over: str
) -> None:
    """Search finds a page and shows its title as text, served and from a folder."""
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    watch = Watch(page)
    top = serve(hostile) if over == "http" else f"{hostile.as_uri()}/"
    page.goto(f"{top}index.html")
    search(page, "onerror")
    found = [collapsed(t) for t in page.locator(".md-search-result__item h1").all_text_contents()]
    assert collapsed(TITLES["hostile-two"]) in found
    assert page.evaluate("window.__pwned") is None
    assert page.locator(".md-search-result img").count() == 0
    assert watch.problems == []
    page.close()


def test_the_scheme_is_kept(browser: Any, shipped_site: Path) -> None:
    """Who switches to dark finds the next page dark, figures included."""
    context = browser.new_context(color_scheme="light")
    page = context.new_page()
    page.goto((shipped_site / "index.html").as_uri())
    paper = "getComputedStyle(document.body).getPropertyValue('--fig-paper').trim()"
    light = page.evaluate(paper)
    page.click("label[for=__palette_1]:visible")
    page.goto((shipped_site / "cases" / "ferry-deckhand.html").as_uri())
    assert page.get_attribute("body", "data-md-color-scheme") == "slate"
    dark = page.evaluate(paper)
    assert light
    assert dark
    assert light != dark
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_contrast(browser: Any, shipped_site: Path, scheme: str) -> None:
    """Text of every kind reaches a contrast of 4.5:1 on its background (WCAG 2.2, 1.4.3)."""
    from offmidline.figures.page.style import contrast

    context = browser.new_context(color_scheme=scheme, viewport={"width": 1300, "height": 900})
    page = context.new_page()
    seen = set()
    for path in (
        *("cases/glazier", "marking", "techniques/off-midline-flap", "gallery"),
        *("checklists/marking", "checklists/index"),
    ):
        page.goto((shipped_site / f"{path}.html").as_uri())
        page.wait_for_timeout(400)
        for kind in KINDS:
            pair = page.evaluate(COLOURS, kind)
            if pair is not None:
                seen.add(kind)
                assert contrast(*pair) >= 4.5, f"{path} {kind}: {pair}"
    assert len(seen) >= len(KINDS) - 1
    context.close()


# The colour of an element's text and of what is behind it, as #rrggbb.
COLOURS = """kind => {
  const element = [...document.querySelectorAll(kind)].find(e => e.offsetParent);
  if (!element) return null;
  const canvas = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
  const parts = colour => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  };
  const hex = p => '#' + p.slice(0, 3).map(v => v.toString(16).padStart(2, '0')).join('');
  let behind = element;
  while (behind && parts(getComputedStyle(behind).backgroundColor)[3] === 0) {
    behind = behind.parentElement;
  }
  const back = behind ? getComputedStyle(behind).backgroundColor : 'white';
  return [hex(parts(getComputedStyle(element).color)), hex(parts(back))];
}"""


def test_hostile_words_are_in_the_build(hostile: Path) -> None:
    """The hostile texts do reach the pages: the tests above are not about nothing."""
    assert b"__pwned" in b"".join(every_byte(hostile).values())
