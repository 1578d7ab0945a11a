"""The kinds of value that a record may hold: each converts a scalar's text and knows its schema.

Every class here is put into `Annotated[...]`; pydantic then calls `read` and asks for `schema`.
A refusal is a PydanticCustomError whose type is a key of the section `faults` in messages.yml and
whose context holds the values of that text.
"""

from __future__ import annotations

import math
import re
from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from offmidline import messages, quantities
from offmidline.records.document import Quoted
from offmidline.records.faults import shown
from offmidline.records.plain_text import UNPRINTABLE, named
from offmidline.records.ranges import Range

LONG_TEXT: Final = 600
SHORT_TEXT: Final = 200

ID_PATTERN: Final = "[a-z0-9-]+"
_SOURCE_ID: Final = "[a-z0-9.-]+"  # a version in an id has points
_WHOLE_NUMBER: Final = re.compile("-?(?:0|[1-9][0-9]*)")
_DECIMAL: Final = re.compile(quantities.NUMBER)
_MAX_DIGITS: Final = 18

_Number = TypeVar("_Number", int, float)


def refusal(name: str, /, **values: object) -> PydanticCustomError:
    """The error that carries a message's key and values to the place that knows the line."""
    return PydanticCustomError(name, "see messages.yml", values)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a typo most likely meant."""
    lowered = {name.lower(): name for name in sorted(known)}
    found = get_close_matches(word.lower()[:SHORT_TEXT], lowered, n=1)
    return lowered[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The end of a message that suggests the nearest known word, or nothing."""
    near = nearest(word, known)
    return messages.text("faults.did_you_mean", word=near) if near else ""


@dataclass(frozen=True)
class Field(ABC):
    """A scalar read from its text."""

    @abstractmethod
    def read(self, value: Any) -> Any:
        """The value that a scalar stands for; raises PydanticCustomError."""

    @abstractmethod
    def schema(self) -> dict[str, Any]:
        """The JSON Schema of what read accepts, in the terms of draft 7."""

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, _: CoreSchema, __: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return self.schema()


def _scalar(value: Any, example: str) -> str:
    """The text of a scalar; a mapping or a list is refused with an example of what is due."""
    if isinstance(value, str):
        return value
    form = "mapping" if isinstance(value, dict) else "list"
    raise refusal(f"{form}_for_scalar", example=example)


@dataclass(frozen=True)
class Quantity(Field):
    """A number with a unit inside a range, read as a float in the internal unit."""

    range: Range

    def read(self, value: Any) -> float:
        """The float; refuses what is no quantity of the kind and what is out of range."""
        kind = self._kind()
        text = _scalar(value, self._example())
        try:
            number, unit = quantities.parse_with_unit(text, kind)
        except quantities.QuantityError as error:
            values = dict(error.values)
            if "value" in values:
                values["value"] = shown(values["value"])
            raise refusal(error.key, **(values | {"example": self._example()})) from None
        if not self.range.holds(number):
            raise refusal(
                "out_of_range",
                value=shown(text.strip()),
                why=self.range.why,
                allowed=self._allowed(unit),
            )
        return number

    def schema(self) -> dict[str, Any]:
        """A string with a pattern; the range is told, as a pattern cannot compare."""
        kind = self._kind()
        return {
            "type": "string",
            "pattern": quantities.pattern(kind, signed=self.range.low < 0),
            "description": f"{self._limits(None)}: {self.range.why}",
            "examples": [self._example()],
        }

    def _kind(self) -> quantities.Kind:
        if self.range.kind is None:
            raise TypeError("a bare number has no unit: use Ratio or Count")
        return self.range.kind

    def _example(self) -> str:
        """A round value inside the range, for messages and editors."""
        low, high = self.range.low, self.range.high
        step = 10 ** math.floor(math.log10(high - low))
        return quantities.written(max(step, math.ceil(low / step) * step), self._kind())

    def _allowed(self, unit: str) -> str:
        """The range in the writer's unit and, if that is another, in the internal one."""
        internal = quantities.internal_unit(self._kind())
        own = self._limits(unit)
        return own if unit == internal else f"{own} ({self._limits(internal)})"

    def _limits(self, unit: str | None) -> str:
        kind = self._kind()
        key = "more_than" if self.range.low_open else "from_to"
        return messages.text(
            f"faults.{key}",
            low=quantities.written(self.range.low, kind, unit),
            high=quantities.written(self.range.high, kind, unit),
        )


@dataclass(frozen=True)
class Ratio(Field):
    """A bare decimal number inside a range."""

    range: Range

    def read(self, value: Any) -> float:
        """The float; refuses units, exponents, and what is out of range."""
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = quantities.plain(value)
        text = _scalar(value, quantities.plain(self.range.high)).strip()
        if isinstance(value, Quoted):
            raise refusal("quoted_number", value=shown(text))
        if not _DECIMAL.fullmatch(text) or len(text) > _MAX_DIGITS:
            raise refusal("not_a_ratio", value=shown(text))
        return _in_range(float(text), text, self.range)

    def schema(self) -> dict[str, Any]:
        """A number between the limits."""
        return {
            "type": "number",
            "minimum": self.range.low,
            "maximum": self.range.high,
            "description": self.range.why,
        }


@dataclass(frozen=True)
class Count(Field):
    """A whole number inside a range, in plain decimal digits."""

    range: Range

    def read(self, value: Any) -> int:
        """The int; refuses units, points, leading zeros, quotes, and what is out of range."""
        if isinstance(value, int) and not isinstance(value, bool):
            value = str(value)
        text = _scalar(value, str(round(self.range.high)))
        if isinstance(value, Quoted):
            raise refusal("quoted_number", value=shown(text))
        if not _WHOLE_NUMBER.fullmatch(text) or len(text) > _MAX_DIGITS:
            raise refusal("not_a_whole_number", value=shown(text))
        return _in_range(int(text), text, self.range)

    def schema(self) -> dict[str, Any]:
        """An integer between the limits."""
        return {
            "type": "integer",
            "minimum": round(self.range.low),
            "maximum": round(self.range.high),
            "description": self.range.why,
        }


def _in_range(number: _Number, text: str, allowed: Range) -> _Number:
    """A bare number, refused with the reason of its range where that does not hold it."""
    if not allowed.holds(number):
        raise refusal("out_of_range", value=text, allowed=_bare_limits(allowed), why=allowed.why)
    return number


def _bare_limits(limits: Range) -> str:
    return messages.text(
        "faults.from_to", low=quantities.plain(limits.low), high=quantities.plain(limits.high)
    )


@dataclass(frozen=True)
class TrueOrFalse(Field):
    """`true` or `false`, no other word."""

    def read(self, value: Any) -> bool:
        """The bool; refuses yes, no, on, off, and quotes."""
        if isinstance(value, bool):
            return value
        text = _scalar(value, "true")
        if isinstance(value, Quoted) or text not in ("true", "false"):
            raise refusal("not_true_or_false", value=shown(text))
        return text == "true"

    def schema(self) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean"}


@dataclass(frozen=True)
class Text(Field):
    """Text of 1 to `most` characters after white space is collapsed. Markup in it stays text."""

    most: int = SHORT_TEXT

    def read(self, value: Any) -> str:
        """The text; refuses control characters and what is empty or too long."""
        raw = _scalar(value, "text")
        strange = UNPRINTABLE.search(raw)
        if strange is not None:
            raise refusal("control_character", character=named(strange[0]))
        text = " ".join(raw.split())
        if not text:
            raise refusal("empty_text")
        if len(text) > self.most:
            raise refusal("text_too_long", count=len(text), most=self.most)
        return text

    def schema(self) -> dict[str, Any]:
        """A string with something to see in it."""
        return {"type": "string", "pattern": r"\S", "maxLength": self.most}


@dataclass(frozen=True)
class Matching(Field):
    """Text that a regular expression matches as a whole."""

    pattern: str
    key: str
    example: str

    def read(self, value: Any) -> str:
        """The text as it stands."""
        text = str(_scalar(value, self.example))
        if not re.fullmatch(self.pattern, text):
            raise refusal(self.key, value=shown(text), example=self.example)
        return text

    def schema(self) -> dict[str, Any]:
        """A string with that pattern."""
        return {"type": "string", "pattern": f"^{self.pattern}$", "examples": [self.example]}


@dataclass(frozen=True)
class Word(Field):
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, value: Any) -> str:
        """The word; a refusal lists them all."""
        text = str(_scalar(value, self.words[0]))
        if text not in self.words:
            raise refusal(
                "unknown_word",
                value=shown(text),
                words=messages.either(self.words),
                hint=did_you_mean(text, self.words),
            )
        return text

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return {"type": "string", "enum": list(self.words)}


@dataclass(frozen=True)
class KeyOf(Field):
    """A key of a section of the messages file, which is read only when one is asked for."""

    section: str

    def read(self, value: Any) -> str:
        """The key; a refusal lists them all."""
        return self._word().read(value)

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return self._word().schema()

    def _word(self) -> Word:
        return Word(tuple(messages.section(self.section)))


ID: Final = Matching(ID_PATTERN, "bad_id", "ferry-deckhand")
SOURCE_ID: Final = Matching(_SOURCE_ID, "bad_id", "surname-1992")
