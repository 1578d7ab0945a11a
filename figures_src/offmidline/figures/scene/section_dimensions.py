"""The dimensions of a section: lateral lengths above the skin and below the floor, depths at the
sides, angles inside the wound.

Each is a function of the section's frame on the page, the plan and its points.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final, Literal

from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Frame
from offmidline.figures.page.measures import Measure, angle, level, upright
from offmidline.figures.scene.cross_section import CrossSection
from offmidline.figures.words import labelled
from offmidline.plan import Plan

# Distances on the page, mm: the lane above the skin, that below the floor, and those of the depths.
LANE: Final = 13.0
_BELOW_FLOOR: Final = 7.0
_DEPTH_ASIDE: Final = 7.0
_FLAP_ASIDE: Final = 5.0
# Arcs at the lateral and, beside the cavity, at the medial edge.
_ARC: Final[dict[str, float]] = {"lateral": 13.0, "medial": 8.0}

# A depth counts from the skin's line, which serves as its extension line.
_DEPTH: Final = Choices(extend=(False, True), beside=True)
_BETWEEN_LAYERS: Final = Choices(extend=(False, False), beside=True)
_UNDERMINED: Final = Choices(extend=(False, True), raised=True)
# From the midline, whose line serves as extension line.
_FROM_MIDLINE: Final = Choices(extend=(False, True), raised=True)
_BETWEEN_MIDLINES: Final = Choices(extend=(False, False), raised=True)
_HALF_TURN: Final = 180.0


def section_dimensions(frame: Frame, plan: Plan, cut: CrossSection) -> Iterator[Measure]:
    """Name, geometry and text of each dimension of a whole section."""
    yield width_dimension(frame, plan, cut)
    yield from undermining_dimension(frame, plan, cut)
    yield depth_dimension(frame, plan, cut)
    yield flap_dimension(frame, plan, cut)
    yield from base_dimension(frame, plan, cut)
    yield wall_angle(frame, plan, cut, "lateral")


def width_dimension(frame: Frame, plan: Plan, cut: CrossSection, words: str = "width") -> Measure:
    """The distance of the skin edges: a width, or the gap of the skin row."""
    ends = frame.at(cut.medial, 0), frame.at(cut.lateral, 0)
    return level("width", labelled(words, plan.outline.width), ends, _lane(frame))


def undermining_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Iterator[Measure]:
    """How far the flap is raised, where it is."""
    if plan.marking.undermining > 0:
        text = labelled("undermined", plan.marking.undermining)
        ends = frame.at(cut.medial, 0), frame.at(*cut.recess)
        yield level("undermining", text, ends, _lane(frame), _UNDERMINED)


def depth_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Measure:
    """How deep the excision goes, lateral of it."""
    depth, floor_x = plan.marking.depth, cut.walls.lateral[-1][0]
    ends = frame.at(cut.lateral, 0), frame.at(floor_x, depth)
    x = frame.at(max(cut.lateral, floor_x), 0)[0] + frame.sign * _DEPTH_ASIDE
    return upright("depth", labelled("depth", depth), ends, x, _DEPTH)


def flap_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Measure:
    """How thick the flap is, medial of it."""
    x = frame.at(min(cut.recess[0], cut.medial), 0)[0] - frame.sign * _FLAP_ASIDE
    text = labelled("flap_thickness", plan.marking.flap_thickness)
    ends = frame.at(cut.recess[0], 0), frame.at(*cut.recess)
    return upright("flap-thickness", text, ends, x, _DEPTH)


def base_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Iterator[Measure]:
    """How wide the floor is, where there is one."""
    if plan.base_width > 0:
        ends = frame.at(*cut.walls.medial[-1]), frame.at(*cut.walls.lateral[-1])
        text = labelled("base_width", plan.base_width)
        yield level("base-width", text, ends, ends[0][1] - _BELOW_FLOOR)


def cavity_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Measure:
    """How deep the cavity reaches, lateral of it."""
    depth, cavity = plan.case.findings.cavity_depth, cut.cavity
    x = frame.at(cavity.centre[0] + cavity.half_width, 0)[0] + frame.sign * _FLAP_ASIDE
    ends = frame.at(cavity.centre[0], 0), frame.at(cavity.centre[0], depth)
    return upright("cavity-depth", labelled("cavity_depth", depth), ends, x, _DEPTH)


def fascia_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Measure:
    """How deep the fascia lies, medial of everything else."""
    depth = plan.case.findings.fascia_depth
    x = frame.at(min(cut.recess[0], cut.medial), 0)[0]
    ends = (x, frame.at(0, 0)[1]), (x, frame.at(0, depth)[1])
    return upright("fascia-depth", labelled("fascia_depth", depth), ends, x, _BETWEEN_LAYERS)


def offset_dimension(frame: Frame, plan: Plan) -> Iterator[Measure]:
    """From the midline to the new midline, where they differ."""
    if plan.outline.offset:
        ends = frame.at(0, 0), frame.at(plan.outline.offset, 0)
        text = labelled("offset", plan.outline.offset)
        yield level("offset", text, ends, _lane(frame), _BETWEEN_MIDLINES)


def reach_dimension(frame: Frame, plan: Plan, cut: CrossSection) -> Iterator[Measure]:
    """From the midline to the medial edge, where that does not lie on it."""
    reach = plan.outline.reach
    if reach:
        ends = frame.at(0, 0), frame.at(cut.medial, 0)
        text = labelled("reach" if reach > 0 else "short_of_midline", abs(reach))
        yield level("reach", text, ends, _lane(frame), _FROM_MIDLINE)


def wall_angle(
    frame: Frame, plan: Plan, cut: CrossSection, wall: Literal["medial", "lateral"]
) -> Measure:
    """The angle between the skin and a wall, inside the wound."""
    lateral = wall == "lateral"
    degrees = plan.marking.lateral_cut_deg if lateral else plan.marking.medial_cut_deg
    # From the lateral edge the skin of the wound lies towards the midline: to the left on a right
    # side; from the medial edge it lies the other way.
    directions = (_HALF_TURN, _HALF_TURN + degrees)
    if (frame.sign < 0) == lateral:
        directions = (2 * _HALF_TURN - degrees, 2 * _HALF_TURN)
    radius = min(_ARC[wall], frame.scale * (cut.lateral - cut.medial) / 2)
    vertex = frame.at(cut.lateral if lateral else cut.medial, 0)
    drawn = angle(f"{wall}-cut", labelled("angle", degrees), vertex, directions, radius)
    if lateral:
        return drawn
    # The cavity lies close: the text stands next to the arc, or has a leader.
    near = tuple(spot for spot in drawn.dimension.spots if spot.cost < 1)
    return drawn._replace(dimension=replace(drawn.dimension, spots=near))


def _lane(frame: Frame) -> float:
    """Height on the page of the lane above the skin."""
    return frame.at(0, 0)[1] + LANE
