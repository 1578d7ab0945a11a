"""The views: what can be drawn of a plan, each by its name, in the order of the operation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import Final, cast

from offmidline.figures.view import View

# A view is the constant VIEW of the module of its name.
_NAMES: Final = (
    "findings",
    "marking",
    "marking-steps",
    "coverage",
    "caudal-shift",
    "section",
    "section-steps",
    "levels",
    "closure",
    "before-after",
    "oblique",
    "mistakes",
    "numbers",
    "question",
    "choice",
)


class _Views(Mapping[str, View]):
    """The views by their names; each is imported when it is first asked for."""

    def __getitem__(self, name: str) -> View:
        if name not in _NAMES:
            raise KeyError(name)
        module = import_module(f"{__name__}.{name.replace('-', '_')}")
        return cast(View, module.VIEW)

    def __iter__(self) -> Iterator[str]:
        return iter(_NAMES)

    def __len__(self) -> int:
        return len(_NAMES)


VIEWS: Final[Mapping[str, View]] = _Views()
