"""The section at the widest level as points: x from the midline, depth positive, mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import Point
from offmidline.geometry.walls import Walls, walls
from offmidline.plan import Plan

# Schematic, mm of the patient: the skin's thickness, and the form of the cavity.
SKIN: Final = 2.0
_CAVITY_HALF_WIDTH: Final = 12.0
_LEAST_HALF_WIDTH: Final = 4.0
_CAVITY_HEIGHT: Final = 18.0
_CAVITY_CLEAR: Final = 1.0
# Of a cavity that reaches into the skin, this share of its depth is left above it.
_SHARE_ABOVE: Final = 0.4


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
    def flap(self) -> list[Point]:
        """The flap as a ring, from the medial edge down to the undermining and back to the skin."""
        thickness = self.recess[1]
        return [
            (self.medial, 0.0),
            (self.walls.at(thickness)[0], thickness),
            self.recess,
            (self.recess[0], 0.0),
        ]

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
