"""What plan views share: the lines and findings of a plan on a surface, each a layer of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from offmidline.figures.page.board import Fate, Kind
from offmidline.figures.page.drawing import Array, Point, polyline, smooth
from offmidline.figures.page.style import BAR, CENTRE, CUT, DASHED, DOUBLE_DOT, FINE_DOUBLE_DOT
from offmidline.figures.scene.found import Finding, draw_finding, label_group
from offmidline.figures.scene.ground import draw_ground, draw_midline, name_midlines
from offmidline.figures.scene.surface import (
    ABOVE_FINDINGS,
    BELOW_VERGE,
    Content,
    Surface,
    bounds,
    label_line,
)
from offmidline.figures.scene.traces import (
    STRIP_POINTS,
    outline_trace,
    prolongation,
    scar_trace,
    undermining_limit,
)
from offmidline.figures.words import fate, number, say
from offmidline.geometry.closure import undermined_strip
from offmidline.geometry.outline import Outline
from offmidline.plan import OpeningMeasure, PitMeasure, Plan

# Points of a line to which a leader may lead.
_ANCHORS: Final = 10
# What may become of findings of a kind, in the order in which it is named.
GROUPS: Final[tuple[tuple[Kind, str], ...]] = (
    ("pit", "excised"),
    ("pit", "left"),
    ("opening", "excised"),
    ("opening", "left"),
    ("opening", "missed"),
)


def plan_content(*plans: Plan, flap: bool = True, more: Sequence[Array] = ()) -> Content:
    """What a plan view of some plans must hold, with the lane of a dimension.

    ``flap`` tells whether the limit of the undermining is drawn, ``more`` are points (n, 2) in the
    plan's frame that must have room too.
    """
    parts = list(more)
    found: list[Point] = []
    for plan in plans:
        found += [(0.0, pit.at) for pit in plan.pits] + [(o.x, o.at) for o in plan.openings]
        parts += [np.array([point]) for point in prolongation(plan.outline)]
        if flap:
            parts.append(undermining_limit(plan))
    return outline_content(*(plan.outline for plan in plans), found=found, more=parts)


def outline_content(
    *outlines: Outline, found: Sequence[Point] = (), more: Sequence[Array] = ()
) -> Content:
    """What a plan view of some outlines, findings and further points must hold, with the lane of a
    dimension.
    """
    parts = [np.array([(0.0, -BELOW_VERGE)]), *(outline.ring(32) for outline in outlines), *more]
    if found:
        parts.append(np.array(found))
    xs, ys = bounds(parts)
    highest = max([ys[1], *(y + ABOVE_FINDINGS for _, y in found)])
    return Content(xs, (ys[0], highest), max(outline.cranial_apex for outline in outlines))


def draw_lines(surface: Surface, plan: Plan, *, flap: bool = True, coccyx: bool = True) -> None:
    """All lines of a marking, in their order, where wanted that of the undermining and the coccyx
    among them.
    """
    outline = plan.outline
    if flap:
        fill_undermining(surface, plan)
    surface.board.area("outline-area", outline_trace(outline), "specimen-tint")
    name_midlines(surface.board, outline.offset)
    draw_ground(surface, coccyx=coccyx)
    draw_midline(surface)
    draw_new_midline(surface, outline)
    if flap:
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


def pit_fate(pit: PitMeasure) -> Fate:
    """Whether a pit is excised or left behind."""
    return "excised" if pit.excised else "left"


def opening_fate(opening: OpeningMeasure) -> Fate:
    """Whether an opening is excised or left, be that right or wrong."""
    return "excised" if fate(opening) == "excised" else "left"


def undecided(_: PitMeasure | OpeningMeasure) -> Fate:
    """What is found before anything is decided."""
    return "found"


def draw_pits(
    surface: Surface, plan: Plan, pit_fate: Callable[[PitMeasure], Fate] = pit_fate
) -> list[Finding]:
    """Pits with what becomes of them."""
    return [
        draw_finding(surface, "pit", count, (0.0, pit.at), pit.diameter, pit_fate(pit))
        for count, pit in enumerate(plan.pits, 1)
    ]


def draw_findings(
    surface: Surface,
    plan: Plan,
    pit_fate: Callable[[PitMeasure], Fate] = pit_fate,
    opening_fate: Callable[[OpeningMeasure], Fate] = opening_fate,
) -> tuple[list[Finding], list[Finding]]:
    """Pits and openings with what becomes of them."""
    pits = draw_pits(surface, plan, pit_fate)
    openings = [
        draw_finding(
            surface,
            "opening",
            count,
            (opening.x, opening.at),
            opening.diameter,
            opening_fate(opening),
        )
        for count, opening in enumerate(plan.openings, 1)
    ]
    return pits, openings


def label_findings(
    surface: Surface,
    plan: Plan,
    pits: Sequence[Finding],
    openings: Sequence[Finding],
    *,
    known: Plan | None = None,
    order: Sequence[tuple[Kind, str]] = GROUPS,
) -> None:
    """A label for each group of findings that share what becomes of them, in an order;
    beside a known plan of the same findings only for those that fare otherwise there.
    """
    told = plan if known is None else known
    pit_fates: list[tuple[str, str]] = [
        (pit_fate(now), pit_fate(then)) for now, then in zip(plan.pits, told.pits, strict=True)
    ]
    opening_fates = [
        (fate(now), fate(then)) for now, then in zip(plan.openings, told.openings, strict=True)
    ]
    groups: dict[Kind, tuple[Sequence[Finding], list[tuple[str, str]]]] = {
        "pit": (pits, pit_fates),
        "opening": (openings, opening_fates),
    }
    for kind, outcome in order:
        chosen = [
            one
            for one, (now, then) in zip(*groups[kind], strict=True)
            if now == outcome and (known is None or now != then)
        ]
        label_group(surface, kind, outcome, chosen)


def label_lines(surface: Surface, plan: Plan) -> None:
    """The names of a marking's lines."""
    label_covered(surface, plan)
    label_undermining(surface, plan)
    label_prolongation(surface, plan.outline)
    label_scar(surface, plan.outline)


def label_covered(surface: Surface, plan: Plan) -> None:
    """The part of the midline that the outline takes and its levels, if there is one."""
    if plan.midline_covered is None:
        return
    low, high = plan.midline_covered
    words = say("labels.covered_levels", low=number(low), high=number(high))
    label_line(surface, "covered", along_midline(low, high), say("labels.covered"), words)


def label_undermining(surface: Surface, plan: Plan) -> None:
    """How far the flap is raised, where it is."""
    if plan.marking.undermining > 0:
        limit = undermining_limit(plan)[2:-2]
        words = say("labels.undermined", value=number(plan.marking.undermining))
        label_line(surface, "undermined", limit, words)


def label_prolongation(surface: Surface, outline: Outline) -> None:
    """The name of the scar's prolonged line, where there is one."""
    beyond = prolongation(outline)
    if beyond:
        points = np.linspace(beyond[0], beyond[1], 7)[2:]
        label_line(surface, "prolongation", points, say("labels.prolongation"))


def label_scar(surface: Surface, outline: Outline, *more: str) -> None:
    """The name of the predicted scar, with further lines of text."""
    levels = np.linspace(outline.caudal_apex, outline.widest_level, _ANCHORS + 2)[1:-1]
    axis = np.column_stack([outline.axis(levels), levels])
    label_line(surface, "scar", axis, say("labels.scar"), *more)


def along_midline(low: float, high: float) -> Array:
    """Points between two levels of the midline to which a leader may lead."""
    levels = np.linspace(low, high, _ANCHORS + 2)[1:-1]
    return np.column_stack([0 * levels, levels])
