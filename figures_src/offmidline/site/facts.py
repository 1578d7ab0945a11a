"""Published results in words, as chapters name them."""

from __future__ import annotations

from offmidline.records import Library


def fact(library: Library, name: str) -> str:
    """A row of the evidence in words, its citation still named. Raises UnknownNameError."""
    del library
    return f"(fact {name} to come)"
