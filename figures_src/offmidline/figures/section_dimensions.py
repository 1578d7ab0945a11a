"""The dimensions of a section: lateral lengths above the skin and below the floor, depths at the
sides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from offmidline.figures.cross_section import CrossSection
from offmidline.figures.dimension import Choices
from offmidline.figures.drawing import Frame
from offmidline.figures.measures import Measure, angle, level, upright
from offmidline.figures.words import number, say
from offmidline.plan import Plan

# Distances on the page, mm: the lane above the skin, that below the floor, and those of the depths.
LANE: Final = 13.0
_BELOW_FLOOR: Final = 7.0
_DEPTH_ASIDE: Final = 7.0
_FLAP_ASIDE: Final = 5.0
_ARC: Final = 13.0

# A depth counts from the skin's line, which serves as its extension line.
_DEPTH: Final = Choices(extend=(False, True), beside=True)
_UNDERMINED: Final = Choices(extend=(False, True), raised=True)
_HALF_TURN: Final = 180.0


def section_dimensions(frame: Frame, plan: Plan, cut: CrossSection) -> Iterator[Measure]:
    """Name, geometry and text of each dimension of a section."""
    marking = plan.marking
    skin = frame.at(0, 0)[1]
    medial, lateral = frame.at(cut.medial, 0), frame.at(cut.lateral, 0)
    recess = frame.at(*cut.recess)
    yield level("width", _words("width", plan.outline.width), (medial, lateral), skin + LANE)
    if marking.undermining > 0:
        text = _words("undermined", marking.undermining)
        yield level("undermining", text, (medial, recess), skin + LANE, _UNDERMINED)
    floor = frame.at(cut.walls.lateral[-1][0], marking.depth)
    x = frame.at(max(cut.lateral, cut.walls.lateral[-1][0]), 0)[0] + frame.sign * _DEPTH_ASIDE
    yield upright("depth", _words("depth", marking.depth), (lateral, floor), x, _DEPTH)
    x = frame.at(min(cut.recess[0], cut.medial), 0)[0] - frame.sign * _FLAP_ASIDE
    text = _words("flap_thickness", marking.flap_thickness)
    yield upright("flap-thickness", text, (frame.at(cut.recess[0], 0), recess), x, _DEPTH)
    if plan.base_width > 0:
        base = frame.at(*cut.walls.medial[-1]), frame.at(*cut.walls.lateral[-1])
        text = _words("base_width", plan.base_width)
        yield level("base-width", text, base, base[0][1] - _BELOW_FLOOR)
    yield _lateral_cut(frame, plan, cut)


def _lateral_cut(frame: Frame, plan: Plan, cut: CrossSection) -> Measure:
    """The angle between the skin and the lateral wall, inside the wound."""
    degrees = plan.marking.lateral_cut_deg
    # From the lateral edge the skin of the wound lies towards the midline: to the left on a right
    # side.
    directions = (_HALF_TURN, _HALF_TURN + degrees)
    if frame.sign < 0:
        directions = (2 * _HALF_TURN - degrees, 2 * _HALF_TURN)
    radius = min(_ARC, frame.scale * (cut.lateral - cut.medial) / 2)
    return angle(
        "lateral-cut", _words("angle", degrees), frame.at(cut.lateral, 0), directions, radius
    )


def _words(key: str, value: float) -> str:
    return say(f"labels.{key}", value=number(value))
