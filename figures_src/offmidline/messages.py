"""The words of messages, kept in messages.yml beside this module so that they can be translated."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

import yaml

FILE: Final = "messages.yml"


@lru_cache(maxsize=1)
def _all() -> Mapping[str, Any]:
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    text = files("offmidline").joinpath(FILE).read_text(encoding="utf-8")
    loaded: Mapping[str, Any] = yaml.load(text, Loader=loader)  # noqa: S506 - a safe loader
    return loaded


def section(name: str) -> Mapping[str, Any]:
    """A section by its dotted name; a KeyError names what is missing."""
    found: Any = _all()
    for part in name.split("."):
        if not isinstance(found, Mapping) or part not in found:
            raise KeyError(f"{FILE} has no {name!r}: nothing at {part!r}")
        found = found[part]
    if not isinstance(found, Mapping):
        raise KeyError(f"{name!r} in {FILE} is a text, not a section")
    return found


def text(name: str, /, **values: object) -> str:
    """A message by its dotted name with its values put in; a KeyError names what is missing."""
    parent, _, key = name.rpartition(".")
    template = section(parent).get(key)
    if not isinstance(template, str):
        raise KeyError(f"{FILE} has no text {name!r}")
    try:
        return template.format_map(values)
    except KeyError as missing:
        raise KeyError(f"{name!r} in {FILE} needs the value {missing}") from missing


def either(words: Iterable[str]) -> str:
    """Words as a choice: ``a, b or c``."""
    *rest, last = words
    return f"{', '.join(rest)}{text('faults.or')}{last}" if rest else last
