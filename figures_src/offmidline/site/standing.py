"""How a value or a rule stands: its sources as citations, or that it is usual teaching, or a local
choice.

The citations are template names; they become numbers when the order of the pages is known.
"""

from __future__ import annotations

from collections.abc import Sequence

from offmidline import messages


def standing(status: str, sources: Sequence[str]) -> str:
    """Status in words (none where it is simply sourced), then the citations."""
    word = messages.section("site.standing_short" if sources else "site.standing")[status]
    parts = [f'<span class="om-standing">{word}</span>'] if word else []
    return " ".join([*parts, *citations(sources)])


def citations(sources: Sequence[str]) -> list[str]:
    """Each source as a template name that cites it."""
    return [f"{{{{ source:{source} }}}}" for source in sources]
