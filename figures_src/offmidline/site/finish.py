"""The last touches to finished HTML: drawings put into their places, links from pages to pages."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Container
from typing import Final

from offmidline.markup import place_for

_PLACE: Final = re.compile(re.escape(place_for("ID")).replace("ID", r"([a-z0-9-]+)"))
# Links in pieces of HTML, which MkDocs does not turn from sources to pages as it does in Markdown.
_LINK: Final = re.compile(
    r'(<a [^>]*?href=")([^":#]+\.md)((?:#[^"]*)?"[^>]*>)(.*?)(</a>)', re.DOTALL
)


def with_figures(html: str, known: Container[str], put: Callable[[str], str]) -> str:
    """Put what stands for a figure, given its id, into the place of every figure that is known."""
    return _PLACE.sub(lambda place: put(place[1]) if place[1] in known else place[0], html)


def inner_drawing(svg: str) -> str:
    """A drawing for the middle of a page: without what introduces a file."""
    return svg[svg.index("<svg") :].rstrip()


def with_page_links(html: str, page: str, target: Callable[[str], str | None]) -> str:
    """Turn links to sources into links to pages; of one to a page that the handbook has not, the
    words stay.

    ``target`` gives the address, relative to the page, of a source named from the top, or None
    where there is none.
    """

    def turned(link: re.Match[str]) -> str:
        source = posixpath.normpath(posixpath.join(posixpath.dirname(page), link[2]))
        address = target(source)
        if address is None:
            return link[4]
        return f"{link[1]}{address}{link[3]}{link[4]}{link[5]}"

    return _LINK.sub(turned, html)
