"""Every page against the checks of axe-core: WCAG 2.2 AA and its best practices, without an
exception.

Axe-core (MPL-2.0) is a tool of the tests alone and no part of the site.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from .turns import ALWAYS, in_turn

pytestmark = [pytest.mark.site, pytest.mark.browser]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# A drawing is one image to whoever does not see it; its parts are checked with the figures. No
# style sheet has a rule for the device's orientation, for which axe would fetch them all again.
# What is opened to be read is opened first.
RUN = """tags => { for (const one of document.querySelectorAll('article details')) one.open = true;
  return axe.run({exclude: [['svg > *']]},
  {runOnly: tags, resultTypes: ['violations'], preload: false}).then(result =>
  result.violations.flatMap(found => found.nodes.map(node =>
    `${found.id}: ${node.target.join(' ')}: ${node.failureSummary}`))) }"""

# One fault for each kind of rule that the tags stand for.
FAULTY = """<!doctype html><html lang="en"><head><title>Faults</title>
<style>.faint { color: #bbb; background: #fff } button { width: 12px; height: 12px; padding: 0 }
</style></head><body><main><h1>Faults</h1><h1>Another</h1><img src="data:,">
<p class="faint">Hardly to be read</p><input type="text"><button aria-label="a"></button><button
aria-label="b"></button><table><tr><th></th></tr><tr><td>1</td></tr></table></main>
<p>Outside of all landmarks</p></body></html>"""
PLANTED = {
    *("image-alt", "color-contrast", "label", "target-size", "region", "empty-table-header"),
}


# Each page has its turn in one of these; one of each kind is looked at in all of them.
LOOKS = (("light", 1280), ("dark", 360), ("dark", 1280), ("light", 360))


def names(site: Path, look: tuple[str, int]) -> list[str]:
    """The pages that are checked in a look."""
    found = [path.relative_to(site).as_posix() for path in site.rglob("*.html")]
    return in_turn(found, LOOKS.index(look), len(LOOKS))


@pytest.fixture(scope="module")
def axe() -> str:
    """The script."""
    return files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")


@pytest.fixture
def look(request: pytest.FixtureRequest) -> tuple[str, int]:
    """The scheme and the width that the test names."""
    scheme, width = request.param
    return scheme, width


@pytest.fixture
def page(browser: Any, axe: str, look: tuple[str, int]) -> Iterator[Any]:
    """A page in the look that the test names, with axe in every document."""
    scheme, width = look
    context = browser.new_context(
        color_scheme=scheme, reduced_motion="reduce", viewport={"width": width, "height": 800}
    )
    context.add_init_script(axe)
    yield context.new_page()
    context.close()


@pytest.mark.parametrize(
    "look",
    LOOKS,
    ids=lambda named: f"{named[0]}-{named[1]}",
    indirect=True,
)
def test_no_page_has_a_violation(
    page: Any, look: tuple[str, int], shipped_site: Path, serve: Callable[[Path], str]
) -> None:
    """Every page passes every rule, in light or dark, on a desk or on a phone."""
    top = serve(shipped_site)
    faults = {}
    for name in names(shipped_site, look):
        page.goto(top + name)
        found = page.evaluate(RUN, TAGS)
        if found:
            faults[name] = found
    assert faults == {}


def test_every_page_has_its_turn(shipped_site: Path) -> None:
    """Each is looked at, and one of each kind in every look."""
    looked_at = [set(names(shipped_site, look)) for look in LOOKS]
    every = {path.relative_to(shipped_site).as_posix() for path in shipped_site.rglob("*.html")}
    assert set.union(*looked_at) == every
    assert set.intersection(*looked_at) >= ALWAYS


@pytest.mark.parametrize("look", LOOKS[:1], ids=["light-1280"], indirect=True)
def test_planted_faults_are_found(page: Any) -> None:
    """The same run finds what is wrong with a page that is made to fail."""
    page.set_content(FAULTY)
    found = {fault.partition(":")[0] for fault in page.evaluate(RUN, TAGS)}
    assert found >= PLANTED
