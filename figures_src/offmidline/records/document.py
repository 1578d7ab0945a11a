"""A file as read: a tree of text, the place of every part, and the faults so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple, TypeAlias

from offmidline import messages
from offmidline.records.faults import Fault

Tree: TypeAlias = "str | list[Tree] | dict[str, Tree] | None"
Way: TypeAlias = tuple[str | int, ...]


class Quoted(str):
    """A scalar that was written in quotes or as a block: text, never a number or true or false."""

    __slots__ = ()


class Mark(NamedTuple):
    """A position in the file, both numbers from 1."""

    line: int
    column: int


class Place(NamedTuple):
    """Where a part stands: its key, if it has one, and its value."""

    key: Mark | None
    value: Mark


START: Final = Mark(1, 1)


@dataclass
class Document:
    """One file as read: its tree, the place of each part, and its faults so far.

    `refused` holds the ways to parts whose form was refused: their content is not judged again.
    A tree of None means that nothing could be read.
    """

    path: Path
    tree: Tree = None
    places: dict[Way, Place] = field(default_factory=dict)
    refused: set[Way] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, mark: Mark, name: str, /, **values: object) -> None:
        """Note a fault with a text of messages.yml."""
        message = messages.text(f"faults.{name}", **values)
        self.faults.append(Fault(str(self.path), mark.line, mark.column, message))

    def value_mark(self, way: Way) -> Mark:
        """Where a value stands; where it is missing, where its parent does."""
        while way and way not in self.places:
            way = way[:-1]
        return self.places[way].value if way in self.places else START

    def key_mark(self, way: Way) -> Mark:
        """Where a key stands; for a part without a key, where the part does."""
        place = self.places.get(way)
        return place.key if place is not None and place.key else self.value_mark(way)
