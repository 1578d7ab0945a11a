"""Questions put in the words of the messages file (``items.models``), whatever their answers
are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from offmidline import amounts, messages
from offmidline.items.item import Picture, Standing
from offmidline.items.model import Candidate, Question, Scale

# What lengths that are told to a tenth of a mm bring to an answer, mm; derived.
TOLD: Final = 0.1


def worded(
    model: str,
    words: Mapping[str, object],
    standing: Standing,
    *,
    key: Candidate,
    wrong: Iterable[Candidate],
    scale: Scale | None = None,
    pictures: tuple[Picture, ...] = (),
) -> Question:
    """A question in the words of a model, with ``words`` put in where they stand in braces; it asks
    for a number where the key is one.
    """
    said = {
        part: messages.text(f"items.models.{model}.{part}", **words)
        for part in ("stem", "lead_in", "explanation")
    }
    return Question(
        form="text" if key.value is None else "value",
        stem=said["stem"],
        lead_in=said["lead_in"],
        explanation=said["explanation"],
        standing=standing,
        key=key,
        wrong=tuple(wrong),
        scale=scale,
        pictures=pictures,
    )


def option(model: str, name: str, /, **values: object) -> str:
    """The words of an answer of a model (``options`` beside its stem)."""
    return messages.text(f"items.models.{model}.options.{name}", **values)


def lengths(thing: object, *names: str) -> dict[str, str]:
    """Some of a thing's lengths (mm) by their names, as a reader sees them."""
    return {name: amounts.millimetres(getattr(thing, name)) for name in names}
