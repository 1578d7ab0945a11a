"""The surface that sections share: the tissue in transverse section on a page.

True to scale in both directions; seen from the feet with the patient prone, so that left and right
are those of the marking. Depth counts down from the skin, which is drawn flat. Schematic are only
the skin's thickness, the form of the cavity (its bottom is measured) and the level of the
superficial row. ``tissue_layers`` draws on it, ``tissue_names`` names what is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import Drawing, Frame, Group, Point
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import ROOM, SCALES, Block, Sheet
from offmidline.figures.page.style import TEXT_SIZE
from offmidline.figures.scene.cross_section import CrossSection, cross_section
from offmidline.figures.scene.section_dimensions import LANE
from offmidline.figures.scene.stitches import RowName
from offmidline.figures.scene.surface import GREATEST_HEIGHT, HEAD_LINE, HEAD_ROW, HEADS
from offmidline.geometry.walls import lateral_wedge
from offmidline.plan import Plan

# mm on the page: above the skin (heads, a row of labels, the lane), below the fascia, at the sides.
_ABOVE: Final = HEADS + LANE + 7.0
_BELOW: Final = 15.0
_LEAST_BELOW: Final = 11.0
_MEDIAL_ROOM: Final = 18.0
_LATERAL_ROOM: Final = 22.0
_MEDIAL_SHARE: Final = 0.45
# Areas are kept clear of labels in steps of this.
SCAN: Final = 0.5

Cut = Literal["medial-wall", "lateral-wall", "floor", "undermining"]
CUTS: Final[tuple[Cut, ...]] = ("medial-wall", "lateral-wall", "floor", "undermining")


@dataclass(frozen=True)
class Section:
    """A board for the section of a plan at the widest level, and the points that it draws."""

    drawing: Drawing
    board: Board
    plan: Plan
    cut: CrossSection

    @property
    def frame(self) -> Frame:
        """Where the section's frame lies on the page; depth counts downwards."""
        return self.board.frame

    @property
    def sides(self) -> tuple[float, float]:
        """x in the plan's frame of the field's two sides, the smaller first."""
        frame, (left, _), (right, _) = self.frame, self.board.low, self.board.high
        one, other = ((edge - frame.x) / (frame.sign * frame.scale) for edge in (left, right))
        return min(one, other), max(one, other)

    @property
    def top(self) -> float:
        """How far (mm of the patient) above the skin the midlines begin, below their names."""
        return (self.board.high[1] - HEAD_ROW - HEAD_LINE - self.frame.y) / self.frame.scale

    def row(self, row: RowName) -> list[Point]:
        """The two points that a row joins."""
        if row == "deep-row":
            return [self.cut.recess, self.cut.hold]
        level = self.cut.superficial
        return [(x, level) for x in self.cut.walls.at(level)]

    def line(self, cut: Cut) -> list[Point]:
        """The points of a cut; empty where there is nothing of it to cut."""
        walls, thickness = self.cut.walls, self.plan.marking.flap_thickness
        if cut == "medial-wall":
            return list(walls.medial)
        if cut == "lateral-wall":
            return list(walls.lateral)
        if cut == "floor":
            return [] if walls.meet else [walls.medial[-1], walls.lateral[-1]]
        if self.plan.marking.undermining <= 0:
            return []
        return [(walls.at(thickness)[0], thickness), self.cut.recess]

    @property
    def wedge(self) -> list[Point]:
        """What lies between the lateral wall and a vertical one, as a ring."""
        return lateral_wedge(self.plan.trough, self.cut.medial, self.cut.lateral)

    def finish(self) -> Drawing:
        """The drawing, when nothing more is added to this section."""
        self.board.finish()
        return self.drawing


@dataclass(frozen=True)
class SectionPanel:
    """One of several sections on a page: the name of its group, what stands above it, its plan."""

    gid: str
    title: str
    plan: Plan


def open_section(page: Sheet, plan: Plan) -> Section:
    """A page at the largest scale at which a plan's section and its dimensions fit."""
    cut = cross_section(plan)
    fitted = _fitted([(plan, cut)], GREATEST_HEIGHT)
    (height,) = fitted.heights
    frame = page.frame((fitted.x, height - _ABOVE), fitted.scale, plan.marking.side, down=True)
    drawing, corner = page.open(height, fitted.scale, frame)
    return Section(drawing, Board(drawing, frame, page.low, corner), plan, cut)


def open_sections(page: Sheet, panels: Sequence[SectionPanel]) -> list[Section]:
    """Sections one above the other on one page, at one scale and with their midlines in one line.

    Each is a group of the drawing, under its name, with its title above it; they share the drawing.
    """
    cuts = [(panel.plan, cross_section(panel.plan)) for panel in panels]
    titles = [
        Block(
            f"title-{panel.gid}",
            wrap(panel.title, ROOM, TEXT_SIZE, bold=True),
            TEXT_SIZE,
            bold=True,
        )
        for panel in panels
    ]
    bands = sum(title.height for title in titles)
    fitted = _fitted(cuts, GREATEST_HEIGHT - bands)
    drawing, (right, top) = page.open(sum(fitted.heights) + bands, fitted.scale)
    field = top - page.low[1]
    sections = []
    for panel, (plan, cut), title, height in zip(panels, cuts, titles, fitted.heights, strict=True):
        drawing.add(*title.writings(page.low[1] + field))
        field -= title.height
        high = (right, page.low[1] + field)
        origin = (fitted.x, field - _ABOVE)
        frame = page.frame(origin, fitted.scale, plan.marking.side, down=True)
        field -= height
        group = Group(panel.gid, frame)
        drawing.add(group)
        low = (page.low[0], page.low[1] + field)
        sections.append(Section(drawing, Board(group, frame, low, high), plan, cut))
    return sections


@dataclass(frozen=True)
class _Fitted:
    """A scale at which sections fit one above the other: where their midline lies, from the
    field's left side, and how high each is (mm on the page).
    """

    scale: float
    x: float
    heights: tuple[float, ...]


def _fitted(cuts: Sequence[tuple[Plan, CrossSection]], most: float) -> _Fitted:
    """The largest scale at which sections with their dimensions are no wider than the page and
    together no higher than ``most`` (mm).
    """
    for scale in SCALES:
        lefts, rights = zip(*(_needs(plan, cut, scale) for plan, cut in cuts), strict=True)
        spare = ROOM - max(lefts) - max(rights)
        heights = tuple(_height(plan, scale) for plan, _ in cuts)
        if spare >= 0 and sum(heights) <= most:
            break
    share = _MEDIAL_SHARE if cuts[0][0].marking.side == "right" else 1 - _MEDIAL_SHARE
    return _Fitted(scale, max(lefts) + spare * share, heights)


def _needs(plan: Plan, cut: CrossSection, scale: float) -> tuple[float, float]:
    """What a section needs to the left and to the right of the midline, mm on the page."""
    low, high = cut.xs
    medial, lateral = _MEDIAL_ROOM - scale * low, _LATERAL_ROOM + scale * high
    return (medial, lateral) if plan.marking.side == "right" else (lateral, medial)


def _height(plan: Plan, scale: float) -> float:
    """How high the field of a section is, mm on the page."""
    marking = plan.marking
    deepest = max(marking.depth, marking.flap_thickness, plan.case.findings.fascia_depth)
    # What the floor needs below it may lie in the fat.
    below = max(_LEAST_BELOW, _BELOW - scale * (deepest - marking.depth))
    return scale * deepest + _ABOVE + below
