"""What a rule measured and asks, in words: the same on a page, in a figure and in feedback."""

from __future__ import annotations

from offmidline import amounts, messages
from offmidline.rules import NOISE, Requirement, Value


def value(measured: Value, unit: str) -> str:
    """What a rule measured, with its unit: ``20 mm``, ``45°``, ``left``."""
    if isinstance(measured, str):
        return messages.text(f"rule_words.{measured}")
    return amounts.with_unit(measured, unit)


def asked(required: Requirement, unit: str) -> str:
    """What a rule asks, with its unit: ``at least 5 mm``, ``20 mm ± 1 mm``."""
    if isinstance(required.value, str):
        return value(required.value, unit)
    if required.upper is not None:
        return amounts.span(required.value, required.upper, unit)
    wanted = amounts.with_unit(required.value, unit)
    if required.comparison != "is":
        return f"{messages.section('rule_words.comparison')[required.comparison]} {wanted}"
    if required.tolerance > NOISE:
        return f"{wanted} ± {amounts.with_unit(required.tolerance, unit)}"
    return wanted
