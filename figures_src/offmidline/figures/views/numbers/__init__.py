"""The sheet of numbers: marking and section as small panels, and all numbers of a case in a table,
on one page for print.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from offmidline.figures.page import room
from offmidline.figures.page.board import Board
from offmidline.figures.page.dimension import ARROW_LENGTH, TAIL, fits_inside
from offmidline.figures.page.drawing import Drawing, Frame, Group, Point
from offmidline.figures.page.sheet import (
    BAR_HEIGHT,
    ROOM,
    SCALES,
    paragraph,
    ratio_words,
    scale_bar,
    sheet,
)
from offmidline.figures.page.style import PAGE_WIDTH, SMALL_SIZE, TEXT_SIZE
from offmidline.figures.page.table import RowGroup, balanced
from offmidline.figures.scene.cross_section import CrossSection, cross_section
from offmidline.figures.scene.ground import name_midlines, name_sides
from offmidline.figures.scene.layers import draw_findings, draw_lines, label_findings, plan_content
from offmidline.figures.scene.marking_dimensions import (
    caudal_apex_measure,
    length_measure,
    offset_measure,
    verge_measure,
    width_measures,
)
from offmidline.figures.scene.section_dimensions import (
    LANE,
    depth_dimension,
    width_dimension,
)
from offmidline.figures.scene.surface import HEADS, Panel, fit_contents
from offmidline.figures.scene.tissue import Section
from offmidline.figures.scene.tissue_layers import draw_section
from offmidline.figures.view import View, shown, single
from offmidline.figures.views.numbers.rows import (
    dose_source,
    number_groups,
    number_sentences,
    patient,
)
from offmidline.figures.words import Words, isolated, number, say
from offmidline.plan import CasePlan, Plan

# Two columns, mm on the page, and the greatest height of a page with a marking at 1:2.
_GAP: Final = 4.0
_COLUMN: Final = (ROOM - _GAP) / 2
_GREATEST_HEIGHT: Final = 250.0
# A marking at less than this scale has no room for its offset; one beside which there is little
# room, or a label has found none, has fewer dimensions and no labels.
_LEAST_SCALE: Final = 0.5
# What the marking keeps for labels, and the section above the skin, below the fascia and beside.
_LABELS: Final = 24.0
# What the upright text of the length takes beyond its lane.
_UPRIGHT: Final = 5.0
_PATIENT_LINES: Final = 3
_LEAST_REST: Final = 9.0
_ABOVE_SKIN: Final = HEADS + LANE + TEXT_SIZE
_BELOW_FASCIA: Final = 3.0
_ARROW: Final = ARROW_LENGTH + TAIL + 1.0
_MEDIAL_ROOM: Final = 3.0
_LATERAL_ROOM: Final = 24.0
_BAR: Final = BAR_HEIGHT + 2.0


def _draw(planned: CasePlan) -> Drawing:
    """The sheet of a case."""
    plan = shown(planned)
    side = say(plan.marking.side)
    subtitle = say("numbers.subtitle", side=side, width=number(PAGE_WIDTH))
    source = dose_source(plan)
    more = [paragraph("dose-source", source, SMALL_SIZE)] if source else []
    page = sheet(planned, subtitle, more, barred=False)
    page = replace(
        page,
        head=(*page.head, paragraph("patient", patient(plan), SMALL_SIZE, most=_PATIENT_LINES)),
    )
    groups = number_groups(plan)
    for scale in SCALES[1:]:
        layout = _Layout(plan, scale, groups)
        if page.height(layout.height) <= _GREATEST_HEIGHT and layout.fitted.rest >= _LEAST_REST:
            break
    drawing, (_, top) = page.open(layout.height - room.current().spare)
    lefts = page.low[0], page.low[0] + _COLUMN + _GAP
    _draw_marking(drawing, plan, layout, (lefts[0], top))
    _draw_cut(drawing, plan, layout, (lefts[1], top))
    for left, panel, column in zip(lefts, layout.panels, layout.columns, strict=True):
        below = top - panel
        for group in column:
            drawing.add(*group.writings(left, below, _COLUMN))
            below -= group.height(_COLUMN)
    return drawing


class _Layout:
    """How high the panels and the columns of a sheet are at a scale of the marking."""

    def __init__(self, plan: Plan, scale: float, groups: Sequence[RowGroup]) -> None:
        """The heights of the panels with their scale bars, and how the groups share the columns."""
        content = plan_content(plan, flap=False)
        low, high = content.xs
        content = replace(content, xs=(low, high + _UPRIGHT / scale))
        self.panel = Panel("marking", "", content, plan.marking.side)
        self.fitted = fit_contents([self.panel.content], _COLUMN, _LABELS, [scale])
        self.cut = cross_section(plan)
        self.cut_scale = _cut_scale(self.cut)
        section = _ABOVE_SKIN + _below_skin(plan, self.cut_scale)
        self.panels = (self.fitted.height + _BAR, section + _BAR)
        self.columns = balanced(groups, _COLUMN, self.panels)
        self.height = max(
            panel + sum(group.height(_COLUMN) for group in column)
            for panel, column in zip(self.panels, self.columns, strict=True)
        )


def _cut_scale(cut: CrossSection) -> float:
    """The largest scale of reduction at which a section fits into a column."""
    low, high = cut.xs
    for scale in SCALES[1:]:
        if scale * (high - low) + _MEDIAL_ROOM + _LATERAL_ROOM <= _COLUMN:
            break
    return scale


def _below_skin(plan: Plan, scale: float) -> float:
    """What a section takes below the skin, mm on the page."""
    marking = plan.marking
    deepest = max(marking.depth, marking.flap_thickness, plan.case.findings.fascia_depth)
    below = scale * deepest + _BELOW_FASCIA
    # Arrows outside a short depth stand below the floor.
    return (
        below if fits_inside(scale * marking.depth) else max(below, scale * marking.depth + _ARROW)
    )


def _draw_marking(drawing: Drawing, plan: Plan, layout: _Layout, corner: Point) -> None:
    """The marking with its main dimensions in a field below a corner of the page."""
    fitted, panel = layout.fitted, layout.panel
    left, top = corner
    low = (left, top - layout.panels[0] + _BAR)
    x, y = fitted.origin(panel.content, panel.side)
    frame = Frame(
        fitted.scale,
        round(left + x, 1),
        round(low[1] + y, 1),
        panel.side,
    )
    surface = fitted.surface(drawing, panel, frame, low, top)
    draw_lines(surface, plan, flap=False, coccyx=False)
    pits, openings = draw_findings(surface, plan)
    found = [*pits, *openings]
    reduced = fitted.scale < _LEAST_SCALE
    wanted = [] if reduced else [*offset_measure(surface, plan.outline, found)]
    wanted += width_measures(surface, plan.outline, found, reach=False)
    wanted.append(length_measure(surface, plan.outline, found))
    if reduced or fitted.rest < _LABELS or room.current().spare:
        surface.board.dimensions(wanted)
    else:
        wanted += caudal_apex_measure(surface, plan.outline, found)
        wanted += verge_measure(surface, plan)
        surface.board.dimensions(wanted)
        label_findings(surface, plan, pits, openings)
    surface.finish()
    _add_bar(surface.board, fitted.scale, low)


def _draw_cut(drawing: Drawing, plan: Plan, layout: _Layout, corner: Point) -> None:
    """The section with its main dimensions in a field below a corner of the page."""
    cut, scale, side = layout.cut, layout.cut_scale, plan.marking.side
    left, top = corner
    low = (left, top - layout.panels[1] + _BAR)
    medial = _MEDIAL_ROOM - scale * cut.xs[0]
    x = left + (medial if side == "right" else _COLUMN - medial)
    frame = Frame(scale, round(x, 1), round(top - _ABOVE_SKIN, 1), side, down=True)
    group = Group("section", frame)
    drawing.add(group)
    section = Section(drawing, Board(group, frame, low, (left + _COLUMN, top)), plan, cut)
    name_sides(section.board)
    name_midlines(section.board, plan.outline.offset)
    draw_section(section)
    section.board.dimensions(
        [
            width_dimension(frame, plan, cut),
            depth_dimension(frame, plan, cut),
        ]
    )
    section.finish()
    _add_bar(section.board, scale, low)


def _add_bar(board: Board, scale: float, low: Point) -> None:
    """The scale bar of a panel, below its field."""
    words = ratio_words(scale)
    board.page.add(*scale_bar(low[1], scale, words, left=low[0], right=low[0] + _COLUMN))


def _words(planned: CasePlan) -> Words:
    """Title, description and caption of the sheet."""
    plan = shown(planned)
    side = say(plan.marking.side)
    return Words(
        title=say("numbers.title", case=isolated(planned.case.title)),
        description=say("numbers.description", side=side, numbers=number_sentences(plan)),
        caption=say(
            "numbers.caption",
            side=side,
            length=number(plan.outline.length),
            width=number(plan.outline.width),
            volume=number(plan.volume_ml),
        ),
    )


VIEW: Final[View] = single(
    "numbers",
    _words,
    _draw,
    reads=("case:patient", "case:findings", "case:marking", "case:closure", "case:infiltration"),
)
