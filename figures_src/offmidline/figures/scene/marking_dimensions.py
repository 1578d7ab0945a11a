"""The dimensions of a marking: which lengths, and where their lines run clear of the findings.

Lateral lengths count from the midline, at the levels where they are measured or, carried there by
extension lines, at the nearest level that is free. Places in mm on the page.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Final

import numpy as np

from offmidline.figures.page.dimension import Choices
from offmidline.figures.page.drawing import Array, Point
from offmidline.figures.page.measures import Measure, level, straight, upright
from offmidline.figures.scene.found import Finding
from offmidline.figures.scene.surface import LANE, Surface, label_line
from offmidline.figures.words import labelled, number, say
from offmidline.geometry.outline import Outline
from offmidline.plan import Plan

# A length that is printed as 0 gets no dimension.
LEAST: Final = 0.05
# A dimension line keeps this far off a finding's rim, and from another line.
# The share of an edge that counts as its widest level.
_WIDEST: Final = 0.15
_CLEAR: Final = 2.5
_APART: Final = 8.0
# From an extreme of the drawing to the first dimension line.
_ASIDE: Final = LANE - 1.0
# Heights that are tried in turn, from where a length is measured.
UP_AND_DOWN: Final = (0, 5, -5, 9, -9, 13, -13, 17, -17, 22, -22, 27, -27)
_UPWARDS: Final = (0, 3, 6, 9, 12, -3)
_DOWNWARDS: Final = (0, -4, -8, -12)
# An arrow outside needs this much line.
_ARROW_ROOM: Final = 6.0

_INSIDE: Final = Choices(outside=(False, False))
_BARE: Final = Choices(extend=(False, False), outside=(False, False))
FROM_MIDLINE: Final = Choices(extend=(False, False))
FROM_MIDLINE_EXTENDED: Final = Choices(extend=(False, True))
_REACH: Final = Choices(extend=(False, True), outside=(False, True))


def marking_dimensions(surface: Surface, plan: Plan, found: Sequence[Finding]) -> Iterator[Measure]:
    """Name, geometry and text of each dimension of a marking."""
    outline = plan.outline
    yield from offset_measure(surface, outline, found)
    yield from caudal_apex_measure(surface, outline, found)
    yield from width_measures(surface, outline, found)
    yield length_measure(surface, outline, found)
    yield from verge_measure(surface, plan)


def offset_measure(
    surface: Surface, outline: Outline, found: Sequence[Finding]
) -> Iterator[Measure]:
    """How far the cranial apex lies from the midline, unless it lies on it."""
    yield from _from_midline(surface, "offset", outline.cranial_point, (_ASIDE, _UPWARDS), found)


def caudal_apex_measure(
    surface: Surface, outline: Outline, found: Sequence[Finding]
) -> Iterator[Measure]:
    """How far the caudal apex lies from the midline, unless it lies on it."""
    yield from _from_midline(surface, "caudal_apex", outline.caudal_point, (0.0, _DOWNWARDS), found)


def _from_midline(
    surface: Surface,
    name: str,
    apex: Point,
    heights: tuple[float, Sequence[float]],
    found: Sequence[Finding],
) -> Iterator[Measure]:
    if abs(apex[0]) <= LEAST:
        return
    foot, tip = surface.board.frame.at(0, apex[1]), surface.board.frame.at(*apex)
    start, steps = heights
    y = free_height(tip[1] + start, steps, (tip[0], foot[0]), found)
    # Above the cranial apex the new midline serves as extension line.
    choices = FROM_MIDLINE_EXTENDED if y < tip[1] else FROM_MIDLINE
    yield level(name.replace("_", "-"), labelled(name, apex[0]), (foot, tip), y, choices)


def width_measures(
    surface: Surface, outline: Outline, found: Sequence[Finding], *, reach: bool = True
) -> Iterator[Measure]:
    """Width and, if asked for, reach, both at the widest level; where a finding lies there, carried
    up or down.
    """
    frame = surface.board.frame
    medial = frame.at(outline.offset - outline.half_width, outline.widest_level)
    lateral = frame.at(outline.offset + outline.half_width, outline.widest_level)
    y = free_height(medial[1], UP_AND_DOWN, (medial[0], lateral[0]), found)
    yield level("width", labelled("width", outline.width), (medial, lateral), y)
    if abs(outline.reach) <= LEAST or not reach:
        return
    key = "reach" if outline.reach > 0 else "short_of_midline"
    midline = frame.at(0, outline.widest_level)
    steps = [step for step in UP_AND_DOWN if abs(medial[1] + step - y) >= _APART]
    room = frame.sign * _ARROW_ROOM
    y = free_height(medial[1], steps, (midline[0] + room, medial[0] - room), found)
    yield level("reach", labelled(key, abs(outline.reach)), (midline, medial), y, _REACH)


def length_measure(surface: Surface, outline: Outline, found: Sequence[Finding]) -> Measure:
    """The length, beside the lateral edge and clear of the findings there."""
    frame = surface.board.frame
    caudal, cranial = frame.at(*outline.caudal_point), frame.at(*outline.cranial_point)
    x = frame.at(float(outline.ring(32)[:, 0].max()), 0)[0] + frame.sign * _ASIDE
    while any(
        abs(one.centre[0] - x) < one.radius + _CLEAR and caudal[1] < one.centre[1] < cranial[1]
        for one in found
    ):
        x += frame.sign
    return upright("length", labelled("length", outline.length), (caudal, cranial), x, _INSIDE)


def verge_measure(surface: Surface, plan: Plan) -> Iterator[Measure]:
    """How far the outline stays from the centre of the anal verge, or how far that lies inside."""
    if abs(plan.verge_clearance) > LEAST:
        key = "verge_clearance" if plan.verge_clearance > 0 else "verge_inside"
        frame = surface.board.frame
        ends = frame.at(0, 0), frame.at(*plan.nearest_to_verge)
        yield straight("verge-clearance", labelled(key, abs(plan.verge_clearance)), ends, _BARE)


def label_nothing(surface: Surface, outline: Outline, names: Collection[str]) -> None:
    """Those lengths by their names that are none, and so have no dimension: each told by a label at
    its place.
    """
    widest = np.linspace(-_WIDEST, _WIDEST, 5) * outline.alpha
    places: tuple[tuple[str, float, Array], ...] = (
        ("offset", outline.offset, np.array([outline.cranial_point])),
        ("caudal-apex", outline.caudal_point[0], np.array([outline.caudal_point])),
        ("reach", outline.reach, np.column_stack(outline.edge_point("medial", widest))),
    )
    for name, length, points in places:
        if name in names and abs(length) <= LEAST:
            text = say(f"labels.{name.replace('-', '_')}", value=number(0.0))
            label_line(surface, name, points, text)


def free_height(
    start: float, steps: Sequence[float], xs: tuple[float, float], found: Sequence[Finding]
) -> float:
    """The first of some heights at which a level line between two x runs clear of every finding."""
    low, high = min(xs) - _CLEAR, max(xs) + _CLEAR
    for step in steps:
        if not any(
            low < one.centre[0] < high and abs(one.centre[1] - start - step) < one.radius + _CLEAR
            for one in found
        ):
            return start + step
    return start + steps[0]
