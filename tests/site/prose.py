"""Chapters in the pieces that a citation covers: sentences, list items, rows of tables."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

_TEMPLATE = re.compile(r"\{\{[^{}]*\}\}")
_CITATION = re.compile(r"\{\{ *(?:source:|fact:|practice\b)[^{}]*\}\}")
# A new sentence, unless what follows the stop is the citation of what went before.
_STOP = re.compile(r"(?<=[.!?])(?<!e\.g\.)(?<!i\.e\.)[\"')*_]*\s+(?!\{\{ *(?:source:|practice\b))")
_ITEM = re.compile(r"\s*(?:[-*+]|\d+\.)\s+")
_OWN_LINE = re.compile(r"\s*(?:#|<|\{\{[^{}]*\}\}\s*$)")


@dataclass(frozen=True)
class Piece:
    """A piece of a chapter with the line that it begins on.

    Attributes:
        text: as it was written.
        context: for a row, the head of its table; else "".
    """

    line: int
    text: str
    context: str = ""

    @property
    def typed(self) -> str:
        """What a person typed: the text without its template names."""
        return _TEMPLATE.sub("", self.text)

    @property
    def cited(self) -> bool:
        """Whether it carries a source, a published result, or that it has no source."""
        return bool(_CITATION.search(self.text))


def pieces(source: str) -> Iterator[Piece]:
    """The pieces of a chapter in order."""
    block: list[str] = []
    start, head, item = 1, "", False

    def ended() -> Iterator[Piece]:
        text = "\n".join(block)
        block.clear()
        if item:
            yield Piece(start, text)
            return
        line = start
        for part in _STOP.split(text):
            if part.strip():
                yield Piece(line, part)
            line += part.count("\n") + 1 if part.endswith("\n") else part.count("\n")

    for number, line in enumerate(source.split("\n"), start=1):
        kind = _kind(line)
        if kind != "text":
            yield from ended()
            item = kind == "item"
            start = number
        if kind == "row":
            head = head or line
            yield Piece(number, line, head)
            continue
        head = ""
        if kind == "alone":
            yield Piece(number, line)
        elif kind != "blank":
            start = start if block else number
            block.append(line)
    yield from ended()


def _kind(line: str) -> str:
    """What a line is, or begins."""
    if not line.strip():
        return "blank"
    if line.lstrip().startswith("|"):
        return "row"
    if _OWN_LINE.match(line):
        return "alone"
    return "item" if _ITEM.match(line) else "text"
