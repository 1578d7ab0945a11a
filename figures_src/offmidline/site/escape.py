"""The one place where text that people wrote becomes text on a page.

Every ASCII punctuation mark that Markdown, HTML or a template could read as markup becomes a
numeric character reference, which Markdown and HTML, in an element or in a quoted attribute, show
as the mark itself.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

_MARKS: Final = re.compile(r"[!-+\-./:-@\[-`{-~]")
_ELEMENT: Final = re.compile(r"<[^>]*>")
# Classes of the Unicode bidirectional algorithm that turn the reading direction around.
_TURNING: Final = frozenset(
    {"R", "AL", "AN", "RLE", "RLO", "RLI", "LRE", "LRO", "LRI", "FSI", "PDF", "PDI"}
)


def attribute(text: str) -> str:
    """Text for a double-quoted attribute, or wherever no element may stand."""
    return _MARKS.sub(lambda mark: f"&#{ord(mark[0])};", text)


def text(text: str) -> str:
    """Text for Markdown or HTML; where it may turn the direction it is kept from turning its
    neighbours.
    """
    if not text.isascii() and any(unicodedata.bidirectional(one) in _TURNING for one in text):
        return f"<bdi>{attribute(text)}</bdi>"
    return attribute(text)


def without_elements(html: str) -> str:
    """Text made by this module, and words around it, without its elements: for an attribute."""
    return _ELEMENT.sub("", html)
