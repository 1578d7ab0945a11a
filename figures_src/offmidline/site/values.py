"""The names that a chapter may use, and what they stand for: values of a technique and of cases.

A technique's names are its dimensions (``offset``); a case's names are the ways into its report
(``outline.width``, ``pits.0.margin``, ``rules.reach.measured``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from offmidline import amounts, messages
from offmidline.dimension_words import dimensions_of
from offmidline.records import Technique
from offmidline.site import escape

_RATIO: Final = "length_to_width"
# The key that names an item of a list, where one does; else it is known by its place.
_NAMES_ITEM: Final = ("rule", "row", "constraint")


def technique_values(technique: Technique) -> dict[str, str]:
    """The dimensions of a technique in words, and its title."""
    return {**dimensions_of(technique.settings), "technique": escape.text(technique.title)}


def case_values(report: Mapping[str, Any]) -> dict[str, str]:
    """Every value of a case's report under its dotted way, with its unit."""
    return dict(_walk(report, "", ""))


def _walk(value: Any, way: str, unit: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        own = _own_unit(value)
        for key, part in value.items():
            step = f"{way}.{key}" if way else key
            measured = key in ("measured", "required", "nearest")
            yield from _walk(part, step, own if measured else _unit(key))
    elif isinstance(value, list):
        for place, part in enumerate(value):
            yield from _walk(part, f"{way}.{_item_name(part, place)}", unit)
    elif value is not None:
        yield way, _shown(value, unit)


def _item_name(item: Any, place: int) -> str:
    if isinstance(item, Mapping):
        for key in _NAMES_ITEM:
            if key in item:
                return str(item[key])
    return str(place)


def _own_unit(item: Mapping[str, Any]) -> str:
    """The unit in which a rule or a conflict is measured."""
    if item.get("constraint") == _RATIO:
        return ""
    return str(item.get("unit", "mm"))


def _unit(key: str) -> str:
    if key in (_RATIO, "stitches"):
        return ""
    if key.endswith("_mm2"):
        return "mm2"
    if "percent" in key:
        return "%"
    unit = key.rpartition("_")[2]
    return unit if unit in ("deg", "ml", "mg") else "mm"


def _shown(value: bool | float | str, unit: str) -> str:
    if isinstance(value, bool):
        return messages.text("site.yes" if value else "site.no")
    if isinstance(value, str):
        return escape.text(value)
    if unit == "mm2":
        return amounts.square_centimetres(value)
    return amounts.with_unit(float(value), unit)
