"""The texts of a technique's steps with its dimensions put in, as plain text."""

from __future__ import annotations

import re
from dataclasses import fields
from typing import Final

from offmidline import amounts
from offmidline.records import Technique, TechniqueSettings

_NAME: Final = re.compile(r"\{\{\s*(\w+)\s*\}\}")
_DEGREES: Final = "_deg"
_RATIO: Final = "length_to_width"


def filled(text: str, technique: Technique) -> str:
    """A text of a step; raises KeyError where it names what is no dimension."""
    values = _values(technique)
    return _NAME.sub(lambda found: values[found[1]], text)


def phrase(text: str, technique: Technique) -> str:
    """The same as one of several options: without its full stop."""
    return filled(text, technique).removesuffix(".")


def _values(technique: Technique) -> dict[str, str]:
    """Each dimension with its unit, by the name that people write."""
    return {
        field.name.removesuffix(_DEGREES): _shown(
            field.name, getattr(technique.settings, field.name)
        )
        for field in fields(TechniqueSettings)
    }


def _shown(setting: str, value: float) -> str:
    if setting.endswith(_DEGREES):
        return amounts.degrees(value)
    return amounts.ratio(value) if setting == _RATIO else amounts.millimetres(value)
