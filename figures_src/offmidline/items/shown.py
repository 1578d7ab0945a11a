"""Numbers as items show them: every option with the same decimals, the unit behind them."""

from __future__ import annotations

from typing import Final

from offmidline.amounts import MINUS

_UNITS: Final = {"deg": "°", "percent": " %", "": ""}


def number(value: float, unit: str, decimals: int) -> str:
    """A number with its unit, always with so many decimals: ``20.0 mm``, ``45°``, ``9``."""
    return f"{bare(value, decimals)}{unit_text(unit)}"


def bare(value: float, decimals: int) -> str:
    """The same without its unit; no minus zero."""
    text = f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.removeprefix("-")
    return text.replace("-", MINUS)


def unit_text(unit: str) -> str:
    """A unit as it stands behind a number."""
    return _UNITS.get(unit, f" {unit}")
