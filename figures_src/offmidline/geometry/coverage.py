"""Which part of the midline an outline takes away (mm cranial of the anal verge).

A fusiform whose apexes lie off the midline removes far less midline skin than its length: only
between the
two levels where the medial edge crosses x = 0. A pit beyond them is left behind.
"""

from __future__ import annotations

import numpy as np

from offmidline.geometry.outline import Array, Outline

_SAMPLES = 257
# Levels are told to this many mm.
_PRECISION = 1e-9


def midline_covered(outline: Outline) -> tuple[float, float] | None:
    """Lowest and highest level (mm) at which the midline lies inside the outline.

    None where the outline does not reach the midline at its widest level.
    """
    if not _covers(outline, outline.widest_level):
        return None
    return _last_covered(outline, outline.caudal_apex), _last_covered(outline, outline.cranial_apex)


def _covers(outline: Outline, y: Array | float) -> Array:
    medial, lateral = outline.edge_x("medial", y), outline.edge_x("lateral", y)
    return np.asarray((medial < 0.0) & (lateral > 0.0))


def _last_covered(outline: Outline, apex: float) -> float:
    """The level nearest the apex that is still covered, walking from the widest level."""
    levels = np.linspace(outline.widest_level, apex, _SAMPLES)
    covered = _covers(outline, levels)
    if covered.all():
        return apex
    first = int(covered.argmin())
    inner, outer = float(levels[first - 1]), float(levels[first])
    while abs(outer - inner) > _PRECISION:
        middle = (inner + outer) / 2
        if _covers(outline, middle):
            inner = middle
        else:
            outer = middle
    return inner
