"""Models that ask for a number of the right plan."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from offmidline import messages
from offmidline.items.item import Picture
from offmidline.items.model import (
    Candidate,
    ItemModel,
    Material,
    Question,
    Scale,
    mistake,
    slip,
    standing_of_rule,
)
from offmidline.items.shown import number
from offmidline.plan import Plan

_MILLIMETRES: Final = Scale()

Ask = Callable[[Plan], float | None]


@dataclass(frozen=True)
class Number:
    """A number of the right plan that is asked for, and the wrong numbers that stand beside it.

    Attributes:
        asked: the number, in the scale's unit; None where there is none to ask.
        mistakes: marking mistakes whose own plans give wrong numbers.
        slips: slips of reckoning: the wrong number that each makes of the right plan.
    """

    asked: Ask
    mistakes: tuple[str, ...] = ()
    slips: Mapping[str, Ask] = field(default_factory=dict)
    scale: Scale = _MILLIMETRES


def value_model(
    model: str,
    topic: str,
    wanted: Number,
    *,
    rule: str,
    given: Callable[[Plan], Mapping[str, Any]] = lambda _: {},
    pictures: tuple[Picture, ...] = (),
) -> ItemModel:
    """A model that asks for a number.

    Args:
        model: its id; ``items.models.<id>`` holds its title, stem, lead_in and explanation, with
            the names of ``given`` and ``answer`` in braces; slips may use them too.
        topic: the chapter that it belongs to, by its file's name.
        wanted: the number.
        rule: the rule that the number belongs to.
        given: what the words need, worked out from the right plan.
        pictures: what the stem shows.
    """
    asked, scale = wanted.asked, wanted.scale

    def ask(material: Material) -> Question | None:
        plan = material.right
        value = None if plan is None else asked(plan)
        if plan is None or value is None:
            return None
        key = number(value, scale.unit, scale.decimals)
        words = {**given(plan), "answer": key}
        return Question(
            form="value",
            stem=messages.text(f"items.models.{model}.stem", **words),
            lead_in=messages.text(f"items.models.{model}.lead_in", **words),
            explanation=messages.text(f"items.models.{model}.explanation", **words),
            standing=standing_of_rule(rule, plan),
            key=Candidate(value=value),
            wrong=tuple(_wrong(material, plan, words)),
            scale=scale,
            pictures=pictures,
        )

    def _wrong(material: Material, plan: Plan, words: Mapping[str, Any]) -> Iterable[Candidate]:
        for name in wanted.mistakes:
            if name in material.wrong:
                value = asked(material.wrong[name])
                if value is not None:
                    yield mistake(name, value)
        for name, reckoned in wanted.slips.items():
            value = reckoned(plan)
            if value is not None:
                yield slip(name, value, **words)

    return ItemModel(model, topic, ask)
