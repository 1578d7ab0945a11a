"""The trough from level to level: its transverse sections between the apexes (mm, mm2).

Nothing is worked out twice here: widths are the outline's and sections the trough's, whose volume
is the integral of ``area_by_level`` from apex to apex.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offmidline.geometry.outline import Array, Outline
from offmidline.geometry.section import Trough


@dataclass(frozen=True)
class SectionAt:
    """The transverse section of a trough at one level, mm.

    Attributes:
        level: y of the section.
        medial, lateral: x of the two skin edges.
        width: between the skin edges.
        base_width: of the floor; 0 where the walls meet above it.
        depth: of the section's deepest point, at most the trough's.
        area_mm2: what is excised in this section.
    """

    level: float
    medial: float
    lateral: float
    width: float
    base_width: float
    depth: float
    area_mm2: float


def sections_by_level(outline: Outline, trough: Trough, count: int) -> tuple[SectionAt, ...]:
    """The sections at equally spaced levels strictly between the apexes, cranial to caudal.

    They cut the length into ``count + 1`` equal pieces; an odd number has the widest level in its
    middle.

    Raises:
        ValueError: where fewer than one section is asked for.
    """
    if count < 1:
        raise ValueError("a trough is shown in at least one section")
    # Measured from the widest level, so that the middle one is that very level and not nearly so.
    away = 1 - 2 * np.arange(1, count + 1) / (count + 1)
    levels = outline.widest_level + away * outline.half_length
    return tuple(_section_at(outline, trough, float(level)) for level in levels)


def area_by_level(outline: Outline, trough: Trough, levels: Array) -> Array:
    """Area (mm2) of the trough's section at each level (mm), of the levels' shape; 0 beyond the
    apexes.
    """
    area = np.vectorize(trough.area_mm2, otypes=[float])
    return np.asarray(area(outline.width_at(levels)))


def _section_at(outline: Outline, trough: Trough, level: float) -> SectionAt:
    width = float(outline.width_at(level))
    return SectionAt(
        level=level,
        medial=float(outline.edge_x("medial", level)),
        lateral=float(outline.edge_x("lateral", level)),
        width=width,
        base_width=trough.base_width(width),
        depth=trough.meeting_depth(width),
        area_mm2=trough.area_mm2(width),
    )
