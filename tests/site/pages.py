"""Reads built pages: their ids, links, headings and tables."""

from __future__ import annotations

import gzip
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path


class PageReader(HTMLParser):
    """What the tests ask of a page.

    Attributes:
        requests: addresses that a browser would fetch with the page.
    """

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: Counter[str] = Counter()
        self.links: list[str] = []
        self.requests: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the element and what it refers to."""
        found = dict(attrs)
        self.tags.append((tag, found))
        if found.get("id"):
            self.ids[str(found["id"])] += 1
        if tag == "a" and found.get("href"):
            self.links.append(str(found["href"]))
        for name in ("src", "data", "poster"):
            if found.get(name):
                self.requests.append(str(found[name]))
        if tag == "link" and found.get("href"):
            self.requests.append(str(found["href"]))

    def all(self, tag: str) -> list[dict[str, str | None]]:
        """The attributes of every element of a kind."""
        return [attrs for name, attrs in self.tags if name == tag]


def pages(site: Path) -> dict[str, PageReader]:
    """Every page of a site by its path from the top."""
    return {
        path.relative_to(site).as_posix(): PageReader(path.read_text("utf-8"))
        for path in sorted(site.rglob("*.html"))
    }


def every_byte(*folders: Path) -> dict[str, bytes]:
    """The content of every file, unpacked where it is packed, and its name, by path."""
    found = {}
    for folder in folders:
        for path in sorted(folder.rglob("*")):
            data = path.read_bytes() if path.is_file() else b""
            if path.suffix == ".gz":
                data += gzip.decompress(data)
            found[str(path)] = str(path.relative_to(folder)).encode() + b"\n" + data
    return found
