"""What an item is: a question with its answers, and what each of them is told."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

# Options of an item, the key included. [rodriguez-2005]
FEWEST_OPTIONS: Final = 3
MOST_OPTIONS: Final = 5

Kind = Literal["choice", "numeric", "order", "drawing", "fault"]
# The kinds in which one of several options is chosen.
CHOSEN: Final[frozenset[Kind]] = frozenset({"choice", "drawing", "fault"})


@dataclass(frozen=True)
class Picture:
    """A picture of the item's case: a view and the part of it."""

    view: str
    part: str = ""


@dataclass(frozen=True)
class Option:
    """An answer that can be chosen.

    Attributes:
        text: as it is shown; for a drawing, what it is called.
        mistake: the named mistake that leads to it; "" for the key.
        title: what the mistake is called; "" for the key.
        feedback: what who chose it is told.
        value: where the option is a number, in the item's unit.
        picture: where the option is a drawing.
    """

    text: str
    mistake: str
    title: str
    feedback: str
    value: float | None = None
    picture: Picture | None = None

    @property
    def right(self) -> bool:
        """Whether it is the key."""
        return not self.mistake


@dataclass(frozen=True)
class Numeric:
    """How a number is asked for and scored.

    Attributes:
        unit: as it stands beside the field; "" for a plain number.
        decimals: to which the answer is asked.
        tolerance: how far an answer may lie from the key, in the unit.
        why: the reason for the tolerance, in words.
        slips: the named mistakes' own values, by which a wrong number is recognised.
    """

    value: float
    unit: str
    decimals: int
    tolerance: float
    why: str
    slips: tuple[Option, ...]


@dataclass(frozen=True)
class Standing:
    """On what an answer stands: a rule's title and reason, its standing, and its sources' ids."""

    title: str
    why: str
    status: str
    source: tuple[str, ...] = ()


@dataclass(frozen=True)
class Item:
    """One question.

    Attributes:
        ident: a hash of everything below.
        model, case, mistakes, version: from what it was made.
        topic: the chapter that it belongs to.
        stem: what is the case; lead_in: what is asked.
        options: for choice, drawing and fault in the order shown; for order the entries in their
            right order.
        shown: for order, the positions in ``options`` in the order in which they are shown.
        negative: whether the lead-in asks for what is not so.
    """

    model: str
    case: str
    topic: str
    version: str
    kind: Kind
    stem: str
    lead_in: str
    explanation: str
    standing: Standing
    options: tuple[Option, ...] = ()
    shown: tuple[int, ...] = ()
    numeric: Numeric | None = None
    pictures: tuple[Picture, ...] = ()
    negative: bool = False
    ident: str = field(default="", compare=False)

    @property
    def mistakes(self) -> tuple[str, ...]:
        """The named mistakes that its wrong answers stand for, in the order shown."""
        wrong = self.numeric.slips if self.numeric is not None else self.options
        return tuple(option.mistake for option in wrong if option.mistake)

    @property
    def key(self) -> int:
        """Position of the right option. Raises ValueError where options are not chosen from."""
        (position,) = (at for at, option in enumerate(self.options) if option.right)
        return position
