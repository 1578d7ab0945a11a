"""The lines of a marking as paths, in the plan's frame (mm)."""

from __future__ import annotations

from typing import Final

import numpy as np

from offmidline.figures.drawing import Array, Point, Trace, hermite, joined, polyline
from offmidline.geometry.closure import undermined_strip
from offmidline.geometry.outline import Edge, Outline
from offmidline.plan import Plan

# Cubics to an edge: they stay within 0.003 mm of it.
_PIECES: Final = 8
STRIP_POINTS: Final = 12
# How far to the side of the apex its prolongation is followed, mm.
_FURTHEST: Final = 40.0


def edge_trace(outline: Outline, edge: Edge, *, upwards: bool = True) -> Trace:
    """One edge of an outline as cubics."""
    phi = np.linspace(-outline.alpha, outline.alpha, _PIECES + 1)
    step = float(phi[1] - phi[0])
    points = np.column_stack(outline.edge_point(edge, phi))
    tangents = np.column_stack(outline.edge_tangent(edge, phi)) * step
    if not upwards:
        points, tangents = points[::-1], -tangents[::-1]
    return hermite(points, tangents)


def outline_trace(outline: Outline) -> Trace:
    """The closed outline as cubics, counter-clockwise from the caudal apex."""
    medial = edge_trace(outline, "medial", upwards=False)
    return joined(edge_trace(outline, "lateral"), medial, closed=True)


def scar_trace(outline: Outline) -> Trace:
    """The axis from the cranial apex to the caudal one; its bent half is one cubic, exactly."""
    top, middle, bottom = outline.cranial_apex, outline.widest_level, outline.caudal_apex
    straight = polyline([(outline.offset, top), (outline.offset, middle)])
    points = np.array([(outline.offset, middle), (outline.caudal_point[0], bottom)])
    run = bottom - middle
    tangents = np.array([(0.0, run), (2 * outline.caudal_shift, run)])
    return joined(straight, hermite(points, tangents))


def undermining_limit(plan: Plan) -> Array:
    """Points of the limit up to which the flap is raised, from cranial to caudal, mm."""
    strip = undermined_strip(plan.outline, plan.marking.undermining, STRIP_POINTS)
    return strip[STRIP_POINTS + 1 :]


def prolongation(outline: Outline) -> list[Point]:
    """The scar's straight line from the caudal apex to the level of the verge, or as far as the
    page goes.

    Empty where the apex lies at or below that level.
    """
    (x, y), end = outline.caudal_point, outline.passes_verge_at
    if y <= 0:
        return []
    share = min(1.0, _FURTHEST / abs(end - x)) if end != x else 1.0
    return [(x, y), (x + (end - x) * share, y * (1 - share))]
