"""Which part of the midline an outline takes away (mm cranial of the anal verge).

A fusiform whose apexes lie off the midline removes far less midline skin than its length: only
between the
two levels where the medial edge crosses x = 0. A pit beyond them is left behind.
"""

from __future__ import annotations

import numpy as np

from offmidline.geometry.outline import Outline

_SAMPLES = 257
_HALVINGS = 60


def midline_covered(outline: Outline) -> tuple[float, float] | None:
    """Lowest and highest level (mm) at which the midline lies inside the outline.

    None where the outline does not reach the midline at its widest level.
    """
    if not _covers(outline, outline.widest_level):
        return None
    return _last_covered(outline, outline.caudal_apex), _last_covered(outline, outline.cranial_apex)


def _covers(outline: Outline, y: float) -> bool:
    medial, lateral = float(outline.edge_x("medial", y)), float(outline.edge_x("lateral", y))
    return medial < 0.0 < lateral


def _last_covered(outline: Outline, apex: float) -> float:
    """The level nearest the apex that is still covered, walking from the widest level."""
    inner = outline.widest_level
    for level in np.linspace(outline.widest_level, apex, _SAMPLES)[1:]:
        if not _covers(outline, float(level)):
            outer = float(level)
            break
        inner = float(level)
    else:
        return apex
    for _ in range(_HALVINGS):
        middle = (inner + outer) / 2
        if _covers(outline, middle):
            inner = middle
        else:
            outer = middle
    return inner
