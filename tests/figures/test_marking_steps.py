"""The marking in steps: one page for all, what each step adds, and what decides the openings."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import (
    Published,
    extremes,
    marked,
    planned,
    published,
    shown,
)
from tests.strategies import generated_plans, shipped_plans

from offmidline.figures import VIEWS, captions
from offmidline.figures.page.style import THIN
from offmidline.figures.views.marking_steps.near_openings import near_openings
from offmidline.figures.words import number
from offmidline.geometry.margin import disc_gap, signed_distance
from offmidline.plan import CasePlan

VIEW = "marking-steps"
STEPS = ("midline", "new-midline", "reach", "openings", "caudal-shift", "finished")
FRAME = ("data-scale", "data-origin-x", "data-origin-y", "data-side", "width", "height")


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=2e-3)


@lru_cache(maxsize=1)
def _drawn() -> list[tuple[CasePlan, dict[str, Published]]]:
    cases = (*shipped_plans(), *generated_plans(0, 20), *extremes().values())
    return [
        (one, {step: published(one, VIEW, part=step) for step in STEPS})
        for one in cases
        if one.shown is not None
    ]


def _tips(figure: Published, gid: str) -> list[np.ndarray]:
    return [run[0] for run in figure.plan_runs(f"dimension-{gid}")[-2:]]


def _text(figure: Published, start: str) -> str:
    """The words of all texts whose name begins so, in their order."""
    return " ".join(text.words for text in figure.texts if text.gid.startswith(start))


def test_every_step_has_the_same_page_frame_and_scale():
    """From step to step nothing jumps: page, frame and scale are one and the same."""
    for one, steps in _drawn():
        assert VIEWS[VIEW].parts(one) == STEPS
        frames = {tuple(figure.root.get(key) for key in FRAME) for figure in steps.values()}
        assert len(frames) == 1, one.case.case


def test_the_new_is_strong_and_the_old_faint():
    """The midline is strong in its own step and in the last, faint between; its type stays."""
    for _, steps in _drawn()[:8]:
        lines = {step: figure.paths["midline"] for step, figure in steps.items()}
        for step, line in lines.items():
            faint = "--fig-faint" in line.get("stroke", "")
            assert faint == (step not in ("midline", "finished"))
            assert line.get("stroke-dasharray")
            assert (float(line.get("stroke-width", "")) == THIN.width) == faint
        new = {step: figure.paths.get("new-midline") for step, figure in steps.items()}
        assert new["midline"] is None
        assert new["new-midline"] is not None
        assert "--fig-newline" in new["new-midline"].get("stroke", "")


def test_extent_of_the_disease():
    """Bar, dimension and label of the first step reach from the lowest rim to the highest."""
    for one, steps in _drawn():
        low, high = one.case.findings.midline_extent
        bar = steps["midline"].plan_path("disease-extent")
        assert (bar[:, 1].min(), bar[:, 1].max()) == _near((low, high))
        tips = _tips(steps["midline"], "extent")
        assert abs(tips[1][1] - tips[0][1]) == _near(high - low)
        extent = steps["midline"].text_of("dimension-extent-text")
        assert extent == f"extent {number(high - low)}"
        said = " ".join(text.words for text in steps["midline"].texts)
        assert f"{number(low)} to {number(high)}" in said


def test_offset_width_reach_and_shift_are_the_plans():
    """The arrows of each step span what the plan measures; where that is nothing there are none."""
    for one, steps in _drawn():
        outline = shown(one).outline
        for step, gid, value in (
            ("new-midline", "offset", outline.offset),
            ("reach", "width", outline.width),
            ("reach", "reach", outline.reach),
            ("caudal-shift", "shift", outline.caudal_shift),
            ("caudal-shift", "caudal-apex", outline.caudal_point[0]),
            ("finished", "length", outline.length),
            ("finished", "width", outline.width),
            ("finished", "verge-clearance", shown(one).verge_clearance),
        ):
            if not steps[step].has(f"dimension-{gid}"):
                assert abs(value) <= 0.05
                continue
            tips = _tips(steps[step], gid)
            assert np.hypot(*(tips[1] - tips[0])) == _near(abs(value)), (one.case.case, gid)
            if gid == "shift":
                assert steps[step].text_of("dimension-shift-text") == f"shift {number(value)}"


def test_the_symmetric_outline_has_the_plans_width_and_no_shift():
    """Before the shift the outline is its own mirror image about the new midline."""
    for one, steps in _drawn():
        outline = shown(one).outline
        ring = steps["reach"].plan_path("outline")
        assert shapely.Polygon(ring).area == _near(outline.area_mm2)
        assert ring[:, 0].min() + ring[:, 0].max() == _near(2 * outline.offset)
        assert tuple(ring[ring[:, 1].argmin()]) == _near((outline.offset, outline.caudal_apex))
        shifted = steps["caudal-shift"].plan_path("outline")
        assert tuple(shifted[shifted[:, 1].argmin()]) == _near(outline.caudal_point)
        before = steps["caudal-shift"].has("outline-before")
        assert before == (abs(outline.caudal_shift) > 0.05)


def test_openings_are_decided_by_their_gap_to_the_outline_for_the_pits():
    """Each gap is drawn from that outline to the rim, and decides as the technique asks."""
    seen = measured = 0
    for one, steps in _drawn():
        figure, plan = steps["openings"], shown(one)
        fitted, near = one.fitted.pits_only, one.technique.settings.near_opening
        if not plan.openings:
            assert "no secondary" in " ".join(text.words for text in figure.texts)
            assert not figure.has("outline-deciding")
            continue
        if fitted is None:
            continue
        turned = 1 if plan.marking.side == one.case.flap_side else -1
        ring = figure.plan_path("outline-deciding") * (turned, 1)
        assert shapely.Polygon(ring).area == _near(fitted.area_mm2)
        # Also on the wrong side it is drawn where it lies, not as its mirror image.
        assert signed_distance(fitted, ring) == pytest.approx(0, abs=0.06)
        assert "outline for the pits alone" in _text(figure, "label-outline-deciding")
        assert _text(figure, "label-near-limit") == f"near: within {number(near)}"
        limit = figure.plan_path("near-limit") * (turned, 1)
        assert signed_distance(fitted, limit) == pytest.approx(-near, abs=0.06)
        for count, opening in enumerate(plan.openings, 1):
            seen += 1
            gap = disc_gap(fitted, opening.x * turned, opening.at, opening.diameter)
            if gap <= near:
                assert opening.decision == "excise"
            assert figure.has(f"opening-{count}-cross") == (opening.decision == "leave")
            told = _text(figure, "label-opening-") + _text(figure, f"dimension-gap-{count}-text")
            assert (number(gap) in told) or gap <= 0.05
            assert gap > 0.05 or not figure.has(f"dimension-gap-{count}")
            if figure.has(f"dimension-gap-{count}"):
                measured += 1
                tips = _tips(figure, f"gap-{count}")
                assert np.hypot(*(tips[1] - tips[0])) == _near(gap)
    assert seen > 30
    assert measured > 5


def test_how_an_opening_stands():
    """Inside, near and far are told apart, and one on the wrong side is judged on its own."""
    openings = [(72, 20, "right", 4), (72, 55, "right", 4), (150, 70, "right", 4)]
    one = planned(openings=openings)
    standings = [judged.standing for judged in near_openings(one, shown(one)).openings]
    assert standings == ["inside", "near", "far"]
    wrong = extremes()["the wrong side"]
    (judged,) = near_openings(wrong, shown(wrong)).openings
    assert judged.standing == "inside"
    assert judged.opening.x < 0


def test_an_opening_that_only_the_wider_outline_reaches():
    """It lies further away than counts as near, and is excised all the same: the words say so."""
    one = planned(openings=[(72, 55, "right", 4), (73, 60, "right", 2)])
    near = near_openings(one, shown(one))
    assert [judged.standing for judged in near.openings] == ["near", "reached"]
    words = captions(one, VIEW, "openings")
    assert "the outline that takes the others reaches it" in words.description
    assert "excised, by their levels: 72, 73; to be left: none" in words.caption
    assert "reached when widened" in " ".join(
        text.words for text in published(one, VIEW, part="openings").texts
    )


def test_where_nothing_fits_the_pits_the_marked_outline_decides():
    """A prescribed marking of an impossible case decides by itself, and the words say so."""
    one = planned(
        pits=[(8, 2), (60, 3)], openings=[(70, 60, "right", 4)], marking=marked(110, 10, 5)
    )
    assert one.fitted.pits_only is None
    near = near_openings(one, shown(one))
    assert not near.for_pits
    (judged,) = near.openings
    assert judged.gap == pytest.approx(shown(one).openings[0].gap)
    words = captions(one, VIEW, "openings")
    assert "the outline as marked" in words.description
    label = _text(published(one, VIEW, part="openings"), "label-outline-deciding")
    assert "outline as marked" in label


def test_a_pit_left_behind_is_crossed_in_the_finished_marking_only():
    """Pits are as found until the marking is finished; then one outside is crossed."""
    one = extremes()["past the verge"]
    figures = {step: published(one, VIEW, part=step) for step in STEPS}
    left = [f"pit-{n}-cross" for n, pit in enumerate(shown(one).pits, 1) if not pit.excised]
    assert left
    for step, figure in figures.items():
        assert {gid for gid in left if figure.has(gid)} == (
            set(left) if step == "finished" else set()
        )


def test_words_carry_the_numbers_of_each_step():
    """Title, caption and description name the step and give its lengths."""
    for one, _ in _drawn()[:8]:
        outline = shown(one).outline
        low, high = one.case.findings.midline_extent
        expected = {
            "midline": (number(low), number(high)),
            "new-midline": (number(outline.offset),),
            "reach": (number(outline.width), number(abs(outline.reach))),
            "openings": (),
            "caudal-shift": (number(outline.caudal_point[0]),),
            "finished": (number(outline.length), number(shown(one).verge_clearance)),
        }
        for count, step in enumerate(STEPS, 1):
            words = captions(one, VIEW, step)
            for value in expected[step]:
                assert value in words.caption
                assert value in words.description
            assert f"tep {count} of 6" in words.title
            assert words.caption.startswith(f"Step {count} of 6")


def test_words_of_the_shift_tell_its_direction():
    """Away from the midline, towards it, or none."""
    for name, said in (
        ("shift to the midline", "moved 20 mm towards the midline"),
        ("centred on the midline", "not moved"),
        ("no reach", "moved 10 mm away from the midline"),
    ):
        assert said in captions(extremes()[name], VIEW, "caudal-shift").caption


def test_words_of_the_reach_tell_where_the_medial_edge_stops():
    """Beyond the midline, or short of it."""
    assert "5 mm" in captions(planned(), VIEW, "reach").caption
    short = captions(extremes()["short of the midline"], VIEW, "reach").caption
    assert "8 mm short of the midline" in short
    assert "short" not in captions(planned(), VIEW, "reach").caption


def test_left_mirrors_right():
    """The same marking on the other side has the same lines in its own frame."""
    right, left = (planned(side=side) for side in ("right", "left"))
    for step in STEPS:
        one, other = (published(case, VIEW, part=step) for case in (right, left))
        for gid in ("outline", "midline", "new-midline", "midline-covered", "scar"):
            if one.has(gid):
                assert other.plan_path(gid) == _near(one.plan_path(gid))
    assert left.shown is not None
    figure = published(left, VIEW, part="new-midline")
    assert figure.runs("new-midline")[0][0, 0] < figure.runs("midline")[0][0, 0]


def test_words_of_the_first_step_fit_the_findings():
    """One pit is said as one, and openings are mentioned where there are any."""
    one = captions(planned(pits=[(60, 2)], openings=[]), VIEW, "midline").description
    assert "the pit, at 60, takes up 2, from 59 to 61 with its rim." in one
    assert "There is no secondary opening." in one
    more = captions(planned(openings=[(95, 25, "right", 5)]), VIEW, "midline").description
    assert "the pits, at" in more
    assert "Openings beside the midline are shown as found." in more


def test_words_of_an_apex_that_stays_tell_of_no_move():
    """Without a shift nothing is said to have moved, and no line of before is described."""
    stays = planned(marking=marked(120, 20, 5, 20, 0))
    description = captions(stays, VIEW, "caudal-shift").description
    assert "was moved" not in description
    assert "before" not in description
    assert "A dash-double-dot line" in captions(planned(), VIEW, "caudal-shift").description


def test_a_gap_in_words_is_told_of_no_opening_that_has_its_own_dimension():
    """Of two openings to be left the near one's label tells its gap, the other one's does not."""
    openings = [(70, 20, "left", 5), (140, 60, "right", 5)]
    one = planned(openings=openings)
    gaps = [one.gap for one in near_openings(one, shown(one)).openings]
    figure = published(one, VIEW, part="openings")
    said = _text(figure, "label-opening-far")
    assert figure.has("dimension-gap-2")
    assert said == f"opening not near, gap {number(gaps[0])}: leave opening not near: leave"
