"""Amounts on a page: no line parts a number from its unit."""

from __future__ import annotations

import re
from typing import Final

# A number and its unit in running text, and not inside a tag. Text from files has its point
# escaped.
_AMOUNT: Final = re.compile(
    r"(?<![\w.])(?<!&#46;)(\d+(?:(?:\.|&#46;)\d+)?"
    r" (?:mm|cm²|cm|ml|mg|kg|%|months|years)(?:/\w+)?)(?!\w)(?![^<>]*>)"
)


def kept_whole(page: str) -> str:
    """A page on whose lines no number is parted from its unit."""
    return _AMOUNT.sub(r'<span class="om-amount">\1</span>', page)
