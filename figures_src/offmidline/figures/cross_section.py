"""The section at the widest level as points: x from the midline, depth positive, mm.

The same trough that ``geometry.section.Trough`` measures: vertical or leaning walls, a triangle
where narrowing walls meet above the floor, and a widening that ends at twice the skin's width.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from offmidline.figures.drawing import Point
from offmidline.geometry.section import Trough
from offmidline.plan import Plan

# Schematic, mm of the patient: the skin's thickness, and the form of the cavity.
SKIN: Final = 2.0
_CAVITY_HALF_WIDTH: Final = 12.0
_LEAST_HALF_WIDTH: Final = 4.0
_CAVITY_HEIGHT: Final = 18.0
_CAVITY_CLEAR: Final = 1.0
# Of a cavity that reaches into the skin, this share of its depth is left above it.
_SHARE_ABOVE: Final = 0.4

_VERTICAL: Final = 90.0


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
        tuple((start + way * min(z, turn) * _cotangent(angle), z) for z in depths)
        for start, way, angle in (
            (medial_x, 1, trough.medial_cut_deg),
            (lateral_x, -1, trough.lateral_cut_deg),
        )
    )
    if bottom < trough.depth:
        lateral = (*lateral[:-1], medial[-1])
    return Walls(medial, lateral)


@dataclass(frozen=True)
class Cavity:
    """A schematic ellipse whose bottom lies where the cavity's was found."""

    centre: Point
    half_width: float
    half_height: float


@dataclass(frozen=True)
class CrossSection:
    """All points that a section draws.

    Attributes:
        medial, lateral: x of the skin edges.
        recess: the deepest point of the undermining.
        hold: where the deep row takes hold: the new midline on the floor.
        superficial: the level of the superficial row, schematic: half-way down the flap's edge.
    """

    medial: float
    lateral: float
    walls: Walls
    recess: Point
    hold: Point
    superficial: float
    cavity: Cavity

    @property
    def xs(self) -> tuple[float, float]:
        """Least and greatest x."""
        found = [0.0, self.medial, self.lateral, self.recess[0], self.hold[0]]
        found += [x for x, _ in self.walls.ring]
        return min(found), max(found)


def cross_section(plan: Plan) -> CrossSection:
    """The section of a plan at the widest level."""
    outline, marking = plan.outline, plan.marking
    medial, lateral = -outline.reach, outline.offset + outline.half_width
    cut = walls(plan.trough, medial, lateral)
    return CrossSection(
        medial=medial,
        lateral=lateral,
        walls=cut,
        recess=(medial - marking.undermining, marking.flap_thickness),
        hold=(outline.offset, marking.depth),
        superficial=marking.flap_thickness / 2,
        cavity=_cavity(plan.case.findings.cavity_depth, cut),
    )


def _cavity(bottom: float, cut: Walls) -> Cavity:
    """The cavity near the midline, inside the trough wherever that can hold it."""
    top = max(min(SKIN + _CAVITY_CLEAR, bottom * _SHARE_ABOVE), bottom - _CAVITY_HEIGHT)
    middle, half_height = (top + bottom) / 2, (bottom - top) / 2
    turn = np.linspace(-np.pi / 2, np.pi / 2, 25)
    sides = np.array([cut.at(float(z)) for z in middle + half_height * np.sin(turn)])
    for half_width in np.linspace(_CAVITY_HALF_WIDTH, _LEAST_HALF_WIDTH, 12):
        room = half_width * np.cos(turn) + _CAVITY_CLEAR
        low, high = float((sides[:, 0] + room).max()), float((sides[:, 1] - room).min())
        if low <= high:
            x = min(max(float(half_width), low), high)
            return Cavity((x, middle), float(half_width), half_height)
    deepest = (cut.medial[-1][0] + cut.lateral[-1][0]) / 2
    return Cavity((deepest, middle), _LEAST_HALF_WIDTH, half_height)


def _x_at(wall: tuple[Point, ...], depth: float) -> float:
    for (x0, z0), (x1, z1) in pairwise(wall):
        if depth <= z1:
            return x0 + (x1 - x0) * (depth - z0) / (z1 - z0)
    return wall[-1][0]


def _cotangent(angle_deg: float) -> float:
    return 0.0 if angle_deg == _VERTICAL else 1 / math.tan(math.radians(angle_deg))
