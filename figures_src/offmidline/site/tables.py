"""Tables that chapters write in Markdown, made like those of the generated parts: in a named region
that the keyboard can scroll, with heads that say what they are the heads of.

A region is named after the heading that its table stands under.
"""

from __future__ import annotations

import re
from collections import Counter
from typing import Final

# What Python-Markdown writes: a table without attributes. Those of the generated parts have some.
_PART: Final = re.compile(
    r"<h[1-6][^>]*>(?P<heading>.*?)</h[1-6]>|<table>(?P<table>.*?)</table>", re.DOTALL
)
_ELEMENT: Final = re.compile(r"<a class=\"headerlink\".*?</a>|<[^>]*>", re.DOTALL)
_EMPTY_HEAD: Final = re.compile(r"<th[^>]*></th>")
_HEAD: Final = re.compile(r"<th(?![\w])")
_FIRST_CELL: Final = re.compile(r"(<tr>\s*)<td([^>]*)>(.+?)</td>", re.DOTALL)


def like_the_others(html: str) -> str:
    """The content of a page with its Markdown tables in regions, their heads scoped."""
    heading = ""
    seen: Counter[str] = Counter()

    def made(part: re.Match[str]) -> str:
        nonlocal heading
        if part["table"] is None:
            heading = _ELEMENT.sub("", part["heading"]).strip()
            return part[0]
        seen[heading] += 1
        name = heading if seen[heading] == 1 else f"{heading} ({seen[heading]})"
        return (
            f'<div class="om-scroll" role="region" tabindex="0" aria-label="{_quoted(name)}">\n'
            f'<table class="om-table om-table--written">{_scoped(part["table"])}</table>\n</div>'
        )

    return _PART.sub(made, html)


def _quoted(name: str) -> str:
    return name.replace('"', "&quot;")


def _scoped(table: str) -> str:
    head, end, body = table.partition("</thead>")
    head = _EMPTY_HEAD.sub("<td></td>", head)
    head = _HEAD.sub('<th scope="col"', head)
    body = _FIRST_CELL.sub(r'\1<th scope="row"\2>\3</th>', body)
    return f"{head}{end}{body}"
