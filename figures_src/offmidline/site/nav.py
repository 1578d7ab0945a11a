"""The navigation as MkDocs wants it, kept small: a long group is split, as every page carries the
navigation.
"""

from __future__ import annotations

from typing import Any, Final

from offmidline import messages
from offmidline.site.pages import INDEX
from offmidline.site.tree import Tree

# Pages that a group lists before it is split.
MOST: Final = 25


def navigation(tree: Tree) -> list[Any]:
    """Groups of pages; a page with a title of its own is listed under it."""
    titles = {page.path: page.title for page in tree.pages}
    nav: list[Any] = []
    for entry in tree.order:
        items = _split([_item(path, titles[path]) for path in entry.pages])
        nav += [{entry.title: items}] if entry.title else items
    return nav


def _item(path: str, title: str | None) -> Any:
    # The list of cases leads its group, whose title it needs not repeat.
    return path if title is None or path == INDEX else {title: path}


def _split(items: list[Any]) -> list[Any]:
    """The items in parts of equal size, each under its numbers, behind those that have no title."""
    own = [item for item in items if isinstance(item, str)]
    listed = [item for item in items if not isinstance(item, str)]
    if len(listed) <= MOST:
        return items
    starts = range(0, len(listed), MOST)
    return own + [
        {
            messages.text(
                "site.nav_part", first=start + 1, last=min(start + MOST, len(listed))
            ): listed[start : start + MOST]
        }
        for start in starts
    ]
