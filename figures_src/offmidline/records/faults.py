"""A fault in what somebody wrote: where it is, what is wrong, what would be right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

SHOWN_CHARACTERS = 60


@dataclass(frozen=True, order=True)
class Fault:
    """One fault; line and column count from 1, columns in characters."""

    path: str
    line: int
    column: int
    message: str

    def __str__(self) -> str:
        return f"{printable(self.path)}:{self.line}:{self.column}: {self.message}"


class FaultsError(Exception):
    """All the faults found in one run, in order of file, line and column."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))


def printable(text: str) -> str:
    """Text for one line of a terminal: what does not print is written as an escape."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def shown(text: str) -> str:
    """A value as a message quotes it: printable and not longer than a line bears."""
    short = text if len(text) <= SHOWN_CHARACTERS else text[: SHOWN_CHARACTERS - 1] + "…"
    return printable(short)


def whole_file(path: Path, message: str) -> Fault:
    """A fault of a file that could not be read, or of the file as such."""
    return Fault(str(path), 1, 1, message)
