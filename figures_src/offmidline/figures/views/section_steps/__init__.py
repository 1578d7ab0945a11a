"""The section step by step: before, each cut, what is excised, the flap, and row after row.

One page, frame and scale for all steps; what is new is drawn strong, what was there before faint.
Everything is drawn where it lies before anything is moved: the form of the closed wound is not
computed, and so it is not drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Final, Literal

from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.sheet import paragraph, sheet
from offmidline.figures.page.style import CUT, SMALL_SIZE, THIN
from offmidline.figures.scene import section_dimensions as measured
from offmidline.figures.scene.ground import name_midlines, name_sides
from offmidline.figures.scene.stitches import ROWS
from offmidline.figures.scene.tissue import CUTS, Cut, Section, open_section
from offmidline.figures.scene.tissue_layers import (
    draw_cavity,
    draw_cut,
    draw_kept,
    draw_layers,
    draw_midlines,
    draw_row,
    fill_flap,
    fill_tissue,
    fill_trough,
    hatch_trough,
    keep_cavity_clear,
    keep_flap_clear,
    keep_trough_clear,
)
from offmidline.figures.scene.tissue_names import (
    draw_advance,
    draw_direction,
    draw_lateral_way,
    flap_holds_its_name,
    name_cavity,
    name_excised,
    name_flap,
    name_kept,
    name_recess,
    name_row,
    name_tissues,
    name_wall,
    name_way,
)
from offmidline.figures.view import View, shown
from offmidline.figures.views.section_steps.words import NAME, PARTS, place, step_words
from offmidline.figures.words import say
from offmidline.plan import CasePlan

# What is excised is named from above, where the wound is open, at these shares of depth and width.
_NEAR_SKIN: Final = (0.2,)
_AWAY_FROM_WALLS: Final = (0.15, 0.3, 0.7, 0.85)


def _before(section: Section) -> None:
    """What is there, and where the new midline will be."""
    frame, plan, cut = section.frame, section.plan, section.cut
    section.board.dimensions(
        [
            *measured.offset_dimension(frame, plan),
            measured.cavity_dimension(frame, plan, cut),
            measured.fascia_dimension(frame, plan, cut),
        ]
    )
    name_tissues(section)
    name_cavity(section)


def _wall(side: Literal["medial", "lateral"]) -> Callable[[Section], None]:
    """A wall: where it starts, its angle and its direction."""
    wall: Cut = "medial-wall" if side == "medial" else "lateral-wall"

    def draw(section: Section) -> None:
        frame, plan, cut = section.frame, section.plan, section.cut
        draw_direction(section, wall)
        at_skin = (
            [*measured.reach_dimension(frame, plan, cut)]
            if side == "medial"
            else [measured.width_dimension(frame, plan, cut)]
        )
        section.board.dimensions([*at_skin, measured.wall_angle(frame, plan, cut, side)])
        name_wall(section, wall)

    return draw


def _excised(section: Section) -> None:
    """What is taken, how deep, and what a vertical wall would have taken with it."""
    frame, plan, cut = section.frame, section.plan, section.cut
    section.board.dimensions(
        [
            measured.depth_dimension(frame, plan, cut),
            *measured.base_dimension(frame, plan, cut),
        ]
    )
    keep_trough_clear(section)
    name_excised(section, _NEAR_SKIN, _AWAY_FROM_WALLS)
    name_kept(section)


def _flap(section: Section) -> None:
    """The flap, where there is one, and the recess."""
    frame, plan, cut = section.frame, section.plan, section.cut
    # What names the flap in its middle has to be there before dimensions take the place.
    roomy = flap_holds_its_name(section)
    if roomy:
        name_flap(section)
    keep_flap_clear(section)
    section.board.dimensions(
        [
            *measured.undermining_dimension(frame, plan, cut),
            measured.flap_dimension(frame, plan, cut),
        ]
    )
    if not roomy:
        name_flap(section)
    name_recess(section)


def _deep_row(section: Section) -> None:
    """From the recess to the new midline on the floor."""
    keep_flap_clear(section)
    name_recess(section)
    name_row(section, "deep-row")


def _superficial_row(section: Section) -> None:
    """From the flap's edge to the lateral wall."""
    keep_flap_clear(section)
    name_row(section, "superficial-row")


def _skin(section: Section) -> None:
    """Both edges to the new midline."""
    advance, way = draw_advance(section), draw_lateral_way(section)
    frame, plan, cut = section.frame, section.plan, section.cut
    section.board.dimensions([measured.width_dimension(frame, plan, cut, "skin_gap")])
    for edge, arrow in (("medial_edge", advance), ("lateral_edge", way)):
        if arrow is not None:
            name_way(section, arrow, edge)


# What each step adds and names.
_STEPS: Final = MappingProxyType(
    {
        "before": _before,
        "medial-wall": _wall("medial"),
        "lateral-wall": _wall("lateral"),
        "excised": _excised,
        "flap": _flap,
        "deep-row": _deep_row,
        "superficial-row": _superficial_row,
        "skin": _skin,
    }
)
# The step in which each cut is made; the rows have steps of their own names.
_MADE: Final = MappingProxyType(
    {
        "medial-wall": "medial-wall",
        "lateral-wall": "lateral-wall",
        "floor": "excised",
        "undermining": "flap",
    }
)


def _draw(planned: CasePlan, part: str) -> Drawing:
    """One step of a case."""
    plan = shown(planned)
    note = paragraph("note", say(f"{NAME}.note"), SMALL_SIZE, role="muted")
    page = sheet(planned, say(f"{NAME}.subtitle", **place(part)), [note])
    section = open_section(page, plan)
    name_sides(section.board)
    name_midlines(section.board, plan.outline.offset)
    _draw_state(section, part)
    _STEPS[part](section)
    return section.finish()


def _draw_state(section: Section, part: str) -> None:
    """Everything that is there in a step: what is new strong, what was there before faint."""
    now, removed = PARTS.index(part), PARTS.index("excised")
    fill_tissue(section)
    if now >= PARTS.index("flap"):
        fill_flap(section)
    if now == removed:
        fill_trough(section)
        draw_kept(section)
        hatch_trough(section)
    elif now > removed:
        fill_trough(section, "paper")
    draw_layers(section, whole=now < removed)
    draw_midlines(section)
    if now == 0:
        draw_cavity(section)
    elif now <= removed:
        draw_cavity(section, "faint", THIN)
        keep_cavity_clear(section)
    for row in ROWS:
        if now >= PARTS.index(row):
            draw_row(section, row, *(("suture", CUT) if row == part else ("faint", THIN)))
    for cut in CUTS:
        if now >= PARTS.index(_MADE[cut]):
            draw_cut(section, cut, *(("ink", CUT) if _MADE[cut] == part else ("muted", THIN)))


VIEW: Final[View] = View(
    NAME,
    lambda _: PARTS,
    step_words,
    _draw,
    reads=(
        "case:findings.cavity_depth",
        "case:findings.fascia_depth",
        "technique:offset",
        "technique:reach",
        "technique:clearance_below_cavity",
        "technique:lateral_cut",
        "technique:medial_cut",
        "technique:flap_thickness",
        "technique:undermining",
        "technique:deep_spacing",
        "technique:superficial_spacing",
    ),
)
