"""What an item model is: a template that asks one thing of a plan or a record.

A model gives a ``Question``, whose wrong answers are named mistakes; ``emit`` makes an item of it,
or none where what is left does not carry one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from offmidline import messages
from offmidline.items.item import Picture, Standing
from offmidline.items.stream import Stream
from offmidline.mistakes import wrong_plans
from offmidline.plan import CasePlan, Plan
from offmidline.records import Library
from offmidline.rules import RULES

# What a question's answers are, before it is decided how they are given.
Form = Literal["value", "text", "order", "drawing", "fault"]


@dataclass(frozen=True)
class Material:
    """What a model may draw on: a planned case, the records beside it, and chance."""

    planned: CasePlan
    library: Library
    stream: Stream

    @property
    def right(self) -> Plan | None:
        """The right plan of the case; None where no marking satisfies the technique."""
        return self.planned.right

    @property
    def wrong(self) -> Mapping[str, Plan]:
        """The plan of every mistake that applies to the case."""
        return wrong_plans(self.planned)


@dataclass(frozen=True)
class Candidate:
    """A possible answer: the key, or a named mistake's own answer.

    Attributes:
        mistake: "" for the key; otherwise the name of a mistake, or of a slip of reckoning.
        text: what is chosen, where it is not a number.
        value: in the question's unit, where it is one; of words that have an order (grades), the
            place in it.
        title, feedback: of the mistake, in words.
        picture: where the answer is a drawing.
    """

    mistake: str = ""
    text: str = ""
    value: float | None = None
    title: str = ""
    feedback: str = ""
    picture: Picture | None = None


@dataclass(frozen=True)
class Scale:
    """How a number is told, and how well it can be known.

    Attributes:
        unit: mm, mg, ml, deg, percent, or "" for a plain number.
        decimals: to which it is asked and shown.
        reading: error that readings of the inputs bring to the answer, in the unit.
        step: step of the scale where it is read off a figure, in the unit.
        share: options stay apart by this share of the key; two displayed units at least.
        always_numeric: whether the answer is always typed.
    """

    unit: str = "mm"
    decimals: int = 0
    reading: float = 0.0
    step: float = 0.0
    share: float = 0.1
    always_numeric: bool = False

    @property
    def why(self) -> str:
        """The reason for the tolerance, as the name of a message."""
        return "tolerance_read" if self.reading or self.step else "tolerance_rounded"

    @property
    def tolerance(self) -> float:
        """Half of the last displayed unit, and what the readings and the figure add; in the unit.

        Source: derived.
        """
        return self.unit_step / 2 + self.reading + self.step

    @property
    def unit_step(self) -> float:
        """The last displayed unit."""
        return float(10.0**-self.decimals)


@dataclass(frozen=True)
class Question:
    """What a model asks of its material: words, the key, and named mistakes' answers.

    Attributes:
        order: for an order, the entries after the key's place does not matter: the right sequence.
    """

    form: Form
    stem: str
    lead_in: str
    explanation: str
    standing: Standing
    key: Candidate
    wrong: tuple[Candidate, ...] = ()
    order: tuple[Candidate, ...] = ()
    scale: Scale | None = None
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class ItemModel:
    """A template of items.

    Attributes:
        model: its id, under which its words stand in the messages file (``items.models``).
        topic: the chapter that it belongs to, by its file's name.
        ask: makes the question; None where the case gives no room for it.
    """

    model: str
    topic: str
    ask: Callable[[Material], Question | None]

    @cached_property
    def title(self) -> str:
        """What it asks, in a few words."""
        return messages.text(f"items.models.{self.model}.title")


def standing_of_rule(rule_id: str, plan: Plan) -> Standing:
    """The reason and the sources of a rule, as it judges a plan."""
    (rule,) = (rule for rule in RULES if rule.rule == rule_id)
    verdict = rule.judge(plan)
    return Standing(verdict.title, verdict.why, verdict.status, verdict.source)


def slip(name: str, value: float | None = None, text: str = "", /, **values: object) -> Candidate:
    """The answer of a slip of reckoning or of thought, whose words are ``items.slips``."""
    words = messages.section(f"items.slips.{name}")
    feedback = str(words["feedback"]).format_map(values)
    return Candidate(name, text, value, str(words["title"]), feedback)


def mistake(name: str, value: float | None = None, text: str = "") -> Candidate:
    """The answer of a mistake of the marking."""
    words = messages.section(f"mistakes.{name}")
    return Candidate(name, text, value, str(words["title"]), str(words["feedback"]))
