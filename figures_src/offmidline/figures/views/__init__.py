"""The views: what can be drawn of a plan, each by its name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from offmidline.figures.view import View
from offmidline.figures.views.before_after import BEFORE_AFTER
from offmidline.figures.views.caudal_shift import CAUDAL_SHIFT
from offmidline.figures.views.closure import CLOSURE
from offmidline.figures.views.coverage import COVERAGE
from offmidline.figures.views.findings import FINDINGS
from offmidline.figures.views.levels import LEVELS
from offmidline.figures.views.marking import MARKING
from offmidline.figures.views.marking_steps import MARKING_STEPS
from offmidline.figures.views.mistakes import MISTAKES
from offmidline.figures.views.numbers import NUMBERS
from offmidline.figures.views.oblique import OBLIQUE
from offmidline.figures.views.section import SECTION
from offmidline.figures.views.section_steps import SECTION_STEPS

VIEWS: Final[Mapping[str, View]] = MappingProxyType(
    {
        view.name: view
        for view in (
            FINDINGS,
            MARKING,
            MARKING_STEPS,
            CAUDAL_SHIFT,
            BEFORE_AFTER,
            SECTION,
            SECTION_STEPS,
            LEVELS,
            OBLIQUE,
            NUMBERS,
            COVERAGE,
            CLOSURE,
            MISTAKES,
        )
    }
)
