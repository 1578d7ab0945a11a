"""What has gone wrong after the operation: what it is, what is done first, and when to call."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from offmidline import messages
from offmidline.items.after_operation import holds, time_in, time_words, window_words
from offmidline.items.item import Standing
from offmidline.items.model import Candidate, ItemModel, Material, Question, slip
from offmidline.items.shortlist import first_shortlisted
from offmidline.items.stream import Stream
from offmidline.patient_words import patient_words
from offmidline.records import Complication
from offmidline.records.complication import SignId

# Signs that a stem tells. Common practice, no source.
MOST_SIGNS: Final = 3
# A shorter text says too little to be an option. Common practice, no source.
LEAST_TEXT: Final = 20
_TOPIC: Final = "complications"
_WHICH: Final = "complication-from-signs"
_FIRST: Final = "first-measure"
_CALL: Final = "call-or-usual"


@dataclass(frozen=True)
class _Seen:
    """A complication as it shows itself: at a time (months), with some of its signs, by their
    places.
    """

    one: Complication
    at: float
    signs: tuple[int, ...]

    @property
    def shown(self) -> frozenset[SignId]:
        """What is seen, by the names of the signs."""
        return frozenset(self.one.signs[at].sign for at in self.signs)

    def fits(self, other: Complication) -> bool:
        """Whether another complication shows all of this at this time."""
        signs = {sign.sign for sign in other.signs}
        return holds(other.window, self.at) and self.shown <= signs

    def near(self, other: Complication) -> bool:
        """Whether another complication comes at this time, or with one of these signs."""
        signs = {sign.sign for sign in other.signs}
        return holds(other.window, self.at) or bool(self.shown & signs)

    def since(self) -> str:
        """How long ago the operation was, or from what else the time of this complication runs."""
        told = messages.section("items.complications.since")
        name = self.one.complication if self.one.complication in told else "operation"
        return messages.text(f"items.complications.since.{name}", time=time_words(self.at))

    def words(self) -> str:
        """The signs in words."""
        return _joined(_sign(self.one, at) for at in self.signs)


def _which(seen: _Seen, material: Material) -> Question:
    """The complication that signs and time speak for."""
    right = seen.one
    return Question(
        form="text",
        stem=_stem(_WHICH, seen, material),
        lead_in=_say(_WHICH, "lead_in"),
        explanation=_say(
            _WHICH, "explanation", title=right.title, window=window_words(right.window)
        ),
        standing=_standing(right, right.when or right.normal),
        key=Candidate(text=right.title),
        wrong=tuple(
            slip(
                "complication-unlike",
                None,
                other.title,
                title=other.title,
                window=window_words(other.window),
                signs=_signs(other),
                right=right.title,
            )
            for other in _others(seen, _unlike(seen, material))
        ),
    )


def _first(seen: _Seen, material: Material) -> Question:
    """What is done first for what is described and not named."""
    right = seen.one
    return Question(
        form="text",
        stem=_stem(_FIRST, seen, material),
        lead_in=_say(_FIRST, "lead_in"),
        explanation=_say(
            _FIRST,
            "explanation",
            title=right.title,
            first=" ".join(filter(None, (right.first, right.danger))),
        ),
        standing=_standing(right, right.first),
        key=Candidate(text=_sentence(right.first)),
        wrong=tuple(
            slip(
                "measure-for-another",
                None,
                _sentence(other.first),
                title=other.title,
                window=window_words(other.window),
                signs=_signs(other),
                right=right.title,
                first=right.first,
            )
            for other in _others(seen, _measured_otherwise(seen, material))
        ),
    )


def _call(seen: _Seen, material: Material) -> Question:
    """What calls for somebody in a known complication, among what is usual at that time."""
    right, revealing = seen.one, messages.text("items.complications.revealing")
    usual = [
        one
        for one in material.library.complications.values()
        if holds(one.window, seen.at) and revealing not in one.normal
    ]
    person = material.planned.case.patient
    key = _sentence(right.escalate)
    return Question(
        form="text",
        stem=_say(
            _CALL,
            "stem",
            patient=patient_words(person, person.occupation),
            since=seen.since(),
            title=right.title,
        ),
        lead_in=_say(_CALL, "lead_in", whom=right.to),
        explanation=_say(_CALL, "explanation", escalate=right.escalate),
        standing=_standing(right, right.escalate),
        key=Candidate(text=key),
        wrong=tuple(
            slip(
                "usual-taken-for-alarm",
                None,
                _sentence(one.normal),
                title=one.title,
                signs=_signs(one),
                right=key,
            )
            for one in usual
        ),
    )


def _general(one: Complication) -> bool:
    """Whether what is done first names a protocol and no measure, and so holds in many others."""
    return one.first.startswith(messages.text("items.complications.general"))


def _measured_otherwise(seen: _Seen, material: Material) -> list[Complication]:
    """Complications of whose signs none is seen, so that their first measure does not help here."""
    return [
        other
        for other in _unlike(seen, material)
        if not (seen.shown & {sign.sign for sign in other.signs} or _general(other))
    ]


def _unlike(seen: _Seen, material: Material) -> list[Complication]:
    """Complications that what is seen does not speak for."""
    return [one for one in material.library.complications.values() if not seen.fits(one)]


def _others(seen: _Seen, every: list[Complication]) -> list[Complication]:
    """Of some complications those near what is seen, where there are enough."""
    near = [one for one in every if seen.near(one)]
    return near if len(near) > MOST_SIGNS else every


def _about(
    model: str,
    ask: Callable[[_Seen, Material], Question],
    asked_for: Callable[[_Seen, Iterable[Complication]], bool],
) -> ItemModel:
    """A model that asks about one complication, by chance among those that may be asked for."""

    def asked(material: Material) -> Question | None:
        stream = material.stream.fork(model, material.planned.case.case)
        every = list(material.library.complications.values())
        seen = [_at_some_time(one, stream) for one in stream.shuffled(every)]
        questions = (ask(one, material) for one in seen if asked_for(one, every))
        return first_shortlisted(questions, stream)

    return ItemModel(model, _TOPIC, asked)


def _at_some_time(one: Complication, stream: Stream) -> _Seen:
    places = tuple(stream.some(range(len(one.signs)), MOST_SIGNS))
    return _Seen(one, time_in(one.window, stream), places)


def _fits_alone(seen: _Seen, every: Iterable[Complication]) -> bool:
    """Whether time and signs speak for one complication and for no other."""
    return [other for other in every if seen.fits(other)] == [seen.one]


def _measured_alone(seen: _Seen, every: Iterable[Complication]) -> bool:
    """Whether they also call for a measure that can be named."""
    return _fits_alone(seen, every) and not _general(seen.one)


def _tells_when(seen: _Seen, _: Iterable[Complication]) -> bool:
    """Whether the reason to call says enough to stand as an option."""
    return len(_sentence(seen.one.escalate)) >= LEAST_TEXT


def _stem(model: str, seen: _Seen, material: Material) -> str:
    person = material.planned.case.patient
    return _say(
        model,
        "stem",
        patient=patient_words(person, person.occupation),
        since=seen.since(),
        signs=seen.words(),
    )


def _signs(one: Complication) -> str:
    return _joined(_sign(one, at) for at in range(len(one.signs)))


def _sign(one: Complication, at: int) -> str:
    sign = one.signs[at]
    title = messages.section("site.signs")[sign.sign]
    return messages.text("items.complications.sign", sign=title, says=sign.says)


def _joined(words: Iterable[str]) -> str:
    return "; ".join(words)


def _sentence(text: str) -> str:
    """The first sentence without its full stop, as one of several options; with the next ones
    where it says little.
    """
    first, *others = text.removesuffix(".").split(". ")
    while len(first) < LEAST_TEXT and others:
        first = f"{first}. {others.pop(0)}"
    return first


def _standing(one: Complication, why: str) -> Standing:
    return Standing(one.title, why, one.status, one.source)


def _say(model: str, key: str, /, **values: object) -> str:
    return messages.text(f"items.models.{model}.{key}", **values)


MODELS: Final[tuple[ItemModel, ...]] = (
    _about(_WHICH, _which, _fits_alone),
    _about(_FIRST, _first, _measured_alone),
    _about(_CALL, _call, _tells_when),
)
