"""Amounts on a page: no line parts a number from its unit."""

from __future__ import annotations

import re
from typing import Final

# Code in Markdown shows what it holds letter by letter, so that a tag would be read as text. A
# number and its unit in running text, and not inside a tag. Text from files has its point escaped.
_CODE_OR_AMOUNT: Final = re.compile(
    r"(?ms:^```.*?^```)|`[^`\n]+`"
    r"|(?<![\w.])(?<!&#46;)(−?\d+(?:(?:\.|&#46;)\d+)?"
    r" (?:mm|cm²|cm|ml|mg|kg|%|months|years)(?:/\w+)?)(?!\w)(?![^<>]*>)"
)


def kept_whole(page: str) -> str:
    """A page on whose lines no number is parted from its unit."""
    return _CODE_OR_AMOUNT.sub(_kept, page)


def _kept(match: re.Match[str]) -> str:
    amount = match[1]
    return match[0] if amount is None else f'<span class="om-amount">{amount}</span>'
