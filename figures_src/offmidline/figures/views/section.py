"""The section at the widest level: what is cut, how deep, and what the closure brings together.

True to scale in both directions; seen from the feet with the patient prone, so that left and right
are those of the marking. Depth counts down from the skin, which is drawn flat. Schematic are only
the skin's thickness, the form of the cavity (its bottom is measured) and the level of the
superficial row.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from offmidline.figures.board import OVER_ANATOMY, OVER_HATCH, Board
from offmidline.figures.cross_section import SKIN, CrossSection, cross_section
from offmidline.figures.drawing import (
    Array,
    Drawing,
    Frame,
    Point,
    Trace,
    ellipse,
    polyline,
    segments,
)
from offmidline.figures.labels import PADDING, Label
from offmidline.figures.metrics import ASCENT, DESCENT, width
from offmidline.figures.section_dimensions import LANE, section_dimensions
from offmidline.figures.sheet import ROOM, SCALES, sheet
from offmidline.figures.style import CENTRE, CUT, MARGIN, PAGE_WIDTH, SYMBOL, TEXT_SIZE, THIN
from offmidline.figures.surface import (
    GREATEST_HEIGHT,
    HEAD_LINE,
    HEAD_ROW,
    HEADS,
    name_midlines,
    name_sides,
)
from offmidline.figures.view import View, shown, single
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.walls import Walls
from offmidline.plan import CasePlan, Plan

# mm on the page: above the skin (heads, a row of labels, the lane), below the fascia, at the sides.
_ABOVE: Final = HEADS + LANE + 7.0
_BELOW: Final = 15.0
_LEAST_BELOW: Final = 11.0
_MEDIAL_ROOM: Final = 18.0
_LATERAL_ROOM: Final = 22.0
_MEDIAL_SHARE: Final = 0.45
_HATCH: Final = 4.0
# Labels of skin and fat may point to places this far apart; areas are kept clear in finer steps.
_PROBE: Final = 6.0
_SCAN: Final = 0.5
# Points of a line to which a leader may lead.
_ANCHORS: Final = 7
# The arrow of the flap's advance, mm on the page: above the skin, how far it begins over the flap
# and ends before the new midline, and what it needs between the two.
_ABOVE_SKIN: Final = 3.5
_ON_FLAP: Final = 9.0
_SHORT: Final = 1.2
_LEAST_ARROW: Final = 2.0
# From the arrow to the baseline of its name.
_OVER_ARROW: Final = 3.0
# From the skin's line to the baseline of its name.
_BESIDE: Final = 2.2


def _draw(planned: CasePlan) -> Drawing:
    """The section of a case at the widest level."""
    plan = shown(planned)
    cut = cross_section(plan)
    drawing, board = _open(planned, plan, cut)
    name_sides(board)
    name_midlines(board, plan.outline.offset)
    _draw_tissue(board, plan, cut)
    _draw_cuts(board, plan, cut)
    arrow = _advance(board.frame, cut)
    if arrow is not None:
        board.arrow("advance", *arrow, "flap")
    board.dimensions(section_dimensions(board.frame, plan, cut))
    if arrow is not None:
        _name_advance(board, arrow)
    _label(board, plan, cut)
    board.finish()
    return drawing


def _open(planned: CasePlan, plan: Plan, cut: CrossSection) -> tuple[Drawing, Board]:
    """A page at the largest scale at which the section and its dimensions fit."""
    side = plan.marking.side
    low, high = cut.xs
    deepest = max(plan.marking.depth, plan.marking.flap_thickness, plan.case.findings.fascia_depth)
    for scale in SCALES:
        spare = ROOM - scale * (high - low) - _MEDIAL_ROOM - _LATERAL_ROOM
        # What the floor needs below it may lie in the fat.
        below = max(_LEAST_BELOW, _BELOW - scale * (deepest - plan.marking.depth))
        height = scale * deepest + _ABOVE + below
        if spare >= 0 and height <= GREATEST_HEIGHT:
            break
    from_medial = _MEDIAL_ROOM + spare * _MEDIAL_SHARE - scale * low
    x = from_medial if side == "right" else ROOM - from_medial
    page = sheet(planned, say("section.subtitle"))
    frame = page.frame((x, height - _ABOVE), scale, side, down=True)
    drawing, corner = page.open(height, scale, frame)
    return drawing, Board(drawing, frame, page.low, corner)


def _page_sides(board: Board) -> tuple[float, float]:
    """x in the plan's frame of the page's two sides, the smaller first."""
    frame = board.frame
    one, other = (
        (edge - frame.x) / (frame.sign * frame.scale) for edge in (MARGIN, PAGE_WIDTH - MARGIN)
    )
    return min(one, other), max(one, other)


def _draw_tissue(board: Board, plan: Plan, cut: CrossSection) -> None:
    """Skin, fat and fascia as they are; the trough and the flap as areas on them."""
    left, right = _page_sides(board)
    fascia = plan.case.findings.fascia_depth
    thickness = plan.marking.flap_thickness
    board.area("fat", _box(left, right, 0, fascia), "fat-tint")
    board.area("skin", _box(left, right, 0, min(SKIN, fascia)), "skin-tint")
    edge = [(cut.medial, 0.0), (cut.walls.at(thickness)[0], thickness)]
    flap = [*edge, cut.recess, (cut.recess[0], 0.0)]
    board.area("flap", polyline(flap, closed=True), "flap-tint")
    board.reserve(
        ((cut.medial, z), (cut.recess[0], z))
        for z in np.arange(0.0, thickness, _SCAN / board.frame.scale)
    )
    board.area("trough", polyline(cut.walls.ring, closed=True), "specimen-tint")
    hatch = _hatch(cut.walls.ring, _HATCH / board.frame.scale)
    if hatch:
        board.line("trough-hatch", segments(hatch), "faint", THIN, cost=OVER_HATCH)
    for name, x0, x1 in (("medial", left, cut.medial), ("lateral", cut.lateral, right)):
        board.line(f"skin-{name}", polyline([(x0, 0), (x1, 0)]), "ink", SYMBOL)
        base = polyline([(x0, SKIN), (x1, SKIN)])
        board.line(f"skin-base-{name}", base, "faint", THIN, cost=OVER_ANATOMY)
    board.line("fascia", polyline([(left, fascia), (right, fascia)]), "ink", SYMBOL)


def _draw_cuts(board: Board, plan: Plan, cut: CrossSection) -> None:
    """The midlines, the cavity, the two rows and, over all of them, what the knife cuts."""
    top = (board.high[1] - HEAD_ROW - HEAD_LINE - board.frame.y) / board.frame.scale
    bottom = max(plan.case.findings.fascia_depth, plan.marking.depth)
    offset = plan.outline.offset
    board.line("midline", polyline([(0, -top), (0, bottom)]), "midline", CENTRE)
    board.line("new-midline", polyline([(offset, -top), (offset, bottom)]), "newline", CENTRE)
    cavity = cut.cavity
    board.edge(
        "cavity",
        ellipse(cavity.centre, cavity.half_width, cavity.half_height),
        "cavity",
        SYMBOL,
        fill="cavity-tint",
    )
    ends = [(x, cut.superficial) for x in cut.walls.at(cut.superficial)]
    for gid, row in (("deep-row", [cut.recess, cut.hold]), ("superficial-row", ends)):
        board.line(gid, polyline(row), "suture", SYMBOL)
        board.knots(f"{gid}-ends", row, "suture")
    board.edge("medial-wall", polyline(cut.walls.medial), "ink", CUT)
    board.edge("lateral-wall", polyline(cut.walls.lateral), "ink", CUT)
    if not cut.walls.meet:
        floor = polyline([cut.walls.medial[-1], cut.walls.lateral[-1]])
        board.edge("floor", floor, "ink", CUT)
    if plan.marking.undermining > 0:
        thickness = plan.marking.flap_thickness
        undercut = polyline([(cut.walls.at(thickness)[0], thickness), cut.recess])
        board.edge("undermining", undercut, "ink", CUT)


def _advance(frame: Frame, cut: CrossSection) -> tuple[Point, Point] | None:
    """Where the flap goes, as an arrow on the page: over the midline, with its edge to the new
    midline; None where there is no way to go.
    """
    (tail, skin), (head, _) = frame.at(cut.medial, 0), frame.at(cut.hold[0], 0)
    if (head - tail) * frame.sign < _LEAST_ARROW:
        return None
    y = skin + _ABOVE_SKIN
    return (tail - frame.sign * _ON_FLAP, y), (head - frame.sign * _SHORT, y)


def _name_advance(board: Board, arrow: tuple[Point, Point]) -> None:
    """What the arrow means: above it, or beyond its head and the new midline."""
    (tail, y), (head, _) = arrow
    text = say("labels.advance")
    inset = board.frame.sign * (width(text, TEXT_SIZE) / 2 + 2 * PADDING)
    beyond = head + board.frame.sign * (_SHORT + PADDING) + inset
    middle, above = (head + tail) / 2, y + _OVER_ARROW
    level = y - TEXT_SIZE * (ASCENT - DESCENT) / 2
    places = [(head - inset, above), (middle, above), (beyond, level), (beyond, above)]
    board.name(Label("label-advance", (text,), ((middle, y),)), places)


def _name_tissues(board: Board, plan: Plan, cut: CrossSection) -> None:
    """Skin, fat and fascia: at a side of the page, each in its place."""
    frame, (left, right) = board.frame, _page_sides(board)
    fascia = plan.case.findings.fascia_depth
    low, high = cut.xs
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
        board.name(Label(f"label-{word}", (text,), anchors, dot=dot), places)


def _name_cavity(board: Board, cut: CrossSection) -> None:
    """The cavity: in its middle or, clear of the rows, a little above or below that."""
    x, y = board.frame.at(*cut.cavity.centre)
    baseline = y - TEXT_SIZE * (ASCENT - DESCENT) / 2
    places = [(x, baseline + away) for away in (0, -1, 1, -2, 2, -3, 3, -4, 4)]
    aside = cut.cavity.half_width / 2 * board.frame.scale
    anchors = ((x, y), (x + aside, y), (x - aside, y))
    board.name(Label("label-cavity", (say("labels.cavity"),), anchors, dot=True), places)


def _label(board: Board, plan: Plan, cut: CrossSection) -> None:
    def name(gid: str, text: str, points: Sequence[Point] | Array, *, dot: bool = False) -> None:
        anchors = tuple((float(x), float(y)) for x, y in board.frame.page(points))
        board.label(Label(f"label-{gid}", (text,), anchors, dot=dot))

    _name_tissues(board, plan, cut)
    _name_cavity(board, cut)
    name("excised", say("labels.excised"), _inside(cut.walls), dot=True)
    # What has no place in the trough must not seem to name it.
    depths = np.arange(0.0, cut.walls.bottom, _SCAN / board.frame.scale)
    board.reserve(((low, z), (high, z)) for z in depths for low, high in [cut.walls.at(float(z))])
    if plan.marking.undermining > 0:
        name("recess", say("labels.recess"), [cut.recess])
    row = np.linspace(cut.recess, cut.hold, _ANCHORS + 2)[1:-1]
    name("deep-row", say("labels.deep_gap", value=number(plan.deep_gap)), row)
    across = np.linspace(*cut.walls.at(cut.superficial), _ANCHORS + 2)[1:-1]
    name("superficial-row", say("labels.superficial_row"), [(x, cut.superficial) for x in across])
    name("medial-wall", say("labels.medial_wall"), _along(cut.walls.medial))
    name("lateral-wall", say("labels.lateral_wall"), _along(cut.walls.lateral))


def _box(x0: float, x1: float, z0: float, z1: float) -> Trace:
    return polyline([(x0, z0), (x1, z0), (x1, z1), (x0, z1)], closed=True)


def _inside(cut: Walls) -> list[Point]:
    """Points spread over the trough."""
    points = []
    for share in (0.2, 0.5, 0.8):
        low, high = cut.at(share * cut.bottom)
        points += [
            (low + (high - low) * part, share * cut.bottom) for part in (0.08, 0.3, 0.7, 0.92)
        ]
    return points


def _along(wall: Sequence[Point]) -> list[Point]:
    """Points of a wall's upper, straight part, its middle first."""
    (x0, z0), (x1, z1) = wall[:2]
    return [(x0 + (x1 - x0) * share, z0 + (z1 - z0) * share) for share in (0.5, 0.3, 0.7)]


def _hatch(ring: list[Point], spacing: float) -> list[tuple[Point, Point]]:
    """Lines under 45 degrees across a ring that each of them crosses twice."""
    levels = [x + z for x, z in ring]
    found = []
    for level in np.arange(np.ceil(min(levels) / spacing), max(levels) / spacing) * spacing:
        cuts = []
        for (x0, z0), (x1, z1) in zip(ring, [*ring[1:], ring[0]], strict=True):
            a, b = x0 + z0 - float(level), x1 + z1 - float(level)
            if a * b < 0:
                share = a / (a - b)
                cuts.append((x0 + (x1 - x0) * share, z0 + (z1 - z0) * share))
        if len(cuts) > 1:
            found.append((cuts[0], cuts[1]))
    return found


def _words(planned: CasePlan) -> Words:
    """Title, description and caption of the section."""
    plan = shown(planned)
    marking, outline = plan.marking, plan.outline
    measures = {
        "width": number(outline.width),
        "depth": number(marking.depth),
        "thickness": number(marking.flap_thickness),
        "undermining": number(marking.undermining),
    }
    return Words(
        title=say("section.title", case=isolated(planned.case.title)),
        description=say(
            "section.description",
            **measures,
            level=number(outline.widest_level),
            medial=number(-outline.reach),
            far=number(outline.offset + outline.half_width),
            offset=number(outline.offset),
            side=say(marking.side),
            base=number(plan.base_width),
            medial_cut=number(marking.medial_cut_deg),
            lateral_cut=number(marking.lateral_cut_deg),
            cavity=number(planned.case.findings.cavity_depth),
            fascia=number(planned.case.findings.fascia_depth),
            deep_gap=number(plan.deep_gap),
        ),
        caption=say("section.caption", **measures, lateral=number(marking.lateral_cut_deg)),
    )


SECTION: Final[View] = single(
    "section",
    _words,
    _draw,
    reads=(
        "case:findings.cavity_depth",
        "case:findings.fascia_depth",
        "technique:clearance_below_cavity",
        "technique:lateral_cut",
        "technique:medial_cut",
        "technique:flap_thickness",
        "technique:undermining",
    ),
)
