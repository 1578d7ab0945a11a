"""Text with a unit to a number and back: the only place where units are read.

Inside the package every number is a float in the first unit of its kind: mm, deg, ml, mg, kg,
mg/ml, mg/kg, years, months. A month is a twelfth of a year of 365.25 days.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, get_args

Kind = Literal[
    "length",
    "angle",
    "volume",
    "drug mass",
    "body mass",
    "concentration",
    "dose per body mass",
    "age",
    "duration",
]

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)

MONTHS_A_YEAR: Final = 12
DAYS_A_YEAR: Final = Fraction(1461, 4)
DAYS_A_WEEK: Final = 7
HOURS_A_DAY: Final = 24
MINUTES_AN_HOUR: Final = 60
_MONTHS_A_DAY: Final = MONTHS_A_YEAR / DAYS_A_YEAR
_MONTHS_A_WEEK: Final = DAYS_A_WEEK * _MONTHS_A_DAY
_MONTHS_AN_HOUR: Final = _MONTHS_A_DAY / HOURS_A_DAY
_MONTHS_A_MINUTE: Final = _MONTHS_AN_HOUR / MINUTES_AN_HOUR
_YEARS_A_MONTH: Final = Fraction(1, MONTHS_A_YEAR)
_ONE: Final = Fraction(1)

# Each kind's units, as factors to the first one, which is the unit used inside. They are exact, so
# that 1.1 cm and 11 mm are the same number.
UNITS: Final[Mapping[Kind, Mapping[str, Fraction]]] = MappingProxyType(
    {
        "length": {"mm": _ONE, "cm": Fraction(10), "m": Fraction(1000)},
        "angle": {"deg": _ONE, "°": _ONE, "degree": _ONE, "degrees": _ONE},
        "volume": {"ml": _ONE, "mL": _ONE, "l": Fraction(1000), "L": Fraction(1000)},
        "drug mass": {"mg": _ONE, "g": Fraction(1000)},
        "body mass": {"kg": _ONE, "g": Fraction(1, 1000)},
        "concentration": {"mg/ml": _ONE, "mg/mL": _ONE, "g/l": _ONE, "g/L": _ONE},
        "dose per body mass": {"mg/kg": _ONE},
        "age": {"years": _ONE, "year": _ONE, "months": _YEARS_A_MONTH, "month": _YEARS_A_MONTH},
        "duration": {
            "months": _ONE,
            "month": _ONE,
            "years": Fraction(MONTHS_A_YEAR),
            "year": Fraction(MONTHS_A_YEAR),
            "weeks": _MONTHS_A_WEEK,
            "week": _MONTHS_A_WEEK,
            "days": _MONTHS_A_DAY,
            "day": _MONTHS_A_DAY,
            "hours": _MONTHS_AN_HOUR,
            "hour": _MONTHS_AN_HOUR,
            "minutes": _MONTHS_A_MINUTE,
            "minute": _MONTHS_A_MINUTE,
        },
    }
)

NUMBER: Final = r"[+-]?[0-9]+(?:\.[0-9]+)?"
_QUANTITY: Final = re.compile(rf"({NUMBER}) ?([^\W\d_/]+(?:/[^\W\d_/]+)?|°|%)")
_BARE: Final = re.compile(NUMBER)
# What a text that is no quantity looks like, in the order of trial -> the message's key.
_SLIPS: Final = MappingProxyType(
    {
        "not_finite": re.compile(r"^[+-]?\.?(?:nan|inf|infinity|∞)(?![a-z])", re.IGNORECASE),
        "decimal_comma": re.compile(r"[0-9],[0-9]"),
        "exponent": re.compile(r"[0-9][eE][+-]?[0-9]"),
        "loose_point": re.compile(r"(?<![0-9])\.[0-9]|[0-9]\.(?![0-9])"),
        "several_quantities": re.compile(r"^\W*[0-9].*(?<![\w.])[0-9]"),
    }
)

MAX_CHARACTERS: Final = 60
DECIMALS: Final = 3
SINGULAR: Final = MappingProxyType(
    {
        "years": "year",
        "months": "month",
        "weeks": "week",
        "days": "day",
        "hours": "hour",
        "minutes": "minute",
    }
)


class QuantityError(ValueError):
    """A text that is no quantity of the kind due: the message's key and the values it needs."""

    def __init__(self, key: str, **values: str) -> None:
        super().__init__(key, values)
        self.key = key
        self.values = values


def internal_unit(kind: Kind) -> str:
    """The unit in which quantities of a kind are held."""
    return next(iter(UNITS[kind]))


def parse(text: str, kind: Kind) -> float:
    """Read one quantity such as ``20 mm`` and return it in the internal unit of its kind.

    Raises QuantityError for anything that is not one finite decimal number with a unit of the kind.

    >>> parse("2 cm", "length")
    20.0
    >>> parse("0.06 l", "volume")
    60.0
    """
    return parse_with_unit(text, kind)[0]


def parse_with_unit(text: str, kind: Kind) -> tuple[float, str]:
    """As parse, with the unit that the writer used."""
    tidy = " ".join(text.split())
    match = _QUANTITY.fullmatch(tidy) if len(tidy) <= MAX_CHARACTERS else None
    if match is None or match[2] not in UNITS[kind]:
        raise _refusal(tidy, match, kind)
    return float(Fraction(match[1]) * UNITS[kind][match[2]]), match[2]


def written(value: float, kind: Kind, unit: str | None = None) -> str:
    """The way back: a number in the internal unit as text in that unit or another of its kind.

    At most three decimals, no trailing zeros, no exponent.

    >>> written(12.5, "length")
    '12.5 mm'
    >>> written(1.0, "age")
    '1 year'
    """
    unit = unit or internal_unit(kind)
    number = plain(value / float(UNITS[kind][unit]))
    return f"{number} {SINGULAR.get(unit, unit) if number == '1' else unit}"


def plain(value: float) -> str:
    """A bare number as text: at most three decimals, no trailing zeros, no exponent, no minus zero.

    >>> plain(2.0), plain(-0.0001), plain(1.23456)
    ('2', '0', '1.235')
    """
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def pattern(kind: Kind, signed: bool) -> str:
    """A regular expression for JSON Schema that accepts what parse accepts for a kind."""
    units = "|".join(UNITS[kind])
    return rf"^\s*{'[+-]?' if signed else '[+]?'}[0-9]+(\.[0-9]+)?\s*({units})\s*$"


def _refusal(text: str, match: re.Match[str] | None, kind: Kind) -> QuantityError:
    """Say as closely as possible why a text was refused."""
    accepted = {"kind": kind, "units": list_units(kind), "example": f"20 {internal_unit(kind)}"}
    if not text:
        return QuantityError("empty_quantity", **accepted)
    shown = {"value": text, **accepted}
    if match is not None:
        return _wrong_unit(match[1], match[2], kind, shown)
    if _BARE.fullmatch(text):
        return QuantityError("bare_number", suggestion=f"{text} {internal_unit(kind)}", **shown)
    key = next((key for key, slip in _SLIPS.items() if slip.search(text)), "not_a_quantity")
    return QuantityError(key, **shown)


def _wrong_unit(number: str, unit: str, kind: Kind, shown: dict[str, str]) -> QuantityError:
    others = [other for other in KINDS if unit in UNITS[other]]
    if others:
        return QuantityError("wrong_dimension", found=others[0], **shown)
    near = get_close_matches(unit.lower(), UNITS[kind], n=1)
    if near:
        return QuantityError("unit_typo", unit=unit, suggestion=f"{number} {near[0]}", **shown)
    return QuantityError("unknown_unit", unit=unit, **shown)


def list_units(kind: Kind) -> str:
    """The units that a kind accepts, for messages: ``mm, cm, m``."""
    return ", ".join(UNITS[kind])
