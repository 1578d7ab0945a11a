"""Which openings a marking takes, and how near each lies to the outline that decides it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np

from offmidline.figures.page.drawing import Array, Point, Trace
from offmidline.figures.scene.traces import mirrored, outline_trace
from offmidline.geometry.margin import disc_gap, gap_ends, within_reach
from offmidline.plan import CasePlan, OpeningMeasure, Plan

# Inside the outline or cut by it; near; further away but reached by the outline that takes others;
# too far.
Standing = Literal["inside", "near", "reached", "far"]
STANDINGS: Final[tuple[Standing, ...]] = get_args(Standing)


@dataclass(frozen=True)
class JudgedOpening:
    """An opening, its gap (mm) to the outline that decides, negative where it is reached, and
    between which points of the plan that is measured.
    """

    opening: OpeningMeasure
    gap: float
    ends: tuple[Point, Point]
    standing: Standing


@dataclass(frozen=True)
class NearOpenings:
    """The openings of a plan against the outline that decides.

    Attributes:
        for_pits: whether that is the outline fitted to the pits alone; where none can be fitted,
            the marked outline decides.
        trace, limit: the outline, and the points of the line up to which an opening is near, both
            in the frame of the marking.
    """

    for_pits: bool
    trace: Trace
    limit: Array
    openings: tuple[JudgedOpening, ...]


def near_openings(planned: CasePlan, plan: Plan) -> NearOpenings:
    """The openings of a case and what is decided about them."""
    fitted, near = planned.fitted.pits_only, planned.technique.settings.near_opening
    outline = plan.outline if fitted is None else fitted
    # A marking on the wrong side lies in the mirrored frame of the outline that decides.
    turned = -1.0 if plan.marking.side != plan.required_side else 1.0
    judged = []
    for opening in plan.openings:
        disc = (opening.x * turned, opening.at, opening.diameter)
        gap = disc_gap(outline, *disc)
        (x0, y0), (x1, y1) = gap_ends(outline, *disc)
        ends = ((x0 * turned, y0), (x1 * turned, y1))
        judged.append(JudgedOpening(opening, gap, ends, _standing(opening, gap, near)))
    trace = outline_trace(outline)
    return NearOpenings(
        for_pits=fitted is not None,
        trace=trace if turned > 0 else mirrored(trace),
        limit=within_reach(outline, near) * (turned, 1.0) if near else np.empty((0, 2)),
        openings=tuple(judged),
    )


def _standing(opening: OpeningMeasure, gap: float, near: float) -> Standing:
    if opening.decision == "leave":
        return "far"
    if gap <= 0:
        return "inside"
    return "near" if gap <= near else "reached"
