"""Sections side by side on one page: one scale, one midline, each in its own group."""

from __future__ import annotations

import numpy as np
import pytest
from tests.figures.published import FIGURE, Published, extremes, planned, shown
from tests.strategies import shipped_plans

from offmidline.figures.page import export
from offmidline.figures.page.drawing import Shape
from offmidline.figures.page.sheet import sheet
from offmidline.figures.scene.tissue import CUTS, SectionPanel, open_section, open_sections
from offmidline.figures.scene.tissue_layers import draw_section, hatch_trough
from offmidline.geometry.walls import walls
from offmidline.plan import CasePlan, Plan


def _stacked(one: CasePlan, *others: CasePlan) -> tuple[Published, tuple[Plan, ...]]:
    """The sections of several cases on one page, read back."""
    plans = tuple(shown(case) for case in (one, *others))
    panels = [SectionPanel(f"panel-{n}", f"Panel {n}", plan) for n, plan in enumerate(plans)]
    for section in open_sections(sheet(one, "Several sections"), panels):
        draw_section(section)
        drawing = section.finish()
    svg = export.svg(drawing, "css", figure_id=FIGURE, title="t", description="d")
    return Published(svg), plans


def _vertical() -> CasePlan:
    return planned(section={"lateral_cut": "90 deg"})


def test_stacked_sections_share_scale_and_midline_and_do_not_overlap():
    """Two sections have one scale and one midline, the first above the second."""
    figure, _ = _stacked(planned(), _vertical())
    first, second = (figure.groups[f"panel-{n}"] for n in range(2))
    for key in ("data-scale", "data-origin-x"):
        assert first.get(key) == second.get(key)
    lines = [np.vstack(figure.runs(f"panel-{n}-midline"))[:, 1] for n in range(2)]
    assert lines[0].min() > lines[1].max()
    floor = min(np.vstack(figure.runs("panel-0-fascia"))[:, 1])
    assert floor > max(np.vstack(figure.runs("panel-1-midline"))[:, 1])


def test_stacked_sections_are_true_to_scale():
    """Each panel's trough has the area of its own plan, on either side."""
    cases = (planned(), _vertical(), planned(side="left"))
    figure, plans = _stacked(*cases)
    for number, plan in enumerate(plans):
        ring = figure.plan_path(f"panel-{number}-trough")
        x, z = ring[:, 0], -ring[:, 1]
        area = abs(np.dot(x, np.roll(z, 1)) - np.dot(z, np.roll(x, 1))) / 2
        assert area == pytest.approx(plan.trough_area_mm2, rel=1e-3)


def test_stacked_sections_of_different_sides_stay_on_the_page():
    """A left and a right section share the midline, and every cut lies on the page."""
    figure, _ = _stacked(planned(side="left"), planned(side="right"))
    for name in figure.named(*CUTS):
        points = np.vstack(figure.runs(name))
        assert points[:, 0].min() >= 0
        assert points[:, 0].max() <= figure.width
    left, right = (figure.plan_path(f"panel-{n}-trough") for n in range(2))
    assert np.sort(left, axis=0) == pytest.approx(np.sort(right, axis=0), abs=2e-3)


def test_one_panel_is_drawn_like_a_section_of_its_own():
    """A page of one panel has the scale and the midline of a page of one section."""
    for one in (*shipped_plans(), *extremes().values()):
        if one.shown is None:
            continue
        (panel,) = open_sections(sheet(one, "x"), [SectionPanel("only", "Only", one.shown)])
        alone = open_section(sheet(one, "x"), one.shown)
        if panel.frame.scale == alone.frame.scale:
            assert panel.frame.x == alone.frame.x


def test_hatch_lies_inside_the_trough():
    """Every line of the hatch runs from wall to wall, at 45 degrees."""
    one = planned()
    section = open_section(sheet(one, "x"), shown(one))
    hatch_trough(section)
    (shape,) = (item for name, item in section.drawing.named if name == "trough-hatch")
    assert isinstance(shape, Shape)
    pairs = shape.trace.points.reshape(-1, 2, 2)
    steps = pairs[:, 1] - pairs[:, 0]
    assert np.abs(steps[:, 0]) == pytest.approx(np.abs(steps[:, 1]))
    plan = shown(one)
    cut = walls(plan.trough, section.cut.medial, section.cut.lateral)
    origin = section.frame.at(0, 0)
    middles = (pairs.mean(axis=1) - origin) / section.frame.scale * (section.frame.sign, -1)
    for x, z in middles:
        low, high = cut.at(float(z))
        assert low < x < high
        assert 0 < z < cut.bottom
