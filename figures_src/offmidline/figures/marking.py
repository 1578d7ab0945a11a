"""The marking: what is drawn on the skin, seen from above, with its dimensions.

One datum for lateral lengths (the midline) and one for levels (the centre of the anal verge). Where
no marking satisfies the technique the findings are shown, and which constraints conflict.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from offmidline.figures import findings
from offmidline.figures.drawing import (
    Array,
    Drawing,
    Point,
    Trace,
    hermite,
    joined,
    polyline,
    smooth,
)
from offmidline.figures.marking_dimensions import marking_dimensions
from offmidline.figures.sheet import sheet
from offmidline.figures.style import BAR, CENTRE, CUT, DASHED, DOUBLE_DOT, FINE_DOUBLE_DOT
from offmidline.figures.surface import (
    ABOVE_FINDINGS,
    BELOW_VERGE,
    Content,
    Finding,
    Surface,
    bounds,
    draw_finding,
    draw_ground,
    draw_midline,
    label_group,
    label_landmarks,
    label_line,
    name_midlines,
    open_surface,
)
from offmidline.figures.words import fate, number, say
from offmidline.geometry.closure import undermined_strip
from offmidline.geometry.outline import Edge, Outline
from offmidline.plan import CasePlan, Plan

# Cubics to an edge: they stay within 0.003 mm of it.
_PIECES: Final = 8
_STRIP_POINTS: Final = 12
# How far to the side of the apex its prolongation is followed, mm.
_FURTHEST: Final = 40.0
# Points of a line to which a leader may lead.
_ANCHORS: Final = 10


def draw(planned: CasePlan) -> Drawing:
    """The marking of a case, or its findings and the conflict where there is none."""
    if planned.shown is None:
        return findings.draw_conflict(planned)
    plan = planned.shown
    page = sheet(planned, say("marking.subtitle", side=say(plan.marking.side)))
    surface = open_surface(page, _content(plan), plan.marking.side)
    _draw_lines(surface, plan)
    pits, openings = _draw_findings(surface, plan)
    surface.board.dimensions(marking_dimensions(surface, plan, [*pits, *openings]))
    _label_findings(surface, plan, pits, openings)
    _label_lines(surface, plan)
    label_landmarks(surface)
    return surface.board.finish()


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
    strip = undermined_strip(plan.outline, plan.marking.undermining, _STRIP_POINTS)
    return strip[_STRIP_POINTS + 1 :]


def _prolongation(outline: Outline) -> list[Point]:
    """The scar's straight line from the caudal apex to the level of the verge, or as far as the
    page goes.

    Empty where the apex lies at or below that level.
    """
    (x, y), end = outline.caudal_point, outline.passes_verge_at
    if y <= 0:
        return []
    share = min(1.0, _FURTHEST / abs(end - x)) if end != x else 1.0
    return [(x, y), (x + (end - x) * share, y * (1 - share))]


def _content(plan: Plan) -> Content:
    outline = plan.outline
    found = [(0.0, pit.at) for pit in plan.pits] + [(o.x, o.at) for o in plan.openings]
    ends = [(0.0, -BELOW_VERGE), *_prolongation(outline)]
    parts = [outline.ring(32), undermining_limit(plan), np.array(found), np.array(ends)]
    xs, ys = bounds(parts)
    highest = max(y for _, y in found) + ABOVE_FINDINGS
    return Content(xs, (ys[0], max(ys[1], highest)), outline.cranial_apex)


def _draw_lines(surface: Surface, plan: Plan) -> None:
    board, outline = surface.board, plan.outline
    lowest, highest = surface.levels
    if plan.marking.undermining > 0:
        strip = undermined_strip(outline, plan.marking.undermining, _STRIP_POINTS)
        board.area("undermined", polyline(strip, closed=True), "flap-tint")
    board.area("outline-area", outline_trace(outline), "specimen-tint")
    name_midlines(board, outline.offset)
    draw_ground(surface)
    draw_midline(surface)
    # Where scar and new midline coincide, the scar is drawn.
    upper = [(outline.offset, outline.cranial_apex), (outline.offset, highest)]
    board.line("new-midline-cranial", polyline(upper), "newline", CENTRE)
    lower = [(outline.offset, outline.widest_level), (outline.offset, lowest)]
    board.line("new-midline", polyline(lower), "newline", CENTRE)
    if plan.marking.undermining > 0:
        board.line("undermining-limit", smooth(undermining_limit(plan)), "flap", DASHED)
    board.line("scar", scar_trace(outline), "scar", DOUBLE_DOT)
    beyond = _prolongation(outline)
    if len(beyond):
        board.line("scar-prolongation", polyline(beyond), "scar", FINE_DOUBLE_DOT)
    if plan.midline_covered is not None:
        bar = polyline([(0.0, level) for level in plan.midline_covered])
        board.line("midline-covered", bar, "midline", BAR)
    board.edge("outline", outline_trace(outline), "ink", CUT)


def _draw_findings(surface: Surface, plan: Plan) -> tuple[list[Finding], list[Finding]]:
    pits = [
        draw_finding(
            surface,
            "pit",
            index + 1,
            (0.0, pit.at),
            pit.diameter,
            "excised" if pit.excised else "left",
        )
        for index, pit in enumerate(plan.pits)
    ]
    openings = [
        draw_finding(
            surface,
            "opening",
            index + 1,
            (opening.x, opening.at),
            opening.diameter,
            "excised" if fate(opening) == "excised" else "left",
        )
        for index, opening in enumerate(plan.openings)
    ]
    return pits, openings


def _label_findings(
    surface: Surface, plan: Plan, pits: Sequence[Finding], openings: Sequence[Finding]
) -> None:
    for fallen in (True, False):
        chosen = [
            drawn for drawn, pit in zip(pits, plan.pits, strict=True) if pit.excised is fallen
        ]
        label_group(surface, "pit", "excised" if fallen else "left", chosen)
    for outcome in ("excised", "left", "missed"):
        chosen = [
            drawn
            for drawn, opening in zip(openings, plan.openings, strict=True)
            if fate(opening) == outcome
        ]
        label_group(surface, "opening", outcome, chosen)


def _label_lines(surface: Surface, plan: Plan) -> None:
    outline = plan.outline
    if plan.midline_covered is not None:
        low, high = plan.midline_covered
        levels = np.linspace(low, high, _ANCHORS + 2)[1:-1]
        words = say("labels.covered_levels", low=number(low), high=number(high))
        label_line(
            surface, "covered", np.column_stack([0 * levels, levels]), say("labels.covered"), words
        )
    if plan.marking.undermining > 0:
        limit = undermining_limit(plan)[2:-2]
        words = say("labels.undermined", value=number(plan.marking.undermining))
        label_line(surface, "undermined", limit, words)
    beyond = _prolongation(outline)
    if len(beyond):
        points = np.linspace(beyond[0], beyond[1], 7)[2:]
        label_line(surface, "prolongation", points, say("labels.prolongation"))
    levels = np.linspace(outline.caudal_apex, outline.widest_level, _ANCHORS + 2)[1:-1]
    axis = np.column_stack([outline.axis(levels), levels])
    label_line(surface, "scar", axis, say("labels.scar"))
