"""The lines of a file that hold certain keys, as they were written.

A key's lines are whole lines, under those of the keys that it belongs to. Where that would show
what the reader may not see, as in a file on a single line, only the keys' own characters are
taken.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import Path

from offmidline.records.document import Document, Mark, Way
from offmidline.records.files import load
from offmidline.records.plain_text import plain_text
from offmidline.records.yaml_text import read_document


@dataclass(frozen=True)
class Written:
    """A file that was read without a fault: its lines, and where its keys are on them."""

    document: Document
    lines: tuple[str, ...]

    @classmethod
    def read(cls, path: Path, scenarios: Path) -> Written:
        """Read a file of a scenarios folder."""
        data = load(path, scenarios).data
        text = plain_text(data, Document(path)) or ""
        return cls(read_document(data, path), tuple(text.split("\n")))

    def has(self, way: Way) -> bool:
        """Whether the file has such a key."""
        return way in self.document.places

    def excerpt(self, ways: Iterable[Way], hidden: Collection[Way] = ()) -> str:
        """What the file says under those of the keys that it has, in the file's order.

        ``hidden`` are keys of which nothing may be in it.
        """
        wanted = [way for way in ways if self.has(way)]
        wanted = [way for way in wanted if not any(way[: len(no)] == no for no in hidden)]
        shown = {number for way in wanted for number in self._with_parents(way)}
        kept_back = {number for way in hidden if self.has(way) for number in self._numbers(way)}
        if shown & kept_back:
            places = sorted({(self._start(way), way) for way in wanted})
            return "\n".join(self._characters(way) for _, way in places)
        return "\n".join(self.lines[number - 1] for number in sorted(shown))

    def _with_parents(self, way: Way) -> set[int]:
        """The numbers of a key's lines and of the lines on which its parents' keys stand."""
        parents = (way[:depth] for depth in range(1, len(way)))
        return {*self._numbers(way), *(self._start(parent).line for parent in parents)}

    def _numbers(self, way: Way) -> range:
        """The numbers of a key's lines, without the comments before what follows."""
        first, end = self._start(way).line, self._end(way)
        last = end.line if self._before(end).strip(" -") else end.line - 1
        while last > first and self._says_nothing(last):
            last -= 1
        return range(first, last + 1)

    def _characters(self, way: Way) -> str:
        """From the key to what follows."""
        start, end = self._start(way), self._end(way)
        lines = [*self.lines[start.line - 1 : end.line - 1], self._before(end)]
        lines[0] = lines[0][start.column - 1 :]
        return "\n".join(lines).rstrip(" \n,")

    def _start(self, way: Way) -> Mark:
        place = self.document.places[way]
        return place.key or place.value

    def _end(self, way: Way) -> Mark:
        """Where the next part begins that does not belong to the key."""
        places = self.document.places
        after = (
            self._start(other)
            for other in places
            if other[: len(way)] != way and self._start(other) > self._start(way)
        )
        return min(after, default=Mark(len(self.lines) + 1, 1))

    def _before(self, mark: Mark) -> str:
        """The text that stands before a place on its line."""
        line = self.lines[mark.line - 1] if mark.line <= len(self.lines) else ""
        return line[: mark.column - 1]

    def _says_nothing(self, number: int) -> bool:
        line = self.lines[number - 1].strip()
        return not line or line.startswith("#")
