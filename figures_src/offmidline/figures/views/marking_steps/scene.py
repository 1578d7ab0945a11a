"""The scene of a marking in steps: one page, frame and scale, and what several steps draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import polyline
from offmidline.figures.page.labels import Label
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import sheet
from offmidline.figures.page.style import CENTRE, TEXT_SIZE, THIN
from offmidline.figures.scene.ground import draw_midline
from offmidline.figures.scene.layers import plan_content
from offmidline.figures.scene.surface import Surface, open_surface
from offmidline.figures.view import shown
from offmidline.figures.views.marking_steps.near_openings import NearOpenings, near_openings
from offmidline.figures.views.marking_steps.words import step_name
from offmidline.figures.words import say
from offmidline.geometry.outline import Outline
from offmidline.plan import CasePlan, Plan

# On the page, mm: half the width of the bar over the disease; room for a dimension below the caudal
# apex (mm of the plan); how far from where it points a label needs no leader.
BAR_HALF: Final = 2.4
_BELOW: Final = 8.0
_NO_LEADER: Final = 60.0


@dataclass(frozen=True)
class Scene:
    """What the steps are drawn from, and where."""

    planned: CasePlan
    plan: Plan
    straight: Outline
    surface: Surface
    near: NearOpenings

    @cached_property
    def disease(self) -> tuple[float, float]:
        """Levels between which the pits lie, rims included."""
        return self.planned.case.findings.midline_extent


def scene_of(planned: CasePlan, step: str) -> Scene:
    """The page of a step: the same as that of every other one, but for what it says."""
    plan = shown(planned)
    page = sheet(planned, say("marking-steps.subtitle", step=step_name(step)))
    straight_one = replace(plan.outline, caudal_shift=0.0)
    near = near_openings(planned, plan)
    x, y = straight_one.caudal_point
    more = [straight_one.ring(32), np.array([(x, y - _BELOW)])]
    if plan.openings:
        more += [near.trace.points, near.limit]
    content = plan_content(plan, flap=False, more=more)
    return Scene(planned, plan, straight_one, open_surface(page, content, plan.marking.side), near)


def draw_disease(scene: Scene) -> None:
    """The bar over the stretch of the midline that the pits take up."""
    low, high = scene.disease
    half = BAR_HALF / scene.surface.board.frame.scale
    bar = polyline([(-half, low), (half, low), (half, high), (-half, high)], closed=True)
    scene.surface.board.edge("disease-extent", bar, "cavity", THIN, fill="cavity-tint")


def draw_whole_new_midline(scene: Scene) -> None:
    """The new midline over the whole height of the field, as before there is an outline."""
    x = scene.plan.outline.offset
    lowest, highest = scene.surface.levels
    line = polyline([(x, lowest), (x, highest)])
    scene.surface.board.line("new-midline", line, "newline", CENTRE)


def draw_midlines_faintly(scene: Scene) -> None:
    """Midline and new midline where something else is new."""
    with scene.surface.board.faded():
        draw_midline(scene.surface)
        draw_whole_new_midline(scene)


def say_beside(scene: Scene, gid: str, text: str) -> None:
    """A sentence that belongs to the whole picture, on the lateral side."""
    board, column = scene.surface.board, scene.surface.lateral
    outline = scene.straight
    x = column.x + board.frame.sign
    points = tuple(
        (x, board.frame.at(0, float(y))[1])
        for y in np.linspace(outline.cranial_apex, outline.widest_level, 5)[1:]
    )
    lines = wrap(text, scene.surface.room, TEXT_SIZE)
    board.label(Label(f"label-{gid}", lines, points, (column,), _NO_LEADER))
