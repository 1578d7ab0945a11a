"""The trough by level: sections and curve to scale, on the same levels."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from tests.figures.published import Drawn, drawn, planned, published, shown

from offmidline.figures import VIEWS
from offmidline.figures.views.levels import COUNT
from offmidline.figures.words import number
from offmidline.geometry.levels import sections_by_level

VIEW = "levels"


def _near(value):
    return pytest.approx(value, rel=1e-3, abs=2e-3)


def _all() -> tuple[Drawn, ...]:
    return drawn(VIEW)


def test_each_section_is_that_of_its_level():
    """Trough, skin edges and depth of each section measure what its level has."""
    for one, _, figure in _all():
        plan = shown(one)
        for index, section in enumerate(sections_by_level(plan.outline, plan.trough, COUNT)):
            ring = figure.plan_path(f"level-{index + 1}-trough")
            assert shapely.Polygon(ring).area == _near(section.area_mm2)
            assert -ring[:, 1].min() == _near(section.depth)
            top = ring[np.abs(ring[:, 1]) < 1e-2][:, 0]
            assert top.min() == _near(section.medial)
            assert top.max() == _near(section.lateral)
            assert figure.text_of(f"text-level-{index + 1}").endswith(number(section.level))
            assert figure.text_of(f"text-width-{index + 1}").endswith(number(section.width))


def test_sections_share_scale_and_midline():
    """All sections have one scale and one origin across, through which the midline runs."""
    for _, _, figure in _all():
        groups = [figure.groups[f"level-{n + 1}"] for n in range(COUNT)]
        groups.append(figure.groups["through"])
        for key in ("data-scale", "data-origin-x", "data-side"):
            assert len({group.get(key) for group in groups}) == 1
        x = np.vstack(figure.runs("through-midline"))[:, 0]
        assert x == pytest.approx([float(groups[0].get("data-origin-x", ""))] * 2, abs=1e-3)


def test_midlines_run_through_all_sections():
    """Midline and new midline reach from above the first section to below the last one."""
    for one, _, figure in _all():
        for gid, at in (("midline", 0.0), ("new-midline", shown(one).outline.offset)):
            line = figure.plan_path(f"through-{gid}")
            assert line[:, 0] == _near([at, at])
            page = np.vstack(figure.runs(f"through-{gid}"))[:, 1]
            first = np.vstack(figure.runs("level-1-skin"))[:, 1].max()
            last = np.vstack(figure.runs(f"level-{COUNT}-skin"))[:, 1].max()
            assert page.max() > first
            assert page.min() < last


def test_section_stands_at_its_level_of_the_plot():
    """The skin of each section lies as high on the page as its level on the plot's axis."""
    for one, _, figure in _all():
        plan = shown(one)
        guides = [run[0] for run in figure.runs("plot-levels")]
        levels = [run[0, 1] for run in figure.plan_runs("plot-levels")]
        sections = sections_by_level(plan.outline, plan.trough, COUNT)
        assert levels == _near([section.level for section in sections])
        for index, guide in enumerate(guides):
            skin = np.vstack(figure.runs(f"level-{index + 1}-skin"))[:, 1]
            assert skin == pytest.approx(guide[1], abs=2e-3)


def test_area_under_the_curve_is_the_volume():
    """The tinted area of the plot, in mm2 times mm, is the plan's volume, which its label tells."""
    for one, _, figure in _all():
        plan = shown(one)
        ring = figure.plan_path("plot-volume")
        assert shapely.Polygon(ring).area / 1000 == pytest.approx(plan.volume_ml, rel=1e-3)
        label = [text.words for text in figure.texts if "label-volume" in text.gid]
        assert any(f"{number(plan.volume_ml)} ml" in words for words in label)


def test_curve_passes_the_sections_and_ends_at_the_apexes():
    """The curve starts and ends at 0 on the apexes' levels and has the greatest area between."""
    for one, _, figure in _all():
        plan, curve = shown(one), figure.plan_path("plot-area")
        assert curve[[0, -1], 1] == _near([plan.outline.caudal_apex, plan.outline.cranial_apex])
        assert curve[[0, -1], 0] == pytest.approx([0, 0], abs=1e-3 * plan.trough_area_mm2)
        assert curve[:, 0].max() == _near(plan.trough_area_mm2)
        for index, section in enumerate(sections_by_level(plan.outline, plan.trough, COUNT)):
            knot = figure.plan_runs("plot-sections")[index][:-1].mean(axis=0)
            assert knot[0] == pytest.approx(section.area_mm2, rel=1e-3, abs=1e-2)
            assert knot[1] == _near(section.level)


def test_left_and_right_are_mirror_images():
    """A left-sided case has its sections mirrored in the page, and the same plot."""
    left, right = (published(planned(side=side), VIEW) for side in ("left", "right"))
    for index in range(COUNT):
        gid = f"level-{index + 1}-lateral-wall"
        assert left.plan_path(gid) == pytest.approx(right.plan_path(gid), abs=2e-3)
        assert left.runs(gid)[0][0, 0] < left.runs(gid)[0][-1, 0]
        assert right.runs(gid)[0][0, 0] > right.runs(gid)[0][-1, 0]
    for gid in ("plot-area", "plot-volume"):
        assert left.plan_path(gid) == pytest.approx(right.plan_path(gid), abs=2e-3)


def test_words_tell_every_section_and_the_volume():
    """The description tells each section's measures, the caption the volume."""
    for one, rendered, _ in _all():
        plan = shown(one)
        sections = sections_by_level(plan.outline, plan.trough, COUNT)
        for section in sections:
            level, low, high, width, depth, area = (
                number(getattr(section, name))
                for name in ("level", "medial", "lateral", "width", "depth", "area_mm2")
            )
            told = (
                f"At {level}: from {low} to {high} beside the midline, {width} wide, {depth} deep"
            )
            assert f"{told}, {area} square millimetres." in rendered.description
        assert f"{number(plan.volume_ml)} ml" in rendered.caption
        high, *_, low = (number(one.level) for one in sections)
        assert f"from {high} to {low} mm" in rendered.caption
        assert one.case.title in VIEWS[VIEW].words(one).title


def test_volume_is_told_inside_the_area():
    """The text that names the area lies between the axis and the curve."""
    for one, _, figure in _all():
        lines = [text.box for text in figure.texts if text.gid.startswith("plot-label-volume")]
        assert len(lines) == 2, one.case.case
        curve = np.vstack(figure.runs("plot-area"))
        for box in lines:
            left, low, right, high = box.bounds
            assert left > curve[:, 0].min()
            beside = curve[(curve[:, 1] > low) & (curve[:, 1] < high)]
            assert not len(beside) or right < beside[:, 0].min(), one.case.case
