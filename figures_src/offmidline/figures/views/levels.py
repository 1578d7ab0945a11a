"""The trough from level to level: its section at equally spaced levels, to scale, beside the area
of the section by level, whose integral is the volume.

The sections lie as far apart as their levels on the plot, so that each stands at its own place of
the curve. Drawn is the trough alone, since nobody measured the cavity at other levels.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from offmidline.figures.page.axes import Axes, Axis, axes, below
from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import (
    Drawing,
    Frame,
    Group,
    Point,
    Writing,
    polyline,
    segments,
)
from offmidline.figures.page.labels import Column, Label
from offmidline.figures.page.metrics import ASCENT
from offmidline.figures.page.plot import Plot, open_plot
from offmidline.figures.page.sheet import SCALES, sheet
from offmidline.figures.page.style import (
    CUT,
    LINE_SPACING,
    MARGIN,
    PAGE_WIDTH,
    SMALL_SIZE,
    SYMBOL,
    Role,
)
from offmidline.figures.scene.ground import name_midlines, name_sides
from offmidline.figures.scene.surface import HEAD_LINE, HEAD_ROW, HEADS
from offmidline.figures.scene.tissue_layers import draw_both_midlines
from offmidline.figures.view import View, shown, single
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.levels import SectionAt, area_by_level, sections_by_level
from offmidline.geometry.walls import Walls, walls
from offmidline.plan import CasePlan, Plan

COUNT: Final = 7
# Straight pieces of the curve: its area then is the volume's to less than 0.1 %.
_PIECES: Final = 80
# mm on the page: the column of texts, the skin drawn beside the widest section, between sections
# and plot, and what the plot's own texts need at least.
_COLUMN: Final = 25.0
_SKIN: Final = 4.0
_GAP: Final = 14.0
_LEAST_PLOT: Final = 50.0
# What half of the last value's text takes beyond the plot, and between the names of the midlines
# and that of the levels' axis.
_LAST_TICK: Final = 5.0
_ASIDE: Final = 4.5
# Between one section's floor and the next one's skin, the least from skin to skin, and the height
# of the whole, mm on the page.
_APART: Final = 4.5
_LEAST_PITCH: Final = 12.4
_HIGHEST: Final = 150.0
# Free beyond the greatest area, as a share of it.
_BEYOND: Final = 0.06
# Fat drawn below the floor.
_BELOW_FLOOR: Final = 1.5


@dataclass(frozen=True)
class _Layout:
    """Where sections and plot lie, mm on the page from the field's left side.

    Attributes:
        scale: of the sections.
        pitch: from one section's skin to the next one's.
        low, high: least and greatest x of the sections, mm of the patient.
        deepest: how deep the deepest of them goes, mm of the patient.
    """

    scale: float
    pitch: float
    low: float
    high: float
    deepest: float

    @property
    def across(self) -> float:
        """What the sections take with the skin beside them."""
        return self.scale * (self.high - self.low) + 2 * _SKIN

    @property
    def up(self) -> float:
        """From the cranial to the caudal apex."""
        return (COUNT + 1) * self.pitch


def _laid_out(plan: Plan, cuts: Sequence[Walls]) -> _Layout:
    """The largest scale at which the sections leave the plot its room."""
    xs = [x for cut in cuts for x, _ in cut.ring] + [0.0, plan.outline.offset]
    deepest = max(cut.bottom for cut in cuts)
    room = PAGE_WIDTH - 2 * MARGIN - _COLUMN - _GAP - _LEAST_PLOT - _LAST_TICK
    for scale in SCALES:
        pitch = round(max(_LEAST_PITCH, scale * deepest + _APART), 1)
        found = _Layout(scale, pitch, min(xs), max(xs), deepest)
        if found.across <= room and found.up <= _HIGHEST:
            break
    return found


def _draw(planned: CasePlan) -> Drawing:
    """The sections of a case at seven levels, and the plot beside them."""
    plan = shown(planned)
    sections = sections_by_level(plan.outline, plan.trough, COUNT)
    cuts = [walls(plan.trough, one.medial, one.lateral) for one in sections]
    laid = _laid_out(plan, cuts)
    across = Axis(0.0, (1 + _BEYOND) * plan.trough_area_mm2, say("levels.area_axis"))
    left = MARGIN + _COLUMN + laid.across
    foot = below(across, PAGE_WIDTH - MARGIN - left)
    page = sheet(planned, say("levels.subtitle"))
    drawing, corner = page.open(HEADS + laid.up + foot, laid.scale)
    # Tenths of a millimetre keep the coordinates of the published file short.
    top = round(corner[1] - HEADS, 1)
    _draw_sections(drawing, plan, laid, (sections, cuts), (page.low[1], top))
    drawn = axes(
        (left + _GAP, top - laid.up),
        (corner[0] - left - _GAP - _LAST_TICK, laid.up),
        across,
        Axis(plan.outline.caudal_apex, plan.outline.cranial_apex, say("levels.level_axis")),
    )
    _draw_plot(drawing, plan, sections, drawn, ((left + _ASIDE, page.low[1]), corner))
    return drawing


def _draw_sections(
    drawing: Drawing,
    plan: Plan,
    laid: _Layout,
    shown_at: tuple[Sequence[SectionAt], Sequence[Walls]],
    field: tuple[float, float],
) -> None:
    """All sections one below the other, midline and new midline through them, between two heights
    of the page: the field's lower end and the level of the cranial apex.
    """
    bottom, top = field
    head = top + HEADS
    left, right = MARGIN + _COLUMN, MARGIN + _COLUMN + laid.across
    side = plan.marking.side
    start = left + _SKIN - laid.scale * laid.low
    x = round(start if side == "right" else left + right - start, 1)
    ends = laid.low - _SKIN / laid.scale, laid.high + _SKIN / laid.scale
    for index, (section, cut) in enumerate(zip(*shown_at, strict=True)):
        frame = Frame(laid.scale, x, top - (index + 1) * laid.pitch, side, down=True)
        group = Group(f"level-{index + 1}", frame)
        drawing.add(group)
        _draw_one(Board(group, frame, (left, bottom), (right, head)), cut, ends, laid.deepest)
        drawing.add(*_texts(index, section, frame.y))
    frame = Frame(laid.scale, x, top - laid.pitch, side, down=True)
    group = Group("through", frame)
    drawing.add(group)
    board = Board(group, frame, (MARGIN, bottom), (right, head))
    name_sides(board)
    name_midlines(board, plan.outline.offset)
    first = (head - HEAD_ROW - HEAD_LINE - frame.y) / laid.scale
    last = (laid.up - laid.pitch) / laid.scale
    draw_both_midlines(board, plan.outline.offset, first, last)


def _draw_one(board: Board, cut: Walls, ends: tuple[float, float], deepest: float) -> None:
    """One section: the skin beside it, its walls and its floor."""
    low, high = ends
    below_floor = deepest + _BELOW_FLOOR / board.frame.scale
    fat = [(low, 0.0), (high, 0.0), (high, below_floor), (low, below_floor)]
    board.area("fat", polyline(fat, closed=True), "fat-tint")
    board.area("trough", polyline(cut.ring, closed=True), "specimen-tint")
    skin = [((low, 0.0), cut.medial[0]), (cut.lateral[0], (high, 0.0))]
    board.line("skin", segments(skin), "ink", SYMBOL)
    for gid, points in (("medial-wall", cut.medial), ("lateral-wall", cut.lateral)):
        board.edge(gid, polyline(points), "ink", CUT)
    if not cut.meet:
        board.edge("floor", polyline([cut.medial[-1], cut.lateral[-1]]), "ink", CUT)


def _texts(index: int, section: SectionAt, y: float) -> Iterator[Writing]:
    """Level and width of a section, beside its skin."""
    top = y + SMALL_SIZE * ASCENT / 2
    words: tuple[tuple[str, str, Role], ...] = (
        ("level", say("levels.level", value=number(section.level)), "ink"),
        ("width", say("levels.width", value=number(section.width)), "muted"),
    )
    for line, (word, text, role) in enumerate(words):
        baseline = top - SMALL_SIZE * (ASCENT + LINE_SPACING * line)
        yield Writing(f"text-{word}-{index + 1}", text, MARGIN, baseline, SMALL_SIZE, role)


def _draw_plot(
    drawing: Drawing,
    plan: Plan,
    sections: Sequence[SectionAt],
    drawn: Axes,
    field: tuple[Point, Point],
) -> None:
    """The area of the section by level, with the levels of the sections and the volume."""
    outline = plan.outline
    plot: Plot = open_plot(drawing, "plot", drawn, *field)
    # Close together at the apexes, where the curve bends most.
    away = np.cos(np.linspace(0.0, np.pi, _PIECES + 1))
    levels = outline.widest_level - outline.half_length * away
    curve = np.column_stack([area_by_level(outline, plan.trough, levels), levels])
    plot.area("volume", curve, "specimen-tint", to="y")
    plot.guides("levels", [section.level for section in sections])
    plot.draw_axes()
    plot.curve("area", curve, "ink", CUT)
    points = [(section.area_mm2, section.level) for section in sections]
    plot.board.knots("sections", points, "ink")
    _name_volume(plot, plan, sections)
    plot.board.finish()


def _name_volume(plot: Plot, plan: Plan, sections: Sequence[SectionAt]) -> None:
    """What the area is, centred between the axis and the curve; in fewer words where there is
    little room between them.
    """
    value = number(plan.volume_ml)
    # Half-way between two guide lines there is room for two lines of text.
    inside = [
        ((one.area_mm2 + other.area_mm2) / 4, (one.level + other.level) / 2)
        for one, other in pairwise(sections)
    ]
    frame = plot.axes.frame
    axis = frame.at(0.0, plan.outline.caudal_apex)[0]
    anchors = tuple((float(x), float(y)) for x, y in frame.page(inside))
    for lines in (
        (say("levels.under_curve"), say("levels.volume", value=value)),
        (say("levels.volume_alone"), say("levels.millilitres", value=value)),
    ):
        label = Label("label-volume", lines, anchors, dot=True, size=SMALL_SIZE)
        middles = [x for x, _ in anchors if 2 * (x - axis) > label.width]
        if middles:
            break
    columns = tuple(Column(x - label.width / 2, "start") for x in middles)
    plot.board.label(replace(label, columns=columns))


def _words(planned: CasePlan) -> Words:
    """Title, description and caption."""
    plan = shown(planned)
    sections = sections_by_level(plan.outline, plan.trough, COUNT)
    values = {"count": COUNT, "volume": number(plan.volume_ml)}
    return Words(
        title=say("levels.title", case=isolated(planned.case.title)),
        description=say(
            "levels.description",
            **values,
            side=say(plan.marking.side),
            caudal=number(plan.outline.caudal_apex),
            cranial=number(plan.outline.cranial_apex),
            area=number(plan.trough_area_mm2),
            sections=" ".join(map(_told, sections)),
        ),
        caption=say(
            "levels.caption",
            **values,
            high=number(sections[0].level),
            low=number(sections[-1].level),
        ),
    )


def _told(section: SectionAt) -> str:
    """One section in words."""
    return say(
        "levels.section",
        level=number(section.level),
        medial=number(section.medial),
        lateral=number(section.lateral),
        width=number(section.width),
        depth=number(section.depth),
        area=number(section.area_mm2),
    )


VIEW: Final[View] = single(
    "levels",
    _words,
    _draw,
    reads=(
        "case:findings",
        "technique:clearance_below_cavity",
        "technique:lateral_cut",
        "technique:medial_cut",
    ),
)
