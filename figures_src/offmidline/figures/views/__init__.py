"""The views: what can be drawn of a plan, each by its name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from offmidline.figures.view import View
from offmidline.figures.views.marking import MARKING
from offmidline.figures.views.section import SECTION

VIEWS: Final[Mapping[str, View]] = MappingProxyType(
    {view.name: view for view in (MARKING, SECTION)}
)
