"""What a technique fixes, in words: by the names under which chapters and steps write it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from offmidline import amounts
from offmidline.records import TechniqueSettings

_DEGREES: Final = "_deg"
_RATIO: Final = "length_to_width"


def dimension_names() -> dict[str, str]:
    """The technique's dimensions: the name that people write to the name of the setting."""
    return {field.name.removesuffix(_DEGREES): field.name for field in fields(TechniqueSettings)}


def dimension(setting: str, value: float) -> str:
    """A dimension of a technique with its unit, by the name of its setting."""
    if setting.endswith(_DEGREES):
        return amounts.degrees(value)
    return amounts.ratio(value) if setting == _RATIO else amounts.millimetres(value)


@lru_cache(maxsize=16)
def dimensions_of(settings: TechniqueSettings) -> Mapping[str, str]:
    """What a technique fixes, and the two lengths that follow from it for every marking.

    ``width`` is twice offset and least reach together, ``caudal_offset`` offset and caudal shift
    together.
    """
    values = {
        name: dimension(setting, getattr(settings, setting))
        for name, setting in dimension_names().items()
    }
    values["width"] = amounts.millimetres(2 * (settings.offset + settings.reach))
    values["caudal_offset"] = amounts.millimetres(settings.offset + settings.caudal_shift)
    return MappingProxyType(values)
