"""A mistake in depth: the right section and the wrong one, one above the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

import numpy as np

from offmidline import rules
from offmidline.figures.page.drawing import Drawing, polyline
from offmidline.figures.page.measures import Measure
from offmidline.figures.page.sheet import ROOM, sheet
from offmidline.figures.page.style import DOUBLE_DOT
from offmidline.figures.scene.cross_section import CrossSection
from offmidline.figures.scene.ground import name_midlines, name_sides
from offmidline.figures.scene.section_dimensions import (
    depth_dimension,
    flap_dimension,
    undermining_dimension,
    wall_angle,
)
from offmidline.figures.scene.tissue import CUTS, Cut, Section, SectionPanel, open_sections
from offmidline.figures.scene.tissue_layers import (
    draw_cavity,
    draw_cut,
    draw_layers,
    draw_midlines,
    fill_flap,
    fill_tissue,
    fill_trough,
    lines_in_cavity,
    lines_in_flap,
)
from offmidline.figures.scene.tissue_names import name_cavity, name_flap, name_points, name_tissues
from offmidline.figures.views.mistakes.pair import (
    Difference,
    Pair,
    name_difference,
    shade,
    verdict_table,
)
from offmidline.figures.words import say
from offmidline.geometry.difference import only_in
from offmidline.plan import CasePlan

# The floor ends where the walls do: what differs of it lies on it.
_TOLD: Final[tuple[Cut, ...]] = tuple(cut for cut in CUTS if cut != "floor")
_ANCHORS: Final = 7
# The share of a cut in which it runs elsewhere than another one.
_OTHERWISE: Final = (0.6, 0.95)


def draw_section_pair(planned: CasePlan, shown: Pair) -> Drawing:
    """The two sections, the difference shaded in the wrong one, and the rules that are not met."""
    page = sheet(planned, say("section.subtitle"), [verdict_table(shown)])
    panels = [SectionPanel(gid, shown.panel(gid), plan) for gid, plan, _ in shown.plans]
    right, wrong = open_sections(page, panels)
    for section in (right, wrong):
        _draw_panel(section, shown, None if section is right else right)
    return right.drawing


def _draw_panel(section: Section, shown: Pair, right: Section | None) -> None:
    """One of the two sections; the right one is laid under the wrong one."""
    board = section.board
    differences = () if right is None else _differing(right.cut, section.cut)
    fill_tissue(section)
    fill_flap(section)
    fill_trough(section)
    for difference, _ in differences:
        shade(board, difference)
    name_sides(board)
    name_midlines(board, section.plan.outline.offset)
    draw_layers(section)
    draw_midlines(section)
    draw_cavity(section)
    if right is not None:
        for cut in _changed(section, right):
            board.line(f"right-{cut}", polyline(right.line(cut)), "muted", DOUBLE_DOT)
    for cut in CUTS:
        draw_cut(section, cut)
    # An angle in the cavity or in the flap would seem to be theirs.
    with board.kept_clear([*lines_in_cavity(section), *lines_in_flap(section)]):
        board.dimensions(
            measure
            for rule in sorted(shown.mistake.breaks)
            for measure in _DIMENSIONS.get(rule, _no_dimension)(section)
        )
    for difference, word in differences:
        name_difference(board, difference, say(f"mistakes.{word}"), (), ROOM)
    if right is None:
        name_cavity(section)
        name_flap(section)
        name_tissues(section)
    else:
        _name_right_cut(section, right)
    section.finish()


def _differing(right: CrossSection, wrong: CrossSection) -> list[tuple[Difference, str]]:
    """What is excised too much and what is left or, under a trough of the right form, what the flap
    lacks; each with the word for it.
    """
    cut, asked = np.array(wrong.walls.ring), np.array(right.walls.ring)
    found = [("excess", cut, asked, "excess"), ("missing", asked, cut, "missing")]
    if wrong.walls == right.walls:
        found = []
        if _is_raised(wrong) and _is_raised(right):
            found = [("missing", np.array(right.flap), np.array(wrong.flap), "flap_missing")]
    return [(Difference(gid, only_in(one, other)), word) for gid, one, other, word in found]


def _is_raised(cut: CrossSection) -> bool:
    """Whether the flap is an area: the undermining passes the wall."""
    return cut.recess[0] < cut.walls.at(cut.recess[1])[0]


def _changed(section: Section, right: Section) -> list[Cut]:
    """The cuts that run otherwise in the right section."""
    return [cut for cut in _TOLD if section.line(cut) != right.line(cut)]


def _name_right_cut(section: Section, right: Section) -> None:
    """The right course of a cut that runs otherwise."""
    for cut in _changed(section, right)[:1]:
        start, *_, end = np.array(right.line(cut))
        # All cuts begin where they should and end elsewhere.
        along = start + np.linspace(*_OTHERWISE, _ANCHORS)[:, None] * (end - start)
        name_points(section, "right-cut", say("mistakes.right_cut"), along)


def _no_dimension(_: Section) -> list[Measure]:
    return []


# The dimension that shows how far a rule is kept.
_DIMENSIONS: Final[Mapping[str, Callable[[Section], Iterable[Measure]]]] = {
    rules.DEPTH: lambda one: [depth_dimension(one.frame, one.plan, one.cut)],
    rules.LATERAL_CUT: lambda one: [wall_angle(one.frame, one.plan, one.cut, "lateral")],
    rules.MEDIAL_CUT: lambda one: [wall_angle(one.frame, one.plan, one.cut, "medial")],
    rules.FLAP_THICKNESS: lambda one: [flap_dimension(one.frame, one.plan, one.cut)],
    rules.UNDERMINING: lambda one: undermining_dimension(one.frame, one.plan, one.cut),
}
