"""Pieces of HTML that the generated parts of pages are made of. Cells and words given here are
HTML already.

No blank line stands inside a piece, as Markdown would end the HTML there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Group:
    """Rows of a table under a heading of their own; the first cell of a row is its heading."""

    title: str
    rows: Sequence[Sequence[str]]


def table(
    ident: str, caption: str, heads: Sequence[str], groups: Iterable[Group], kind: str = ""
) -> str:
    """A table with a caption, in a region that the keyboard can scroll where it is too wide.

    A group without a title has no heading row. ``kind`` is a class for the style sheet.
    """
    head = "".join(f'<th scope="col">{cell}</th>' for cell in heads)
    bodies = "".join(_body(group, len(heads)) for group in groups)
    classes = f"om-table {kind}".strip()
    return (
        f'<div class="om-scroll" role="region" tabindex="0" aria-labelledby="{ident}-caption">\n'
        f'<table class="{classes}" id="{ident}">\n'
        f'<caption id="{ident}-caption">{caption}</caption>\n'
        f"<thead><tr>{head}</tr></thead>\n"
        f"{bodies}</table>\n</div>"
    )


def _body(group: Group, width: int) -> str:
    title = (
        f'<tr class="om-group"><th scope="rowgroup" colspan="{width}">{group.title}</th></tr>\n'
        if group.title
        else ""
    )
    rows = "".join(
        f'<tr><th scope="row">{row[0]}</th>{"".join(f"<td>{cell}</td>" for cell in row[1:])}</tr>\n'
        for row in group.rows
    )
    return f"<tbody>\n{title}{rows}</tbody>\n"


def bullets(items: Iterable[str], kind: str = "") -> str:
    """A list of sentences."""
    start = f'<ul class="{kind}">' if kind else "<ul>"
    return "\n".join([start, *(f"<li>{item}</li>" for item in items), "</ul>"])


def joined(words: Sequence[str], last: str) -> str:
    """Words in a row: ``a, b and c`` with ``last`` = " and "."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])}{last}{words[-1]}"


def place_for(name: str) -> str:
    """The mark at which something is put in when all pages are known; no written text can hold
    one.
    """
    return f"<!-- offmidline {name} -->"
