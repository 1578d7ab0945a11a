"""What plan views share: the lines and findings of a plan on a surface, each a layer of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from offmidline.figures.drawing import polyline, smooth
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
    label_line,
    name_midlines,
)
from offmidline.figures.traces import (
    STRIP_POINTS,
    outline_trace,
    prolongation,
    scar_trace,
    undermining_limit,
)
from offmidline.figures.words import fate, number, say
from offmidline.geometry.closure import undermined_strip
from offmidline.geometry.outline import Outline
from offmidline.plan import Plan

# Points of a line to which a leader may lead.
_ANCHORS: Final = 10


def plan_content(*plans: Plan) -> Content:
    """What a plan view of some plans must hold, with the lane of a dimension."""
    parts = [np.array([(0.0, -BELOW_VERGE)])]
    highest = apex = -np.inf
    for plan in plans:
        found = [(0.0, pit.at) for pit in plan.pits] + [(o.x, o.at) for o in plan.openings]
        parts += [plan.outline.ring(32), undermining_limit(plan), np.array(found)]
        parts += [np.array([point]) for point in prolongation(plan.outline)]
        highest = max(highest, *(y + ABOVE_FINDINGS for _, y in found))
        apex = max(apex, plan.outline.cranial_apex)
    xs, ys = bounds(parts)
    return Content(xs, (ys[0], max(ys[1], highest)), apex)


def draw_lines(surface: Surface, plan: Plan) -> None:
    """All lines of a marking, in their order."""
    outline = plan.outline
    fill_undermining(surface, plan)
    surface.board.area("outline-area", outline_trace(outline), "specimen-tint")
    name_midlines(surface.board, outline.offset)
    draw_ground(surface)
    draw_midline(surface)
    draw_new_midline(surface, outline)
    draw_undermining(surface, plan)
    draw_scar(surface, outline)
    draw_covered(surface, plan)
    surface.board.edge("outline", outline_trace(outline), "ink", CUT)


def fill_undermining(surface: Surface, plan: Plan) -> None:
    """The area under which the flap is raised, where it is."""
    if plan.marking.undermining > 0:
        strip = undermined_strip(plan.outline, plan.marking.undermining, STRIP_POINTS)
        surface.board.area("undermined", polyline(strip, closed=True), "flap-tint")


def draw_undermining(surface: Surface, plan: Plan) -> None:
    """The limit up to which the flap is raised, where it is."""
    if plan.marking.undermining > 0:
        limit = smooth(undermining_limit(plan))
        surface.board.line("undermining-limit", limit, "flap", DASHED)


def draw_new_midline(surface: Surface, outline: Outline) -> None:
    """The new midline above and below the outline; where the scar coincides with it, the scar is
    drawn.
    """
    lowest, highest = surface.levels
    x = outline.offset
    upper = polyline([(x, outline.cranial_apex), (x, highest)])
    lower = polyline([(x, outline.widest_level), (x, lowest)])
    surface.board.line("new-midline-cranial", upper, "newline", CENTRE)
    surface.board.line("new-midline", lower, "newline", CENTRE)


def draw_scar(surface: Surface, outline: Outline) -> None:
    """The predicted scar, and its line prolonged to the level of the verge."""
    surface.board.line("scar", scar_trace(outline), "scar", DOUBLE_DOT)
    beyond = prolongation(outline)
    if beyond:
        surface.board.line("scar-prolongation", polyline(beyond), "scar", FINE_DOUBLE_DOT)


def draw_covered(surface: Surface, plan: Plan) -> None:
    """The part of the midline that the outline takes, if any."""
    if plan.midline_covered is not None:
        bar = polyline([(0.0, level) for level in plan.midline_covered])
        surface.board.line("midline-covered", bar, "midline", BAR)


def draw_findings(surface: Surface, plan: Plan) -> tuple[list[Finding], list[Finding]]:
    """Pits and openings with what becomes of them."""
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


def label_findings(
    surface: Surface, plan: Plan, pits: Sequence[Finding], openings: Sequence[Finding]
) -> None:
    """A label for each group of findings that share what becomes of them."""
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


def label_lines(surface: Surface, plan: Plan) -> None:
    """The names of a marking's lines."""
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
    beyond = prolongation(outline)
    if beyond:
        points = np.linspace(beyond[0], beyond[1], 7)[2:]
        label_line(surface, "prolongation", points, say("labels.prolongation"))
    levels = np.linspace(outline.caudal_apex, outline.widest_level, _ANCHORS + 2)[1:-1]
    axis = np.column_stack([outline.axis(levels), levels])
    label_line(surface, "scar", axis, say("labels.scar"))
