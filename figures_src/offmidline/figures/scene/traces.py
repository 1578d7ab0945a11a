"""The lines of a marking as paths, in the plan's frame (mm)."""

from __future__ import annotations

from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Array, Point, Trace, hermite, joined, polyline
from offmidline.geometry.closure import undermined_strip
from offmidline.geometry.outline import Edge, Outline
from offmidline.plan import Plan

# Cubics to an edge: they stay within 0.003 mm of it.
_PIECES: Final = 8
STRIP_POINTS: Final = 12
# How far to the side of the apex its prolongation is followed, mm.
_FURTHEST: Final = 40.0


def edge_trace(
    outline: Outline, edge: Edge, *, upwards: bool = True, caudal: bool = False
) -> Trace:
    """One edge of an outline as cubics, or its caudal half."""
    pieces = _PIECES // 2 if caudal else _PIECES
    phi = np.linspace(-outline.alpha, 0.0 if caudal else outline.alpha, pieces + 1)
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


def caudal_trace(outline: Outline) -> Trace:
    """The caudal half of an outline as cubics, from the medial edge's widest point to the
    lateral one's.
    """
    medial = edge_trace(outline, "medial", upwards=False, caudal=True)
    return joined(medial, edge_trace(outline, "lateral", caudal=True))


def scar_trace(outline: Outline) -> Trace:
    """The axis from the cranial apex to the caudal one."""
    x, top, middle = outline.offset, outline.cranial_apex, outline.widest_level
    return joined(polyline([(x, top), (x, middle)]), bent_scar_trace(outline))


def bent_scar_trace(outline: Outline) -> Trace:
    """The axis from the widest level to the caudal apex, which is one cubic, exactly."""
    middle, bottom = outline.widest_level, outline.caudal_apex
    points = np.array([(outline.offset, middle), (outline.caudal_point[0], bottom)])
    run = bottom - middle
    return hermite(points, np.array([(0.0, run), (2 * outline.caudal_shift, run)]))


def closed_trace(outline: Outline) -> Trace:
    """The closed wound from its cranial end to its caudal one: the axis, prolonged at both ends."""
    cranial, caudal = outline.scar_ends
    ends = (outline.cranial_point, outline.caudal_point)
    return joined(polyline([cranial, ends[0]]), scar_trace(outline), polyline([ends[1], caudal]))


def mirrored(trace: Trace) -> Trace:
    """The same path on the other side of the midline."""
    return Trace(trace.points * (-1.0, 1.0), trace.codes)


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
