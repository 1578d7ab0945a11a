"""Which pages are looked at where looking at every page in every way would take too long."""

from __future__ import annotations

import os
from collections.abc import Iterable

# One of each kind of page, and what holds more than others: looked at every time.
ALWAYS = frozenset(
    {
        "index.html",
        "marking.html",
        "cases/glazier.html",
        "exercises/glazier.html",
        "selftest/index.html",
    }
)


def in_turn(names: Iterable[str], turn: int, turns: int) -> list[str]:
    """The pages whose turn it is of so many, and those looked at every time; all of them with
    HYPOTHESIS_PROFILE=search.
    """
    every = os.environ.get("HYPOTHESIS_PROFILE") == "search"
    return [
        name
        for at, name in enumerate(sorted(names))
        if every or at % turns == turn or name in ALWAYS
    ]
