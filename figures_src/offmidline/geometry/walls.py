"""The walls of a trough as points: x lateral, depth positive, mm.

The same trough that ``section.Trough`` measures: vertical or leaning walls, a triangle where
narrowing walls meet above the floor, and a widening that ends at twice the skin's width.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from offmidline.geometry.section import VERTICAL_DEG, Trough, cotangent

Point = tuple[float, float]


@dataclass(frozen=True)
class Walls:
    """The two walls from the skin to the floor; both end in the same point where they meet."""

    medial: tuple[Point, ...]
    lateral: tuple[Point, ...]

    @property
    def bottom(self) -> float:
        """Depth of the deepest point."""
        return self.medial[-1][1]

    @property
    def meet(self) -> bool:
        """Whether there is no floor."""
        return self.medial[-1] == self.lateral[-1]

    @property
    def ring(self) -> list[Point]:
        """The whole trough, closed by the skin's level."""
        lateral = self.lateral[:-1] if self.meet else self.lateral
        return [*self.medial, *reversed(lateral)]

    def at(self, depth: float) -> tuple[float, float]:
        """x of the medial and of the lateral wall at a depth; below the floor, of its ends."""
        return _x_at(self.medial, depth), _x_at(self.lateral, depth)


def walls(trough: Trough, medial_x: float, lateral_x: float) -> Walls:
    """The walls of a trough between two skin edges."""
    width = lateral_x - medial_x
    bottom = trough.meeting_depth(width)
    # A widening trough goes straight down once it is twice as wide as the skin.
    turn = min(bottom, width / -trough.taper) if trough.taper < 0 else bottom
    depths = (0.0, bottom) if turn == bottom else (0.0, turn, bottom)
    medial, lateral = (
        tuple((start + way * min(z, turn) * cotangent(angle), z) for z in depths)
        for start, way, angle in (
            (medial_x, 1, trough.medial_cut_deg),
            (lateral_x, -1, trough.lateral_cut_deg),
        )
    )
    if bottom < trough.depth:
        lateral = (*lateral[:-1], medial[-1])
    return Walls(medial, lateral)


def lateral_wedge(trough: Trough, medial_x: float, lateral_x: float) -> list[Point]:
    """What lies between the lateral wall and a vertical one from the same skin edge, as a ring.

    The vertical wall would take it where the lateral one slopes towards the base, and would leave
    it where that undercuts the skin; empty where the wall is vertical itself.
    """
    if trough.lateral_cut_deg == VERTICAL_DEG:
        return []
    drawn = walls(trough, medial_x, lateral_x)
    upright = walls(replace(trough, lateral_cut_deg=VERTICAL_DEG), medial_x, lateral_x)
    # Below the point where the walls meet a vertical one would go on down.
    below = [upright.medial[-1]] if drawn.meet and not upright.meet else []
    return [*drawn.lateral, *below, *reversed(upright.lateral[1:])]


def _x_at(wall: tuple[Point, ...], depth: float) -> float:
    for (x0, z0), (x1, z1) in pairwise(wall):
        if depth <= z1:
            return x0 + (x1 - x0) * (depth - z0) / (z1 - z0)
    return wall[-1][0]
