"""From a question to an item: guards between the answers, their order, and the item's id.

What does not carry two good distractors becomes a numeric item, or none. Nothing is padded.
Sources: three to five options [rodriguez-2005]; the guard between computed options and the
tolerance of numbers are derived.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Final

from offmidline import __version__, messages
from offmidline.items.item import FEWEST_OPTIONS, MOST_OPTIONS, Item, Kind, Numeric, Option
from offmidline.items.model import Candidate, ItemModel, Material, Question, Scale
from offmidline.items.shown import number
from offmidline.items.stream import Stream

FEWEST_DISTRACTORS: Final = FEWEST_OPTIONS - 1
MOST_DISTRACTORS: Final = MOST_OPTIONS - 1
FEWEST_STEPS: Final = 3
# Options stay apart by two displayed units at least. [derived]
UNITS_APART: Final = 2
_ID_LENGTH: Final = 16
_LETTERS: Final = "ABCDE"
_KINDS: Final[dict[str, Kind]] = {"text": "choice", "drawing": "drawing", "fault": "fault"}


def emit(model: ItemModel, material: Material, kind: Kind | None = None) -> Item | None:
    """The item that a model makes of its material; None where the case gives no room for it.

    ``kind`` is the only one that is wanted; where it is None, chance decides whether a number is
    chosen from options or typed.
    """
    question = model.ask(material)
    if question is None:
        return None
    stream = material.stream.fork(model.model, material.planned.case.case)
    made = _made(question, stream, kind)
    if made is None or kind not in (None, made.kind):
        return None
    item = Item(
        model=model.model,
        case=material.planned.case.case,
        topic=model.topic,
        version=__version__,
        kind=made.kind,
        stem=question.stem,
        lead_in=question.lead_in + made.rounding,
        explanation=question.explanation,
        standing=question.standing,
        options=made.options,
        shown=made.shown,
        numeric=made.numeric,
        pictures=question.pictures,
    )
    return replace(item, ident=_ident(item))


@dataclass(frozen=True)
class _Made:
    """The answers of an item, and how they are given."""

    kind: Kind
    options: tuple[Option, ...] = ()
    shown: tuple[int, ...] = ()
    numeric: Numeric | None = None

    @property
    def rounding(self) -> str:
        """What the lead-in adds where a number is to be typed."""
        if self.numeric is None:
            return ""
        unit = messages.section("items.units")[self.numeric.unit]
        decimal = "decimal" if self.numeric.unit else "plain"
        name = "whole" if self.numeric.decimals == 0 else decimal
        return " " + messages.text(
            f"items.rounding.{name}", unit=unit, decimals=self.numeric.decimals
        )


def _made(question: Question, stream: Stream, kind: Kind | None) -> _Made | None:
    if question.form == "value":
        return _of_value(question, stream, kind)
    if question.form == "order":
        return _of_order(question, stream)
    wrong = _distinct(question.key, question.wrong)
    if len(wrong) < FEWEST_DISTRACTORS:
        return None
    if all(one.value is not None for one in (question.key, *wrong)):
        chosen = _in_order(question.key, wrong, stream)
    else:
        chosen = stream.shuffled([question.key, *stream.some(wrong, MOST_DISTRACTORS)])
    return _Made(_KINDS[question.form], _named(question, chosen))


def _named(question: Question, chosen: Sequence[Candidate]) -> tuple[Option, ...]:
    """The options; drawings are called by letters in the order shown."""
    if question.form != "drawing":
        # The place of a word in its order is no number that it stands for.
        return tuple(_option(replace(one, value=None), one.text) for one in chosen)
    return tuple(
        _option(one, messages.text("items.drawing", letter=letter))
        for letter, one in zip(_LETTERS, chosen, strict=False)
    )


def _option(one: Candidate, text: str) -> Option:
    return Option(text, one.mistake, one.title, one.feedback, one.value, one.picture)


def _distinct(key: Candidate, wrong: Iterable[Candidate]) -> list[Candidate]:
    """The wrong answers that are told apart, the first of each kept."""
    seen, kept = {_told(key)}, []
    for one in wrong:
        if _told(one) not in seen:
            seen.add(_told(one))
            kept.append(one)
    return kept


def _told(one: Candidate) -> object:
    return one.picture or one.text.casefold().strip()


def _of_value(question: Question, stream: Stream, kind: Kind | None) -> _Made | None:
    scale, key = question.scale or Scale(), _value(question.key)
    wrong = [one for one in question.wrong if _rounded(one, scale) != round(key, scale.decimals)]
    good = _apart(key, wrong, scale)
    by_chance: Kind = "choice" if stream.below(2) == 0 else "numeric"
    typed = scale.always_numeric or len(good) < FEWEST_DISTRACTORS or kind == "numeric"
    typed = typed or (kind is None and by_chance == "numeric")
    return _typed(key, wrong, scale) if typed else _chosen(question.key, good, scale, stream)


def _value(one: Candidate) -> float:
    """The number of an answer to a question for one. Raises ValueError where it has none."""
    if one.value is None:
        raise ValueError(f"{one.mistake or 'the key'}: a question for a number needs a number")
    return one.value


def _rounded(one: Candidate, scale: Scale) -> float:
    return round(_value(one), scale.decimals)


def _apart(key: float, wrong: Iterable[Candidate], scale: Scale) -> list[Candidate]:
    """The wrong numbers that lie far enough from the key and from each other; derived."""
    least = max(UNITS_APART * scale.unit_step, scale.share * abs(key))
    kept: list[Candidate] = []
    for one in wrong:
        others = [round(key, scale.decimals), *(_rounded(other, scale) for other in kept)]
        # A difference of decimals is a little less or more than it is: a thousandth of the unit.
        slack = scale.unit_step / 1000
        if all(abs(_rounded(one, scale) - other) >= least - slack for other in others):
            kept.append(one)
    return kept


def _chosen(key: Candidate, good: Sequence[Candidate], scale: Scale, stream: Stream) -> _Made:
    """The numbers as options, with their unit."""
    taken = _in_order(key, good, stream)
    texts = [number(_value(one), scale.unit, scale.decimals) for one in taken]
    return _Made("choice", tuple(map(_option, taken, texts)))


def _in_order(key: Candidate, wrong: Sequence[Candidate], stream: Stream) -> list[Candidate]:
    """The key and wrong answers in ascending order; by chance, how many stand before the key.

    What has an order is shown in it: where the key stands is balanced by what is taken beside it.
    """
    at = _value(key)
    lower = [one for one in wrong if _value(one) < at]
    higher = [one for one in wrong if _value(one) >= at]
    count = min(MOST_DISTRACTORS, len(wrong))
    least, most = max(0, count - len(higher)), min(count, len(lower))
    before = least + stream.below(most - least + 1)
    taken = [key, *stream.some(lower, before), *stream.some(higher, count - before)]
    return sorted(taken, key=_value)


def _typed(key: float, wrong: Iterable[Candidate], scale: Scale) -> _Made | None:
    """A number to be typed; None where a mistake's own number would count as right; derived."""
    slips = _distinct_values(wrong, scale)
    nearest = min((abs(_value(one) - key) for one in slips), default=math.inf)
    if not scale.tolerance < nearest / 2:
        return None
    why = messages.text(
        f"items.{scale.why}",
        tolerance=number(scale.tolerance, scale.unit, scale.decimals + 1),
    )
    told = tuple(_option(one, number(_value(one), scale.unit, scale.decimals)) for one in slips)
    numeric = Numeric(key, scale.unit, scale.decimals, scale.tolerance, why, told)
    return _Made("numeric", numeric=numeric)


def _distinct_values(wrong: Iterable[Candidate], scale: Scale) -> list[Candidate]:
    found: dict[float, Candidate] = {}
    for one in wrong:
        found.setdefault(_rounded(one, scale), one)
    return list(found.values())


def _of_order(question: Question, stream: Stream) -> _Made | None:
    entries = question.order
    if len(entries) < FEWEST_STEPS:
        return None
    right = list(range(len(entries)))
    shown = stream.shuffled(right)
    while shown == right:
        shown = stream.shuffled(right)
    return _Made("order", tuple(_option(one, one.text) for one in entries), tuple(shown))


def _ident(item: Item) -> str:
    """A hash of all that the item says and is made from."""
    content = json.dumps(asdict(item), sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(content.encode()).hexdigest()[:_ID_LENGTH]
