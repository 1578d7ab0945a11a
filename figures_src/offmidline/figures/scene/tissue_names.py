"""The names of what a section shows: tissues, cuts, rows, and where the flap goes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import Array, Point
from offmidline.figures.page.labels import PADDING, Label
from offmidline.figures.page.metrics import ASCENT, DESCENT, width
from offmidline.figures.page.spots import as_point
from offmidline.figures.page.style import MARGIN, PAGE_WIDTH, TEXT_SIZE
from offmidline.figures.scene.cross_section import SKIN
from offmidline.figures.scene.stitches import ROWS, RowName
from offmidline.figures.scene.tissue import Cut, Section
from offmidline.figures.words import number, say
from offmidline.geometry.section import VERTICAL_DEG

# Labels of skin and fat may point to places this far apart, mm on the page.
_PROBE: Final = 6.0
# Points of a line to which a leader may lead, and the share of a wall on which they lie.
_ANCHORS: Final = 7
_ON_WALL: Final = (0.15, 0.85)
# How far the end of a leader keeps from what it does not name, mm on the page.
_CLEAR: Final = 1.3
# From the skin's line to the baseline of its name, mm on the page.
_BESIDE: Final = 2.2
# The arrow of the flap's advance, mm on the page: above the skin, how far it begins over the flap
# and ends before the new midline, and what it needs between the two.
_ABOVE_SKIN: Final = 3.5
_ON_FLAP: Final = 9.0
_SHORT: Final = 1.2
_LEAST_ARROW: Final = 2.0
# From the arrow to the baseline of its name.
_OVER_ARROW: Final = 3.0

# The arrow beside a wall: how far from it, how much of its length, and the least length, mm.
_ASIDE: Final = 3.5
_WAY_SHARE: Final = 0.75
_LEAST_WAY: Final = 5.0
# Shorter than this (mm2) a row is a point.
_NOTHING: Final = 1e-9

Arrow = tuple[Point, Point]


def name_points(
    section: Section, gid: str, text: str, points: Sequence[Point] | Array, *, dot: bool = False
) -> None:
    """A label that leads to one of some points of the section."""
    anchors = tuple((float(x), float(y)) for x, y in section.frame.page(points))
    section.board.label(Label(f"label-{gid}", (text,), anchors, dot=dot))


def name_tissues(section: Section) -> None:
    """Skin, fat and fascia: at a side of the page, each in its place."""
    frame, (left, right) = section.frame, section.sides
    fascia = section.plan.case.findings.fascia_depth
    low, high = section.cut.xs
    step = _PROBE / frame.scale
    sides = [*np.arange(left + step, low - step, step), *np.arange(right - step, high, -step)]
    along = np.linspace(left, right, _ANCHORS + 2)[1:-1]
    fat_level = frame.at(0, (SKIN + fascia) / 2)[1] - TEXT_SIZE * (ASCENT - DESCENT) / 2
    for word, y, points, dot in (
        ("skin", frame.at(0, 0)[1] + _BESIDE, [(x, SKIN / 2) for x in sides], True),
        ("fat", fat_level, [(x, (SKIN + fascia) / 2) for x in sides], True),
        (
            "fascia",
            frame.at(0, fascia)[1] - TEXT_SIZE * ASCENT - PADDING,
            [(x, fascia) for x in along],
            False,
        ),
    ):
        text = say(f"labels.{word}")
        inset = width(text, TEXT_SIZE) / 2 + 2 * PADDING
        anchors = tuple((float(x), float(y)) for x, y in frame.page(points))
        ends = [(MARGIN + inset, y), (PAGE_WIDTH - MARGIN - inset, y)]
        # The lateral side has more room.
        places = ends if frame.sign < 0 else ends[::-1]
        section.board.name(Label(f"label-{word}", (text,), anchors, dot=dot), places)


def name_cavity(section: Section) -> None:
    """The cavity: in its middle or, clear of the rows, a little above or below that."""
    cavity = section.cut.cavity
    x, y = section.frame.at(*cavity.centre)
    aside = cavity.half_width / 2 * section.frame.scale
    anchors = np.array([(x, y), (x + aside, y), (x - aside, y)])
    _name_inside(section.board, "cavity", anchors, (0, -1, 1, -2, 2, -3, 3, -4, 4))


def _name_inside(board: Board, word: str, anchors: Array, away: Sequence[float]) -> None:
    """The name of an area at the first free one of some heights away from a point in it, or with a
    leader to one of the points.
    """
    x, y = anchors[0]
    baseline = y - TEXT_SIZE * (ASCENT - DESCENT) / 2
    places = [(float(x), float(baseline + up)) for up in away]
    points = tuple(as_point(anchor) for anchor in anchors)
    board.name(Label(f"label-{word}", (say(f"labels.{word}"),), points, dot=True), places)


def name_excised(
    section: Section,
    depths: Sequence[float] = (0.2, 0.5, 0.65, 0.8),
    across: Sequence[float] = (0.08, 0.2, 0.35, 0.65, 0.8, 0.92),
) -> None:
    """What is excised, by a dot at one of some shares of its depth and of its width there."""
    walls = section.cut.walls
    points = []
    for share in depths:
        low, high = walls.at(share * walls.bottom)
        points += [(low + (high - low) * part, share * walls.bottom) for part in across]
    told = _unmistaken(section, points, rows=ROWS, cavity=True)
    name_points(section, "excised", say("labels.excised"), told, dot=True)


def name_kept(section: Section) -> None:
    """What lies between the lateral wall and a vertical one, if anything does."""
    wedge = section.wedge
    if wedge:
        narrowing = section.plan.marking.lateral_cut_deg < VERTICAL_DEG
        middle = np.mean(wedge, axis=0)
        points = [middle, *((middle + corner) / 2 for corner in np.array(wedge))]
        text = say("labels.kept_lateral" if narrowing else "labels.taken_lateral")
        name_points(section, "kept", text, np.array(points), dot=True)


def flap_holds_its_name(section: Section) -> bool:
    """Whether the flap's name fits into it, clear of the dimensions and lines at its edges."""
    low, high = _clear_flap(section)
    across = width(say("labels.flap"), TEXT_SIZE) + 4 * _BESIDE
    up = section.frame.scale * section.plan.marking.flap_thickness
    return section.frame.scale * (high - low) > across and up > 2 * TEXT_SIZE


def name_flap(section: Section) -> None:
    """The flap, where one is raised: in its middle, or with a leader where it is too small."""
    if section.plan.marking.undermining <= 0:
        return
    low, high = _clear_flap(section)
    if high <= low:
        high = section.cut.medial
    level = section.plan.marking.flap_thickness / 2
    points = [(low + (high - low) * share, level) for share in (0.5, 0.3, 0.7)]
    heights = (0.0,) if flap_holds_its_name(section) else ()
    _name_inside(section.board, "flap", section.frame.page(points), heights)


def _clear_flap(section: Section) -> tuple[float, float]:
    """Between which x nothing runs through the flap: neither the medial wall nor the midline."""
    cut, thickness = section.cut, section.plan.marking.flap_thickness
    return cut.recess[0], min(cut.medial, cut.walls.at(thickness)[0], 0.0)


def name_recess(section: Section) -> None:
    """The deepest point of the undermining, if there is any."""
    if section.plan.marking.undermining > 0:
        name_points(section, "recess", say("labels.recess"), [section.cut.recess])


def name_row(section: Section, row: RowName) -> None:
    """A row of stitches, the deep one with its gap."""
    ends = section.row(row)
    along = np.linspace(ends[0], ends[1], _ANCHORS + 2)[1:-1]
    if row == "deep-row":
        text = say("labels.deep_gap", value=number(section.plan.deep_gap))
    else:
        text = say("labels.superficial_row")
    name_points(section, row, text, _unmistaken(section, along, cavity=True))


def name_wall(section: Section, cut: Cut) -> None:
    """A wall, at its upper, straight part, where no row takes hold of it."""
    start, end = np.array(section.line(cut)[:2])
    points = start + np.linspace(*_ON_WALL, _ANCHORS)[:, None] * (end - start)
    told = _unmistaken(section, points, rows=ROWS)
    name_points(section, cut, say(f"labels.{cut.replace('-', '_')}"), told)


def _unmistaken(
    section: Section,
    points: Sequence[Point] | Array,
    *,
    rows: Sequence[RowName] = (),
    cavity: bool = False,
) -> Array:
    """Those of some points that keep clear of rows and, where told, of the cavity, which a leader
    to them would seem to name; the clearest one where none does.
    """
    found = np.asarray(points, dtype=float)
    scale = section.frame.scale
    room = np.full(len(found), math.inf)
    for row in rows:
        start, end = np.array(section.row(row))
        along = end - start
        share = np.clip((found - start) @ along / max(along @ along, _NOTHING), 0.0, 1.0)
        away = found - start - share[:, None] * along
        room = np.minimum(room, scale * np.hypot(*away.T))
    if cavity:
        hole = section.cut.cavity
        half = np.array([hole.half_width, hole.half_height])
        aside = np.hypot(*((found - hole.centre) / half).T) - 1.0
        room = np.minimum(room, scale * aside * half.min())
    clear = room >= _CLEAR
    return found[clear] if clear.any() else found[[int(room.argmax())]]


def draw_advance(section: Section) -> Arrow | None:
    """Where the flap goes, as an arrow: over the midline, with its edge to the new midline; None
    where there is no way to go.
    """
    return _to_new_midline(section, "advance", section.cut.medial, section.frame.sign)


def draw_lateral_way(section: Section) -> Arrow | None:
    """Where the lateral edge goes, as an arrow: to the new midline; None where there is no way."""
    return _to_new_midline(section, "lateral-way", section.cut.lateral, -section.frame.sign)


def draw_direction(section: Section, cut: Cut) -> None:
    """The direction in which a wall is cut, as an arrow along it in the fat outside the wound."""
    (x0, y0), (x1, y1) = section.frame.page(section.line(cut)[:2])
    length = float(np.hypot(x1 - x0, y1 - y0))
    out = section.frame.sign * (1 if cut == "lateral-wall" else -1)
    across = out * _ASIDE * np.array([y0 - y1, x1 - x0]) / length
    start, end = np.array([x0, y0]) + across, np.array([x1, y1]) + across
    half = max(_WAY_SHARE, _LEAST_WAY / length) / 2
    share = np.array([[0.5 - half], [0.5 + half]])
    tail, tip = start + share * (end - start)
    section.board.arrow(f"{cut}-way", as_point(tail), as_point(tip), "ink")


def name_way(section: Section, arrow: Arrow, edge: str) -> None:
    """Whose way an arrow to the new midline is: the edge's, beside which it begins."""
    (tail, y), (head, _) = arrow
    back = math.copysign(1.0, tail - head)
    text = say(f"labels.{edge}")
    # Beyond the extension line that rises from the edge.
    middle = tail + back * (width(text, TEXT_SIZE) / 2 + 4 * PADDING - _ON_FLAP)
    level = y - TEXT_SIZE * (ASCENT - DESCENT) / 2
    places = [(middle, y + _OVER_ARROW), (middle + back * (_ON_FLAP + 2 * PADDING), level)]
    section.board.name(Label(f"label-{edge}", (text,), ((tail, y),)), places)


def _to_new_midline(section: Section, gid: str, edge: float, way: float) -> Arrow | None:
    """An arrow above the skin from beside an edge to the new midline, which lies that way."""
    frame = section.frame
    (tail, skin), (head, _) = frame.at(edge, 0), frame.at(section.cut.hold[0], 0)
    if (head - tail) * way < _LEAST_ARROW:
        return None
    y = skin + _ABOVE_SKIN
    arrow = (tail - way * _ON_FLAP, y), (head - way * _SHORT, y)
    section.board.arrow(gid, *arrow, "flap")
    return arrow


def name_advance(section: Section, arrow: Arrow) -> None:
    """What the arrow means: above it, or beyond its head and the new midline."""
    (tail, y), (head, _) = arrow
    sign = section.frame.sign
    text = say("labels.advance")
    inset = sign * (width(text, TEXT_SIZE) / 2 + 2 * PADDING)
    beyond = head + sign * (_SHORT + PADDING) + inset
    middle, above = (head + tail) / 2, y + _OVER_ARROW
    level = y - TEXT_SIZE * (ASCENT - DESCENT) / 2
    places = [(head - inset, above), (middle, above), (beyond, level), (beyond, above)]
    section.board.name(Label("label-advance", (text,), ((middle, y),)), places)
