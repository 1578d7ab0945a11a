"""The site asks nobody but itself for anything, works from a folder, and is light."""

from __future__ import annotations

import gzip
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from .turns import in_turn
from .watch import Watch, search

pytestmark = [pytest.mark.site, pytest.mark.browser]

# What a case page may weigh with all that it loads, as it is transferred.
MOST_KILOBYTES = 250


def names(site: Path) -> list[str]:
    """Every page by its path but the one for a wrong address, whose own begin at a server's top."""
    paths = sorted(site.rglob("*.html"))
    return [path.relative_to(site).as_posix() for path in paths if path.name != "404.html"]


@pytest.mark.parametrize(("over", "turns"), [("http", 3), ("file", 1)])
def test_no_request_leaves_the_site(
    browser: Any, shipped_site: Path, serve: Callable[[Path], str], over: str, turns: int
) -> None:
    """Every page from a folder, a third of them served, and a search: none asks anybody but the
    site for anything, and nothing fails.
    """
    top = serve(shipped_site) if over == "http" else f"{shipped_site.as_uri()}/"
    home = urlsplit(top)
    page = browser.new_page(viewport={"width": 1300, "height": 900})
    watch = Watch(page)
    for name in in_turn(names(shipped_site), 0, turns):
        page.goto(top + name)
        page.wait_for_selector("html.js")
        assert page.locator("h1").count() == 1, name
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


def test_the_watch_sees_what_goes_wrong(
    browser: Any, serve: Callable[[Path], str], tmp_path: Path
) -> None:
    """A planted request elsewhere, a missing file and a script's error are all noticed."""
    (tmp_path / "index.html").write_text(
        '<img src="gone.png"><img src="http://127.0.0.1:9/away.png"><script>throw 1</script>'
    )
    page = browser.new_page()
    watch = Watch(page)
    page.goto(f"{serve(tmp_path)}index.html")
    assert "http://127.0.0.1:9/away.png" in watch.requests
    seen = " ".join(watch.problems)
    assert all(sign in seen for sign in ("answer 404", "failed: http://127", "error: 1"))
    page.close()


def test_the_first_paint_waits_for_no_script(
    browser: Any, shipped_site: Path, serve: Callable[[Path], str]
) -> None:
    """Where no script ever arrives, the page is painted all the same, figures included."""
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.route("**/*.js", lambda _: None)  # neither answered nor refused
    page.goto(f"{serve(shipped_site)}cases/ferry-deckhand.html", wait_until="commit")
    painted = "performance.getEntriesByName('first-contentful-paint').length"
    end = time.monotonic() + 10
    while not page.evaluate(painted) and time.monotonic() < end:
        page.wait_for_timeout(50)
    assert page.evaluate(painted) == 1
    assert page.locator("h1").is_visible()
    assert page.evaluate("document.readyState") == "loading"
    assert page.locator("figure svg").count() >= 2
    page.close()


def test_a_case_page_is_light(
    browser: Any, shipped_site: Path, serve: Callable[[Path], str]
) -> None:
    """A case page with all that it loads, figures and the index of the search included, is within
    the budget.
    """
    top = serve(shipped_site)
    weights = {}
    for path in sorted((shipped_site / "cases").glob("*.html")):
        page = browser.new_page()
        watch = Watch(page)
        page.goto(f"{top}cases/{path.name}", wait_until="networkidle")
        files = {shipped_site / url.removeprefix(top) for url in watch.requests}
        weights[path.stem] = sum(len(gzip.compress(file.read_bytes())) for file in files) / 1000
        assert any(file.name == "search_index.json" for file in files)
        page.close()
    assert len(weights) > 5
    assert max(weights.values()) <= MOST_KILOBYTES, weights
