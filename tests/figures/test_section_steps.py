"""The section in steps: the same page each time, one thing new in each, all to scale."""

from __future__ import annotations

import re
from functools import lru_cache

import numpy as np
import pytest
import shapely
from tests.figures.published import Published, extremes, planned, plans, published, shown
from tests.strategies import shipped_plans

from offmidline.figures import VIEWS
from offmidline.figures.scene.cross_section import cross_section
from offmidline.figures.views.section_steps.words import PARTS
from offmidline.figures.words import number
from offmidline.plan import CasePlan

VIEW = "section-steps"
STRONG = "0.5"
# In which step each line is new, and in which it is there at all.
NEW = {
    "medial-wall": "medial-wall",
    "lateral-wall": "lateral-wall",
    "floor": "excised",
    "undermining": "flap",
    "deep-row": "deep-row",
    "superficial-row": "superficial-row",
}


def _near(value):
    return pytest.approx(value, rel=1e-3, abs=2e-3)


@lru_cache(maxsize=64)
def _steps(index: int) -> dict[str, Published]:
    """All steps of one of the cases that have some."""
    return {part: published(_cases()[index], VIEW, part=part) for part in PARTS}


@lru_cache(maxsize=1)
def _cases() -> tuple[CasePlan, ...]:
    return tuple(one for one in (*shipped_plans(), *extremes().values()) if one.shown is not None)


def _all():
    return ((one, _steps(index)) for index, one in enumerate(_cases()))


def test_every_case_has_the_same_steps_in_order():
    """Before, walls, excised, flap, rows, skin: on every case with a marking."""
    assert PARTS[0] == "before"
    assert PARTS[-1] == "skin"
    for one in plans():
        if one.shown is not None:
            assert VIEWS[VIEW].parts(one) == PARTS


def test_page_frame_and_scale_are_the_same_in_every_step():
    """Nothing jumps from step to step: page, scale, origin and midlines stay."""
    for one, steps in _all():
        keys = ("data-scale", "data-origin-x", "data-origin-y", "data-side")
        found = {
            (figure.width, figure.height, *(figure.root.get(key) for key in keys))
            for figure in steps.values()
        }
        assert len(found) == 1, one.case.case
        lines = {figure.elements["figure-new-midline"].get("d") for figure in steps.values()}
        assert len(lines) == 1


def test_each_line_appears_in_its_step_strong_and_then_faint():
    """A cut or row is missing before its step, strong in it, and thinner in every later one."""
    for one, steps in _all():
        for gid, step in NEW.items():
            if not steps[PARTS[-1]].has(gid):
                assert gid in ("floor", "undermining"), one.case.case
                continue
            for part in PARTS:
                figure = steps[part]
                assert figure.has(gid) == (PARTS.index(part) >= PARTS.index(step))
                if figure.has(gid):
                    width = figure.paths[gid].get("stroke-width")
                    assert (width == STRONG) == (part == step), (gid, part)


def test_lines_are_true_to_scale():
    """Walls, floor, undermining, rows, fascia and cavity measure what the plan says."""
    for one, steps in _all():
        plan = shown(one)
        last, excised = steps["skin"], steps["excised"]
        ring = excised.plan_path("trough")
        assert shapely.Polygon(ring).area == _near(plan.trough_area_mm2)
        ends = last.plan_path("deep-row")
        assert np.hypot(*(ends[1] - ends[0])) == _near(plan.deep_gap)
        assert -last.plan_path("fascia")[:, 1] == _near([one.case.findings.fascia_depth] * 2)
        bottom = -steps["before"].plan_path("cavity")[:, 1].min()
        assert bottom == _near(one.case.findings.cavity_depth)
        if plan.base_width > 0:
            floor = last.plan_path("floor")
            assert abs(floor[1, 0] - floor[0, 0]) == _near(plan.base_width)
        if plan.marking.undermining > 0:
            flap = steps["flap"].plan_path("flap")
            assert -flap[:, 1].min() == _near(plan.marking.flap_thickness)
            reach = cross_section(plan).medial - plan.marking.undermining
            assert flap[:, 0].min() == _near(reach)


DIMENSIONS = {
    "before": {
        "offset": lambda plan: plan.outline.offset,
        "cavity-depth": lambda plan: plan.case.findings.cavity_depth,
        "fascia-depth": lambda plan: plan.case.findings.fascia_depth,
    },
    "medial-wall": {"reach": lambda plan: plan.outline.reach},
    "lateral-wall": {"width": lambda plan: plan.outline.width},
    "excised": {
        "depth": lambda plan: plan.marking.depth,
        "base-width": lambda plan: plan.base_width,
    },
    "flap": {
        "undermining": lambda plan: plan.marking.undermining,
        "flap-thickness": lambda plan: plan.marking.flap_thickness,
    },
    "skin": {"width": lambda plan: plan.skin_gap},
}


@pytest.mark.parametrize("part", DIMENSIONS)
def test_arrows_span_what_they_measure(part: str):
    """The arrowheads of each dimension are as far apart as the plan's measure, which it tells."""
    for one, steps in _all():
        figure, plan = steps[part], shown(one)
        for name, measure in DIMENSIONS[part].items():
            value = abs(measure(plan))
            gid = f"dimension-{name}"
            if not value:
                assert not figure.has(gid)
                continue
            tips = np.array([run[0] for run in figure.plan_runs(gid) if len(run) == 4])
            axis = int("depth" in name or "thickness" in name)
            assert np.ptp(tips[:, axis]) == _near(value), (one.case.case, name)
            assert figure.text_of(f"{gid}-text").endswith(number(value))
            if name == "reach":
                short = "short of midline" in figure.text_of(f"{gid}-text")
                assert short == (plan.outline.reach < 0)


@pytest.mark.parametrize(("part", "degrees"), [("medial-wall", 90), ("lateral-wall", 45)])
def test_angle_is_that_of_the_wall_from_the_skin(part: str, degrees: int):
    """The arc runs in the wound from the skin to the wall, by the angle that its text tells."""
    for side in ("left", "right"):
        one = planned(side=side)
        figure = published(one, VIEW, part=part)
        name = part.replace("wall", "cut")
        cut = cross_section(shown(one))
        x = cut.medial if part == "medial-wall" else cut.lateral
        arc = figure.plan_path(f"dimension-{name}-arc") - (x, 0)
        into = 1 if part == "medial-wall" else -1
        angles = np.degrees(np.arctan2(-arc[:, 1], into * arc[:, 0]))
        assert angles.min() == pytest.approx(0, abs=0.05)
        assert angles.max() == pytest.approx(degrees, abs=0.05)
        assert figure.text_of(f"dimension-{name}-text") == f"{degrees}°"


def test_direction_of_a_cut_lies_in_the_fat_along_the_wall():
    """The arrow beside a wall points down along it, on the side that the wound is not."""
    for side in ("left", "right"):
        one = planned(side=side)
        cut = cross_section(shown(one))
        for part, out in (("medial-wall", -1), ("lateral-wall", 1)):
            run = published(one, VIEW, part=part).plan_path(f"{part}-way")
            tail, tip = (run[0] + run[6]) / 2, run[3]
            start, end = np.array(cut.walls.medial if out < 0 else cut.walls.lateral)
            wall = (end - start) * (1, -1)
            along = (tip - tail) / np.hypot(*(tip - tail))
            assert along == pytest.approx(wall / np.hypot(*wall), abs=2e-3)
            for point in (tail, tip):
                low, high = cut.walls.at(-point[1])
                assert point[0] < low if out < 0 else point[0] > high


def test_fat_that_stays_lateral_is_what_a_vertical_cut_would_take():
    """The wedge has the area that the plan's trough leaves, and lies outside the trough."""
    one = planned()
    plan = shown(one)
    figure = published(one, VIEW, part="excised")
    wedge, trough = (shapely.Polygon(figure.plan_path(gid)) for gid in ("kept", "trough"))
    kept = plan.trough.kept_lateral_mm2(plan.outline.width)
    assert wedge.area == _near(kept)
    assert wedge.intersection(trough).area == pytest.approx(0, abs=0.1)
    assert figure.text_of("label-kept") == "fat kept lateral"
    assert f"{number(kept)} mm²" in VIEWS[VIEW].words(one, "excised").caption


def test_wall_that_undercuts_takes_fat_and_a_vertical_one_keeps_none():
    """A widening wall's wedge lies inside the trough and is named so; a vertical wall has none."""
    figure = published(extremes()["a widening wall"], VIEW, part="excised")
    wedge, trough = (shapely.Polygon(figure.plan_path(gid)) for gid in ("kept", "trough"))
    assert wedge.intersection(trough).area == pytest.approx(wedge.area, rel=1e-3)
    assert figure.text_of("label-kept") == "fat taken under the skin"
    assert not published(extremes()["a vertical wall"], VIEW, part="excised").has("kept")


def test_wound_is_empty_once_it_is_excised():
    """After the excision the trough is as blank as the page, without hatch and cavity."""
    for _, steps in _all():
        assert steps["excised"].has("trough-hatch")
        for part in PARTS[PARTS.index("flap") :]:
            figure = steps[part]
            assert "paper" in (figure.paths["trough"].get("fill") or "")
            assert not figure.has("trough-hatch")
            assert not figure.has("cavity")


def test_both_skin_edges_point_to_the_new_midline():
    """In the last step two arrows start over the edges and end just before the new midline."""
    for side in ("left", "right"):
        one = planned(side=side)
        plan = shown(one)
        figure = published(one, VIEW, part="skin")
        cut, offset = cross_section(plan), plan.outline.offset
        for gid, edge, way in (("advance", cut.medial, 1), ("lateral-way", cut.lateral, -1)):
            run = figure.plan_path(gid)
            tip = run[3]
            assert 0 < way * (offset - tip[0]) < 2
            assert 5 < (edge - run[0, 0]) * way * figure.scale < 12


def test_flap_that_is_not_raised_is_told_so():
    """Without undermining there is no cut below the flap, and the words say that none is raised."""
    one = extremes()["no undermining"]
    figure = published(one, VIEW, part="flap")
    assert not figure.has("undermining")
    assert not figure.has("dimension-undermining")
    words = VIEWS[VIEW].words(one, "flap")
    assert "no flap" in words.caption.lower()
    assert "no flap" in words.description


def test_left_and_right_are_mirror_images():
    """A left-sided case has the same lines in its frame as the right-sided one."""
    left, right = (planned(side=side) for side in ("left", "right"))
    for part in PARTS:
        one, other = (published(case, VIEW, part=part) for case in (left, right))
        for gid in ("midline", "fascia", *(name for name in NEW if one.has(name))):
            assert one.plan_path(gid) == pytest.approx(other.plan_path(gid), abs=0.11)
        lateral = np.vstack(one.runs("new-midline"))[0, 0] - np.vstack(one.runs("midline"))[0, 0]
        assert lateral < 0


def test_words_carry_the_plans_numbers():
    """Each step's words hold its own measures, one line for the caption."""
    for one in _cases():
        plan = shown(one)
        told = {
            "before": (one.case.findings.cavity_depth, one.case.findings.fascia_depth),
            "medial-wall": (plan.marking.medial_cut_deg, abs(plan.outline.reach)),
            "lateral-wall": (plan.marking.lateral_cut_deg, plan.outline.width),
            "excised": (plan.trough_area_mm2, plan.marking.depth),
            "flap": (plan.marking.flap_thickness,),
            "deep-row": (plan.deep_gap, plan.deep_row.spacing),
            "superficial-row": (plan.superficial_row.spacing,),
            "skin": (plan.skin_gap,),
        }
        for part, values in told.items():
            words = VIEWS[VIEW].words(one, part)
            told_numbers = re.findall(r"−?\d+(?:\.\d+)?", words.description)
            for value in values:
                if value:
                    assert number(value) in told_numbers, (one.case.case, part)
            assert "unstretched" in words.description
            assert "force" not in words.description
            assert "\n" not in words.caption


@pytest.mark.parametrize(
    ("name", "part", "words"),
    [
        ("pits 80 mm apart", "lateral-wall", "slopes towards the base"),
        ("a vertical wall", "lateral-wall", "straight down"),
        ("a widening wall", "lateral-wall", "undercuts the skin"),
        ("short of the midline", "medial-wall", "8 mm short of the midline"),
        ("walls that meet", "excised", "where the walls meet above"),
    ],
)
def test_words_tell_how_the_walls_run(name: str, part: str, words: str):
    """How the lateral wall leans, where the medial edge stops, and walls that leave no floor."""
    assert words in VIEWS[VIEW].words(extremes()[name], part).description


def test_titles_name_the_step_and_the_case():
    """Every step has its own title, with the case's title in it."""
    one = planned()
    titles = [VIEWS[VIEW].words(one, part).title for part in PARTS]
    assert len(set(titles)) == len(PARTS)
    assert all(one.case.title in title for title in titles)
