"""The words of figures: titles, captions and descriptions, computed from the plan that is drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from offmidline import messages
from offmidline.amounts import MINUS
from offmidline.infeasible import Conflict
from offmidline.plan import OpeningMeasure

_SECTION: Final = "figures"
# Marks that begin a change of writing direction, and the pair that keeps it to the text between.
_DIRECTIONS: Final = frozenset(
    "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)
_ISOLATE: Final = ("\u2068", "\u2069")


@dataclass(frozen=True)
class Words:
    """What is said about a figure: its title, a description instead of it, a caption under it."""

    title: str
    description: str
    caption: str


def say(name: str, /, **values: object) -> str:
    """A text of the figures' section, by its dotted name."""
    return messages.text(f"{_SECTION}.{name}", **values)


def number(value: float, places: int = 1) -> str:
    """A measure as figures print it: one decimal or so many, and none that would be a closing 0."""
    # Adding 0.0 turns a rounded -0.0 into 0.0.
    text = f"{round(value, places) + 0.0:.{places}f}"
    text = text.rstrip("0").rstrip(".") if places else text
    return text.replace("-", MINUS)


def labelled(key: str, value: float) -> str:
    """The label of that key with a measure, as a dimension's text: ``width 50``."""
    return say(f"labels.{key}", value=number(value))


def isolated(text: str) -> str:
    """A foreign text that may hold marks of writing direction, kept from turning its
    surroundings.
    """
    if any(mark in _DIRECTIONS for mark in text):
        return text.join(_ISOLATE)
    return text


def conflict_words(conflicts: Iterable[Conflict]) -> list[str]:
    """Each constraint that cannot be kept, with what it asks and the nearest that can be had."""
    lines = []
    for conflict in conflicts:
        at = "" if conflict.at is None else number(conflict.at)
        name = messages.text(f"conflicts.{conflict.constraint}", at=at)
        key = "conflicts.hopeless" if conflict.nearest is None else "conflicts.nearest"
        nearest = "" if conflict.nearest is None else _asked(conflict, conflict.nearest)
        lines.append(
            messages.text(
                key, constraint=name, required=_asked(conflict, conflict.required), nearest=nearest
            )
        )
    return lines


def _asked(conflict: Conflict, value: float) -> str:
    if conflict.constraint == "length_to_width":
        return number(value, 2)
    return f"{number(value)} mm"


def fate(opening: OpeningMeasure) -> str:
    """What a marking does to an opening: it is excised, left, or missed though it should be
    taken.
    """
    if opening.margin >= 0:
        return "excised"
    return "missed" if opening.decision == "excise" else "left"
