"""The way from a file to what was found in it, in steps that can be said in words."""

from __future__ import annotations

from typing import NamedTuple

from offmidline import messages


class Step(NamedTuple):
    """One step: its name in ``leaks.ways`` of messages.yml, and the name of a part, if any."""

    kind: str
    name: str = ""

    def __str__(self) -> str:
        words = messages.text(f"leaks.ways.{self.kind}")
        return f"{words} {self.name}" if self.name else words


class Shut(NamedTuple):
    """A part that could not be looked into."""

    step: Step


Way = tuple[Step, ...]
