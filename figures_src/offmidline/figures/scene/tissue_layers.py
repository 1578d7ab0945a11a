"""What sections share: tissue, trough and flap, cuts and rows, each a layer of its own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from offmidline.figures.page.board import OVER_ANATOMY, OVER_HATCH, Board
from offmidline.figures.page.drawing import Point, Trace, ellipse, polyline, segments
from offmidline.figures.page.hatching import hatch
from offmidline.figures.page.style import CENTRE, CUT, FINE_DOUBLE_DOT, SYMBOL, THIN, Line, Role
from offmidline.figures.scene.cross_section import SKIN
from offmidline.figures.scene.stitches import ROWS, RowName
from offmidline.figures.scene.tissue import CUTS, SCAN, Cut, Section

_HATCH: Final = 4.0


def draw_section(section: Section) -> None:
    """The whole of a section: tissue, trough and flap, midlines, cavity, rows and, over all of
    them, what the knife cuts.
    """
    fill_tissue(section)
    fill_flap(section)
    keep_flap_clear(section)
    fill_trough(section)
    hatch_trough(section)
    draw_layers(section)
    draw_midlines(section)
    draw_cavity(section)
    for row in ROWS:
        draw_row(section, row)
    for cut in CUTS:
        draw_cut(section, cut)


def fill_tissue(section: Section) -> None:
    """Fat and skin from side to side."""
    left, right = section.sides
    fascia = section.plan.case.findings.fascia_depth
    section.board.area("fat", _box(left, right, 0, fascia), "fat-tint")
    section.board.area("skin", _box(left, right, 0, min(SKIN, fascia)), "skin-tint")


def fill_flap(section: Section) -> None:
    """The flap as it is raised."""
    section.board.area("flap", polyline(section.cut.flap, closed=True), "flap-tint")


def keep_flap_clear(section: Section) -> None:
    """Let nothing stand in the flap that would seem to name it."""
    section.board.reserve(lines_in_flap(section))


def lines_in_flap(section: Section) -> Iterator[tuple[Point, Point]]:
    """Lines across the flap, close enough to fill it."""
    cut, thickness = section.cut, section.plan.marking.flap_thickness
    for z in np.arange(0.0, thickness, SCAN / section.frame.scale):
        yield (cut.medial, float(z)), (cut.recess[0], float(z))


def lines_in_cavity(section: Section) -> Iterator[tuple[Point, Point]]:
    """Lines across the cavity, close enough to fill it."""
    cavity = section.cut.cavity
    x, middle = cavity.centre
    step = SCAN / section.frame.scale
    for z in np.arange(step - cavity.half_height, cavity.half_height, step):
        half = cavity.half_width * float(np.sqrt(1 - (z / cavity.half_height) ** 2))
        yield (x - half, middle + float(z)), (x + half, middle + float(z))


def fill_trough(section: Section, fill: Role = "specimen-tint") -> None:
    """The trough as an area."""
    section.board.area("trough", polyline(section.cut.walls.ring, closed=True), fill)


def hatch_trough(section: Section) -> None:
    """What is excised, hatched."""
    # On the page the lines fall towards the lateral side, as depth counts down.
    ring = np.array(section.cut.walls.ring)
    lines = hatch([ring], _HATCH / section.frame.scale, rising=False)
    if len(lines):
        section.board.line("trough-hatch", segments(lines), "faint", THIN, cost=OVER_HATCH)


def keep_trough_clear(section: Section) -> None:
    """Let nothing more stand in the trough, which it would seem to name."""
    walls = section.cut.walls
    depths = np.arange(0.0, walls.bottom, SCAN / section.frame.scale)
    section.board.reserve(
        ((low, z), (high, z)) for z in depths for low, high in [walls.at(float(z))]
    )


def draw_kept(section: Section) -> None:
    """What lies between the lateral wall and a vertical one, which was not cut."""
    wedge = section.wedge
    if wedge:
        section.board.area("kept", polyline(wedge, closed=True), "flap-tint")
        # The ring begins with the lateral wall.
        ends = wedge[len(section.cut.walls.lateral) - 1 :]
        upright = polyline([*ends, wedge[0]])
        section.board.line("vertical-wall", upright, "muted", FINE_DOUBLE_DOT)


def draw_layers(section: Section, *, whole: bool = False) -> None:
    """The skin's two faces, open between the edges unless it is whole, and the fascia."""
    board, cut = section.board, section.cut
    left, right = section.sides
    fascia = section.plan.case.findings.fascia_depth
    runs = (("medial", left, cut.medial), ("lateral", cut.lateral, right))
    if whole:
        runs = (("medial", left, cut.hold[0]), ("lateral", cut.hold[0], right))
    for name, x0, x1 in runs:
        board.line(f"skin-{name}", polyline([(x0, 0), (x1, 0)]), "ink", SYMBOL)
        base = polyline([(x0, SKIN), (x1, SKIN)])
        board.line(f"skin-base-{name}", base, "faint", THIN, cost=OVER_ANATOMY)
    board.line("fascia", polyline([(left, fascia), (right, fascia)]), "ink", SYMBOL)


def draw_midlines(section: Section) -> None:
    """Midline and new midline from below their names to the deepest level."""
    plan = section.plan
    bottom = max(plan.case.findings.fascia_depth, plan.marking.depth)
    draw_both_midlines(section.board, plan.outline.offset, section.top, bottom)


def draw_both_midlines(board: Board, offset: float, top: float, bottom: float) -> None:
    """Midline and new midline from above the skin to a depth (mm of the patient)."""
    lines: tuple[tuple[str, float, Role], ...] = (
        ("midline", 0.0, "midline"),
        ("new-midline", offset, "newline"),
    )
    for gid, x, role in lines:
        board.line(gid, polyline([(x, -top), (x, bottom)]), role, CENTRE)


def draw_cavity(section: Section, role: Role = "cavity", line: Line = SYMBOL) -> None:
    """The cavity, whose bottom is where it was found."""
    cavity = section.cut.cavity
    trace = ellipse(cavity.centre, cavity.half_width, cavity.half_height)
    section.board.edge("cavity", trace, role, line, fill="cavity-tint")


def keep_cavity_clear(section: Section) -> None:
    """Let nothing stand in the cavity that would seem to name it."""
    cavity, frame = section.cut.cavity, section.frame
    half = cavity.half_width * frame.scale, cavity.half_height * frame.scale
    section.board.guard(frame.at(*cavity.centre), *half)


def draw_row(section: Section, row: RowName, role: Role = "suture", line: Line = SYMBOL) -> None:
    """What a row of stitches joins, as a line with its two holds."""
    points = section.row(row)
    section.board.line(row, polyline(points), role, line)
    section.board.knots(f"{row}-ends", points, role)


def draw_cut(section: Section, cut: Cut, role: Role = "ink", line: Line = CUT) -> None:
    """A line of the knife, if there is anything to cut."""
    points = section.line(cut)
    if points:
        section.board.edge(cut, polyline(points), role, line)


def _box(x0: float, x1: float, z0: float, z1: float) -> Trace:
    return polyline([(x0, z0), (x1, z0), (x1, z1), (x0, z1)], closed=True)
