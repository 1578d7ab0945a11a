"""How long a page takes to read: its words at a usual pace, and a look at each of its figures.

A page of questions is not read through: of that its questions are counted.
"""

from __future__ import annotations

import html
import math
import re
from typing import Final

# Both common practice, no source: plain prose on a screen, and a first look at a drawing.
WORDS_A_MINUTE: Final = 200
SECONDS_A_FIGURE: Final = 10
_SECONDS_A_MINUTE: Final = 60

# How a question begins.
QUESTION: Final = '<section class="om-item"'
_FIGURE: Final = re.compile(r"<figure\b")
# Lists of references, tables to look things up in, and remarks on how a fact stands are not read
# through; the rest is markup.
_NOT_READ: Final = re.compile(
    r"<!--.*?-->"
    r"|<script\b.*?</script>"
    r'|<ol class="om-sources">.*?</ol>'
    r'|<table class="[^"]*\bom-lookup\b.*?</table>'
    r'|<a class="om-cite".*?</a>'
    r'|<span class="om-standing">.*?</span>'
    r"|<[^>]*>"
    r"|\]\([^)]*\)"  # where a link in Markdown leads
    r"|\{ *[#.][^}\n]*\}",  # ids and classes of headings
    re.DOTALL,
)
_WORD: Final = re.compile(r"\w+(?:[.,'’-]\w+)*")


def words(source: str) -> int:
    """The number of words that a reader meets on a page in Markdown and HTML."""
    return len(_WORD.findall(html.unescape(_NOT_READ.sub(" ", source))))


def questions(source: str) -> int:
    """The number of questions that a page asks."""
    return source.count(QUESTION)


def minutes(source: str) -> int:
    """Whole minutes that a page takes, rounded up; at least one."""
    looking = len(_FIGURE.findall(source)) * SECONDS_A_FIGURE / _SECONDS_A_MINUTE
    return max(1, math.ceil(words(source) / WORDS_A_MINUTE + looking))
