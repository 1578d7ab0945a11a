"""A file as everything that can be read in it: its name, its bytes as text, what is packed in it,
and so on inwards.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from offmidline.leaks import texts
from offmidline.leaks.containers import inside
from offmidline.leaks.way import Shut, Step, Way

# Wrappings round wrappings: what lies deeper counts as not looked into. Common practice, no source.
_DEPTH: Final = 12


@dataclass(frozen=True)
class Layer:
    """A text, and the way to it."""

    way: Way
    text: str


@dataclass(frozen=True)
class Closed:
    """The way to something that could not be looked into."""

    way: Way


def layers(name: str, data: bytes) -> Iterator[Layer | Closed]:
    """Everything that can be read in a file, the outermost first."""
    yield from _Reading().of_bytes((Step("name"),), os.fsencode(name), _DEPTH)
    yield from _Reading().of_bytes((), data, _DEPTH)


@dataclass
class _Reading:
    """One file; what stands in it twice is read once."""

    seen: set[bytes] = field(default_factory=set)

    def of_bytes(self, way: Way, data: bytes, depth: int) -> Iterator[Layer | Closed]:
        mark = hashlib.sha256(data).digest()
        if mark in self.seen:
            return
        self.seen.add(mark)
        if depth == 0:
            yield Closed(way)
            return
        for steps, text in texts.texts_of(data):
            yield from self._of_text((*way, *steps), text, depth)
        for part in inside(data):
            if isinstance(part, Shut):
                yield Closed((*way, part.step))
            else:
                yield from self.of_bytes((*way, part.step), part.data, depth - 1)

    def _of_text(self, way: Way, text: str, depth: int) -> Iterator[Layer | Closed]:
        yield Layer(way, text)
        plain = texts.plain(text)
        if plain != text:
            yield Layer((*way, Step("escapes")), plain)
        bare = texts.without_tags(plain)
        if bare != plain:
            yield Layer((*way, Step("tags")), bare)
        for step, data in texts.packed_in(plain):
            yield from self.of_bytes((*way, step), data, depth - 1)
