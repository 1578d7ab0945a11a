"""Why no marking satisfies a technique: the constraints that cannot hold together, and their
nearest miss.

A pit low in the cleft is the usual reason: the outline cannot pass caudal of it and keep its
distance from the
anal verge. That is a finding about the case, which the handbook teaches.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from offmidline.geometry.fit import Demands, Disc, best_caudal_apex, best_clearance, feasible
from offmidline.marking import Fitted, demands, opening_discs, pit_discs
from offmidline.records import Case, Technique

Constraint = Literal[
    "pit_margin", "opening_margin", "verge_clearance", "lowest_apex", "length_to_width"
]

# How finely the nearest miss is told, mm: a pen's line is wider.
_PRECISION = 0.01


@dataclass(frozen=True)
class Conflict:
    """A constraint of a conflict: what it asks, and the nearest that can be had.

    Attributes:
        at: level (mm) of the most caudal pit or opening concerned, None for the other constraints.
        required, nearest: mm (a ratio for length to width); nearest is None where no relaxing
            helps.
    """

    constraint: Constraint
    at: float | None
    required: float
    nearest: float | None


def explain(case: Case, technique: Technique, fitted: Fitted) -> tuple[Conflict, ...]:
    """The constraints of a case that conflict, each with its nearest miss, the discs' margin first.

    The margin's nearest miss keeps every other constraint; the others' keep every disc covered.
    """
    asked = demands(technique)
    pits = pit_discs(case, technique)
    openings = opening_discs(case, technique, case.flap_side, fitted.excised_openings)
    if fitted.pits_only is None:
        discs, lowest = pits, min(case.findings.pits, key=lambda pit: pit.at).at
        margin = technique.settings.pit_margin
        first = _margin_conflict("pit_margin", pits, [], asked, margin, lowest)
    else:
        discs, lowest = pits + openings, min(disc.y for disc in openings)
        margin = technique.settings.opening_margin
        first = _margin_conflict("opening_margin", openings, pits, asked, margin, lowest)
    return (first, *_position_conflicts(discs, asked), *_shape_conflict(discs, asked))


def _margin_conflict(
    constraint: Constraint,
    relaxed: Sequence[Disc],
    kept: Sequence[Disc],
    asked: Demands,
    margin: float,
    at: float,
) -> Conflict:
    """The greatest common margin of the relaxed discs that all other constraints allow."""

    def possible(shortfall: float) -> bool:
        shrunk = [replace(disc, radius=disc.radius - shortfall) for disc in relaxed]
        return feasible([*shrunk, *kept], asked)

    # Beyond this shortfall even a pit at the verge is outside every outline that keeps its
    # distance.
    most = 2 * (asked.verge_clearance + asked.offset) + max(disc.radius for disc in relaxed)
    shortfall = _least(possible, most)
    return Conflict(constraint, at, margin, None if shortfall is None else margin - shortfall)


def _position_conflicts(discs: Sequence[Disc], asked: Demands) -> list[Conflict]:
    clearance, apex = best_clearance(discs, asked), best_caudal_apex(discs, asked)
    found: list[Conflict] = []
    if clearance < asked.verge_clearance:
        found.append(Conflict("verge_clearance", None, asked.verge_clearance, clearance))
    if apex < asked.lowest_apex:
        found.append(Conflict("lowest_apex", None, asked.lowest_apex, apex))
    return found


def _shape_conflict(discs: Sequence[Disc], asked: Demands) -> list[Conflict]:
    """Length to width, where a rounder outline would do."""

    def possible(shortfall: float) -> bool:
        rounder = replace(asked, length_to_width=asked.length_to_width - shortfall)
        return feasible(discs, rounder)

    shortfall = _least(possible, asked.length_to_width - 1)
    if shortfall is None:
        return []
    ratio = asked.length_to_width
    return [Conflict("length_to_width", None, ratio, ratio - shortfall)]


def _least(possible: Callable[[float], bool], most: float) -> float | None:
    """The least shortfall that is possible, by halving; None where even the most is not."""
    if not possible(most):
        return None
    low, high = 0.0, most
    while high - low > _PRECISION:
        middle = (low + high) / 2
        low, high = (low, middle) if possible(middle) else (middle, high)
    return high
