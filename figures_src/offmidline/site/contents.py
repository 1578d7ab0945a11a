"""The order of the handbook: ``contents.yml`` beside the chapters, as a list of pages and of
titled groups.

An item that ends in a slash (``cases/``) stands for the generated pages of that folder.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import yaml

from offmidline import messages
from offmidline.records import Fault, FaultsError

FILE: Final = "contents.yml"


@dataclass(frozen=True)
class Entry:
    """Pages in order, under a title or ("") without."""

    title: str
    pages: tuple[str, ...]


def read_contents(handbook: Path) -> tuple[Entry, ...]:
    """Read the order of a folder of chapters. Raises FaultsError."""
    path = handbook / FILE
    try:
        items = yaml.safe_load(path.read_text("utf-8"))
    except OSError as error:
        raise _fault(handbook, error.strerror or str(error)) from None
    except (yaml.YAMLError, UnicodeDecodeError):
        raise _fault(handbook, messages.text("site.faults.contents")) from None
    if not isinstance(items, list) or not items:
        raise _fault(handbook, messages.text("site.faults.contents"))
    return tuple(_entry(item, handbook) for item in items)


def expanded(pages: Iterable[str], generated: Iterable[str]) -> list[str]:
    """Pages with every folder replaced by the generated pages in it."""
    found: list[str] = []
    every = list(generated)
    for page in pages:
        found += [one for one in every if one.startswith(page)] if page.endswith("/") else [page]
    return found


def _entry(item: Any, handbook: Path) -> Entry:
    if isinstance(item, str):
        return Entry("", (item,))
    if isinstance(item, dict) and len(item) == 1:
        ((title, pages),) = item.items()
        listed = [pages] if isinstance(pages, str) else pages
        named = isinstance(title, str) and isinstance(listed, list)
        if named and all(isinstance(page, str) for page in listed):
            return Entry(title, tuple(listed))
    raise _fault(handbook, messages.text("site.faults.contents"))


def _fault(handbook: Path, message: str) -> FaultsError:
    return FaultsError([Fault(str(handbook / FILE), 1, 1, message)])
