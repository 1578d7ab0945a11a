"""The section at the widest level: what is cut, how deep, and what the closure brings together."""

from __future__ import annotations

from typing import Final

from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.sheet import sheet
from offmidline.figures.scene.ground import name_midlines, name_sides
from offmidline.figures.scene.plan_words import new_midline_place
from offmidline.figures.scene.section_dimensions import section_dimensions
from offmidline.figures.scene.tissue import open_section
from offmidline.figures.scene.tissue_layers import draw_section, keep_trough_clear
from offmidline.figures.scene.tissue_names import (
    draw_advance,
    name_advance,
    name_cavity,
    name_excised,
    name_recess,
    name_row,
    name_tissues,
    name_wall,
)
from offmidline.figures.view import View, shown, single
from offmidline.figures.words import Words, isolated, number, say
from offmidline.plan import CasePlan


def _draw(planned: CasePlan) -> Drawing:
    """The section of a case at the widest level."""
    plan = shown(planned)
    section = open_section(sheet(planned, say("section.subtitle")), plan)
    board = section.board
    name_sides(board)
    name_midlines(board, plan.outline.offset)
    draw_section(section)
    arrow = draw_advance(section)
    board.dimensions(section_dimensions(board.frame, plan, section.cut))
    if arrow is not None:
        name_advance(section, arrow)
    name_tissues(section)
    name_cavity(section)
    keep_trough_clear(section)
    # What leaves a leader the least choice first: the medial wall stands between the wound and the
    # flap, where nothing else may be named, and a row may be led to from most sides.
    name_wall(section, "medial-wall")
    name_row(section, "superficial-row")
    name_wall(section, "lateral-wall")
    name_recess(section)
    name_excised(section)
    name_row(section, "deep-row")
    return section.finish()


def _words(planned: CasePlan) -> Words:
    """Title, description and caption of the section."""
    plan = shown(planned)
    marking, outline = plan.marking, plan.outline
    width, bottom = number(outline.width), number(plan.trough.meeting_depth(outline.width))
    flap = {
        "thickness": number(marking.flap_thickness),
        "undermining": number(marking.undermining),
    }
    flat = "" if plan.base_width > 0 else "_none"
    raised = "" if marking.undermining > 0 else "_none"
    return Words(
        title=say("section.title", case=isolated(planned.case.title)),
        description=say(
            "section.description",
            width=width,
            level=number(outline.widest_level),
            medial=number(-outline.reach),
            far=number(outline.offset + outline.half_width),
            new_midline=new_midline_place(plan),
            floor=say(
                f"section.floor{flat}",
                depth=number(marking.depth),
                base=number(plan.base_width),
                bottom=bottom,
            ),
            raised=say(f"section.raised{raised}", **flap),
            medial_cut=number(marking.medial_cut_deg),
            lateral_cut=number(marking.lateral_cut_deg),
            cavity=number(planned.case.findings.cavity_depth),
            fascia=number(planned.case.findings.fascia_depth),
            deep_gap=number(plan.deep_gap),
        ),
        caption=say(
            "section.caption",
            width=width,
            depth=bottom,
            lateral=number(marking.lateral_cut_deg),
            flap=say(f"section.flap{raised}", **flap),
        ),
    )


VIEW: Final[View] = single(
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
