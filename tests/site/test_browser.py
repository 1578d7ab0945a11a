"""The site in Chromium: nothing runs that people wrote, nothing is fetched from elsewhere."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
import yaml

from .conftest import PLAIN_CASE, Project, small_project
from .pages import every_byte

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
    *(".om-neighbour__direction", ".om-steps dt", ".md-nav__link"),
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


class Watch:
    """What a page does that it should not."""

    def __init__(self, page: Any) -> None:
        self.problems: list[str] = []
        self.requests: list[str] = []
        page.on("dialog", self._dialog)
        page.on("pageerror", lambda error: self.problems.append(f"error: {error}"))
        page.on("console", self._console)
        page.on("request", lambda request: self.requests.append(request.url))

    def _dialog(self, dialog: Any) -> None:
        self.problems.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _console(self, message: Any) -> None:
        if message.type == "error":
            self.problems.append(f"console: {message.text}")


def search(page: Any, words: str) -> None:
    """Type into the search field as a person does, until there are results."""
    field = page.locator("[data-md-component=search-query]")
    field.click()
    field.press_sequentially(words, delay=20)
    for _ in range(60):
        if page.locator(".md-search-result__item").count():
            page.wait_for_timeout(300)
            return
        field.press("End")  # the index may have come after the last key
        page.wait_for_timeout(250)
    pytest.fail(f"the search for {words} found nothing")


def collapsed(text: str) -> str:
    """Text as one line, as a browser lays it out."""
    return " ".join(text.split())


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
    lead = collapsed(page.inner_text("h1 + p"))
    assert collapsed(TEXT) in lead
    assert collapsed(f"Technique {TEXT}") in lead
    description = page.get_attribute("meta[name=description]", "content")
    assert collapsed(TEXT) in collapsed(description)
    links = [collapsed(text) for text in page.locator(".md-nav__link").all_text_contents()]
    for other in TITLES.values():
        assert collapsed(other) in links
    drawn = page.evaluate(
        "[...document.querySelectorAll('figure svg > title')].map(e => e.textContent)"
    )
    assert len(drawn) == 2
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


@pytest.mark.parametrize("over", ["http", "file"])
def test_no_request_leaves_the_site(
    browser: Any, shipped_site: Path, serve: Callable[[Path], str], over: str
) -> None:
    """Every page, searched in and switched to dark, asks nobody but the site for anything."""
    top = serve(shipped_site) if over == "http" else f"{shipped_site.as_uri()}/"
    home = urlsplit(top)
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    watch = Watch(page)
    for path in sorted(shipped_site.rglob("*.html")):
        if path.name == "404.html":  # its addresses begin at a server's top
            continue
        page.goto(top + path.relative_to(shipped_site).as_posix())
    page.goto(f"{top}index.html")
    search(page, "midline")
    away = [
        url
        for url in watch.requests
        if urlsplit(url).scheme not in ("data", "blob")
        and (urlsplit(url).scheme, urlsplit(url).netloc) != (home.scheme, home.netloc)
    ]
    assert away == []
    assert watch.problems == []
    assert len(watch.requests) > 30
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


@pytest.mark.parametrize("width", [320, 360])
def test_phones_scroll_no_page_sideways(browser: Any, shipped_site: Path, width: int) -> None:
    """On a narrow screen only tables scroll sideways, and the keyboard can do it."""
    page = browser.new_page(viewport={"width": width, "height": 640})
    for path in sorted(shipped_site.rglob("*.html")):
        if path.name == "404.html":
            continue
        page.goto(path.as_uri())
        over = page.evaluate("document.scrollingElement.scrollWidth - innerWidth")
        assert over <= 0, f"{path.name}: {over}"
    page.goto((shipped_site / "cases" / "glazier.html").as_uri())
    page.focus(".om-scroll:has(.om-rules)")
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(400)
    assert page.evaluate("document.activeElement.scrollLeft") > 0
    page.close()


def test_focus_can_be_seen(browser: Any, shipped_site: Path) -> None:
    """The first stop of the keyboard is the way to the content, and every stop has an outline."""
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    page.goto((shipped_site / "marking.html").as_uri())
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.matches('.md-skip')")
    for _ in range(12):
        page.keyboard.press("Tab")
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none", page.evaluate("document.activeElement.outerHTML.slice(0, 200)")
    page.close()


def test_paper_carries_the_caution(browser: Any, shipped_site: Path, tmp_path: Path) -> None:
    """A printed page has the caution and no navigation."""
    from pypdf import PdfReader

    page = browser.new_page()
    page.goto((shipped_site / "cases" / "glazier.html").as_uri())
    page.pdf(path=str(tmp_path / "page.pdf"), format="A4", prefer_css_page_size=True)
    text = " ".join(part.extract_text() for part in PdfReader(tmp_path / "page.pdf").pages)
    assert "Not for planning an operation on a patient" in collapsed(text)
    assert "Previous" not in text
    page.close()


def test_hostile_words_are_in_the_build(hostile: Path) -> None:
    """The hostile texts do reach the pages: the tests above are not about nothing."""
    assert b"__pwned" in b"".join(every_byte(hostile).values())
