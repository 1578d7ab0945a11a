"""A folder searched for words: every file, decoded as far as it goes, and every name."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from offmidline.leaks.decode import Closed, Layer, layers
from offmidline.leaks.texts import letters
from offmidline.leaks.way import Way
from offmidline.leaks.words import Word


@dataclass(frozen=True)
class Leak:
    """A word in a file, and the way to it; without a word, something that cannot be opened."""

    path: str
    way: Way
    word: Word | None = None


class Search:
    """Words made ready to be looked for."""

    def __init__(self, words: Iterable[Word]) -> None:
        every = tuple(words)
        self._spelled = [(letters(word.text), word) for word in every if not word.exact]
        self._exact = [
            (word.text.casefold(), _as_written(word.text), word) for word in every if word.exact
        ]

    def found_in(self, text: str) -> Iterator[Word]:
        """The words that a text holds."""
        run = letters(text)
        for spelled, word in self._spelled:
            if spelled in run:
                yield word
        folded = text.casefold()
        for part, pattern, word in self._exact:
            if part in folded and pattern.search(folded):
                yield word


def scan_file(name: str, data: bytes, search: Search) -> Iterator[Leak]:
    """What is found in a file, each word once, where it is wrapped least."""
    known: set[Word] = set()
    for layer in layers(name, data):
        if isinstance(layer, Closed):
            yield Leak(name, layer.way)
            continue
        for word in _new(layer, search, known):
            yield Leak(name, layer.way, word)


def scan_tree(top: Path, search: Search) -> tuple[int, list[Leak]]:
    """The number of files below a folder, and what is found in them. Raises OSError.

    The names of folders are read with those of the files and of empty folders; a link is read as
    the file that it leads to, and for where it leads.
    """
    count = 0
    leaks: list[Leak] = []
    for path in _below(top):
        name = path.relative_to(top).as_posix()
        data = path.read_bytes() if path.is_file() else b""
        if path.is_symlink():
            leaks += scan_file(name, os.fsencode(path.readlink()), search)
        leaks += scan_file(name, data, search)
        count += path.is_file()
    return count, leaks


def _below(top: Path) -> Sequence[Path]:
    return sorted(path for path in top.rglob("*") if path.is_file() or not _holds(path))


def _holds(path: Path) -> bool:
    """Whether a folder has something in it, whose name will be read with its own."""
    return path.is_dir() and any(path.iterdir())


def _new(layer: Layer, search: Search, known: set[Word]) -> list[Word]:
    found = [word for word in search.found_in(layer.text) if word not in known]
    known.update(found)
    return found


def _as_written(text: str) -> re.Pattern[str]:
    """The text, small, with every mark, not inside a longer number or name."""
    before = r"(?<![\w.])" if text[0].isalnum() else ""
    after = r"(?!\w)" if text[-1].isalnum() else ""
    return re.compile(f"{before}{re.escape(text.casefold())}{after}")
