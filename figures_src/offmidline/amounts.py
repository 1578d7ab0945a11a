"""Numbers as they are shown: rounded for a reader, with their unit.

In: mm, mm2, ml, mg, degrees, percent as the plan holds them. Out: text; areas in square
centimetres.
"""

from __future__ import annotations

from typing import Final

from offmidline.quantities import plain

# A surgeon's ruler reads whole millimetres; one decimal shows where a value is not one.
DECIMALS: Final = 1
RATIO_DECIMALS: Final = 2
MM2_A_CM2: Final = 100.0
DEGREE: Final = "°"
MINUS: Final = "−"


def rounded(value: float, decimals: int = DECIMALS) -> str:
    """A bare number, without trailing zeros, without a minus zero, with the minus sign of print.

    >>> rounded(20.034), rounded(-0.04), rounded(-2.0)
    ('20', '0', '−2')
    """
    return plain(round(value, decimals)).replace("-", MINUS)


def ratio(value: float) -> str:
    """A ratio such as length to width."""
    return rounded(value, RATIO_DECIMALS)


def millimetres(value: float) -> str:
    """A length given in mm."""
    return f"{rounded(value)} mm"


def degrees(value: float) -> str:
    """An angle given in degrees."""
    return f"{rounded(value)}{DEGREE}"


def square_centimetres(area_mm2: float) -> str:
    """An area given in mm2."""
    return f"{rounded(area_mm2 / MM2_A_CM2)} cm²"


def percent(value: float) -> str:
    """A share given in percent."""
    return f"{rounded(value)} %"


def with_unit(value: float, unit: str) -> str:
    """A number with a unit as rules name it: mm, deg, mg, ml, or none for a ratio."""
    if unit == "deg":
        return degrees(value)
    return f"{rounded(value)} {unit}" if unit else ratio(value)


def span(low: float, high: float, unit: str = "mm") -> str:
    """Two limits of a stretch: ``49.8 to 94.5 mm``."""
    return f"{rounded(low)} to {with_unit(high, unit)}"
