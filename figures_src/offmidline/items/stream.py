"""Chances that are the same on every machine, drawn from a seed.

HMAC-SHA256 over a counter: no library's generator stands between a seed and a paper, and with a
secret key nobody can work out what a public seed will draw.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Sequence
from typing import Final, TypeVar

Thing = TypeVar("Thing")

# So many bytes are taken for a number: what a remainder favours is then less than one in 2**50.
_BYTES: Final = 8
_BETWEEN: Final = "\x1f"


class Stream:
    """Numbers drawn one after the other; what is drawn depends on the names and the key alone."""

    def __init__(self, *names: object, key: bytes = b"") -> None:
        self._names = names
        self._key = key
        self._secret = hmac.digest(key, _BETWEEN.join(map(str, names)).encode(), hashlib.sha256)
        self._drawn = 0

    def fork(self, *names: object) -> Stream:
        """Another stream with further names; what this one has drawn does not matter."""
        return Stream(*self._names, *names, key=self._key)

    def below(self, count: int) -> int:
        """A whole number from 0 up to one less than the count. Raises ValueError below 1."""
        if count < 1:
            raise ValueError("nothing to draw from")
        self._drawn += 1
        counted = self._drawn.to_bytes(_BYTES, "big")
        drawn = hmac.digest(self._secret, counted, hashlib.sha256)[:_BYTES]
        return int.from_bytes(drawn, "big") % count

    def one_of(self, things: Sequence[Thing]) -> Thing:
        """One of the things."""
        return things[self.below(len(things))]

    def shuffled(self, things: Sequence[Thing]) -> list[Thing]:
        """The things in an order by chance (Fisher and Yates)."""
        order = list(things)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return order

    def some(self, things: Sequence[Thing], count: int) -> list[Thing]:
        """So many of the things, in their own order; all where there are not more."""
        kept = sorted(self.shuffled(range(len(things)))[:count])
        return [things[at] for at in kept]
