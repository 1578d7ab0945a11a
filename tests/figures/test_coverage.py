"""Coverage: what is drawn and said of the covered midline and of the pits is what the plan has."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import (
    Drawn,
    Published,
    extremes,
    marked,
    pictures,
    planned,
    published,
    shown,
)
from tests.strategies import generated_plans, shipped_plans

from offmidline import figures
from offmidline.figures.page.board import LEAST_SYMBOL
from offmidline.figures.words import number
from offmidline.plan import CasePlan, Plan
from offmidline.variants import without_and_with_shift, without_shift

# Two pits so far apart that the outline must be long, and a shift put on leaves the lower one.
FAR_APART: dict[str, Any] = {"pits": [(50, 2), (130, 2)]}


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=3e-3)


@lru_cache(maxsize=1)
def _compared_drawings() -> tuple[tuple[Drawn, dict[str, Plan]], ...]:
    cases = (*shipped_plans(), *generated_plans(0, 12), *extremes().values())
    return tuple((item, _compared(one)) for one in cases for item in pictures(one, "coverage"))


def _drawn() -> Iterator[tuple[CasePlan, Published, dict[str, Plan]]]:
    """Cases, their published pictures, and the plans that these compare."""
    for (one, _, figure), compared in _compared_drawings():
        yield one, figure, compared


def _compared(one: CasePlan) -> dict[str, Plan]:
    """The plan in each panel; under an empty name the only one."""
    both = without_and_with_shift(one)
    if both is None or shown(one).outline.caudal_shift == 0:
        return {"": shown(one)}
    return {"without-": both[0], "with-": both[1]}


def _centre(ring: np.ndarray) -> tuple[float, float]:
    x, y = (ring.min(axis=0) + ring.max(axis=0)) / 2
    return float(x), float(y)


def test_a_shift_is_compared_wherever_there_is_one():
    """With a shift there are two panels, without one there is one picture; both kinds occur."""
    kinds = set()
    for _, figure, compared in _drawn():
        for panel in ("without-", "with-"):
            assert figure.has(f"{panel}outline") == (panel in compared)
        assert figure.has("outline") == ("" in compared)
        kinds.add(figure.has("outline"))
    assert kinds == {True, False}


def test_outlines_are_those_that_are_compared():
    """Area and apexes of each outline are those of its plan, at the scale of its panel."""
    for _, figure, compared in _drawn():
        for panel, plan in compared.items():
            ring = figure.plan_path(f"{panel}outline")
            assert shapely.Polygon(ring).area == pytest.approx(plan.outline.area_mm2, rel=1e-3)
            assert tuple(ring[ring[:, 1].argmin()]) == _near(plan.outline.caudal_point)
            assert tuple(ring[ring[:, 1].argmax()]) == _near(plan.outline.cranial_point)


def test_covered_midline_lies_between_its_levels_which_are_told():
    """Bar and level lines lie at the plan's levels, and the texts there say them."""
    told = 0
    for _, figure, compared in _drawn():
        for panel, plan in compared.items():
            covered = plan.midline_covered
            assert figure.has(f"{panel}midline-covered") == (covered is not None)
            if covered is None:
                assert not figure.has(f"{panel}dimension-covered-low")
                continue
            bar = figure.plan_path(f"{panel}midline-covered")
            assert sorted(bar[:, 1]) == _near(list(covered))
            assert bar[:, 0] == _near([0, 0])
            for end, level in zip(("low", "high"), covered, strict=True):
                line = figure.plan_path(f"{panel}dimension-covered-{end}")
                assert line[:, 1] == _near([level] * len(line))
                assert figure.text_of(f"{panel}dimension-covered-{end}-text") == number(level)
                told += 1
    assert told > 100


def test_the_length_that_is_covered_is_told():
    """Each panel's title, or the label of the only picture, says how much midline is covered."""
    kinds = set()
    for one, figure, compared in _drawn():
        for panel, plan in compared.items():
            low, high = plan.midline_covered or (0.0, 0.0)
            if panel:
                title = re.compile(rf"title-{panel}\d+")
                said = " ".join(text.words for text in figure.texts if title.fullmatch(text.gid))
                assert f": {number(high - low)} mm of midline covered" in said, one.case.title
            elif plan.midline_covered is not None:
                assert figure.text_of("label-covered") == f"covered {number(high - low)}"
            kinds.add(panel)
    assert kinds == {"", "without-", "with-"}


def test_words_say_which_way_the_shift_moves_what_is_covered():
    """Away from the midline it uncovers some; towards it, it covers more."""
    away = figures.captions(planned(**FAR_APART), "coverage").description
    assert "The shift uncovers the midline from" in away
    towards = planned(marking=marked(120, 20, 5, 20, -15))
    both = without_and_with_shift(towards)
    assert both is not None
    lows = [plan.midline_covered[0] for plan in both if plan.midline_covered is not None]
    before, after = map(number, lows)
    assert float(after) < float(before)
    said = figures.captions(towards, "coverage").description
    assert f"The shift covers more of the midline, from {before} down to {after}." in said


def test_levels_are_told_on_the_medial_side():
    """The line of a level begins on the midline and leaves the outline on its medial side."""
    for _, figure, compared in _drawn():
        for panel, plan in compared.items():
            if plan.midline_covered is not None:
                line = figure.plan_path(f"{panel}dimension-covered-low")
                assert line[:, 0].max() == _near(0)
                assert line[:, 0].min() < figure.plan_path(f"{panel}outline")[:, 0].min()


def test_what_the_shift_uncovers_is_drawn_where_it_is_lost():
    """The open bar spans the stretch that only the unshifted outline covers, and there is none
    where nothing is lost.
    """
    lost = 0
    for _, figure, compared in _drawn():
        if "" in compared:
            continue
        before, after = (plan.midline_covered or (0.0, 0.0) for plan in compared.values())
        moved = after[0] - before[0] > 0.05
        assert figure.has("with-uncovered") == moved
        assert not figure.has("without-uncovered")
        if moved:
            lost += 1
            bar = figure.plan_path("with-uncovered")
            assert (bar[:, 1].min(), bar[:, 1].max()) == _near((before[0], after[0]))
            assert figure.text_of("with-label-uncovered") == f"lost {number(after[0] - before[0])}"
    assert lost > 25


def test_pits_stand_in_the_margin_that_is_asked():
    """Pit and ring are concentric, of the pit's diameter and of that plus twice the margin."""
    for one, figure, compared in _drawn():
        asked = one.technique.settings.pit_margin
        for panel, plan in compared.items():
            scale = _scale(figure, panel)
            for index, pit in enumerate(plan.pits, 1):
                dot = figure.plan_path(f"{panel}pit-{index}")
                ring = figure.plan_path(f"{panel}margin-{index}")
                assert _centre(dot) == _near((0.0, pit.at))
                assert _centre(ring) == _near((0.0, pit.at))
                assert np.ptp(dot[:, 0]) == _near(max(pit.diameter, LEAST_SYMBOL / scale))
                assert np.ptp(ring[:, 1]) == _near(pit.diameter + 2 * asked)


def _scale(figure: Published, panel: str) -> float:
    root = figure.groups[panel.removesuffix("-")] if panel else figure.root
    return float(root.get("data-scale", ""))


def test_pits_left_behind_are_crossed_and_those_with_little_margin_marked():
    """A cross stands on each pit left behind and on no other; a ring is strong where the margin is
    not kept.
    """
    seen = {"left": 0, "short": 0, "kept": 0}
    for one, figure, compared in _drawn():
        asked = one.technique.settings.pit_margin
        for panel, plan in compared.items():
            for index, pit in enumerate(plan.pits, 1):
                kept = pit.margin >= asked - 1e-6
                assert figure.has(f"{panel}pit-{index}-cross") == (not pit.excised)
                width = figure.paths[f"{panel}margin-{index}"].get("stroke-width")
                assert (float(width or 0) > 0.3) == (not kept)
                seen["kept" if kept else "short" if pit.excised else "left"] += 1
    assert min(seen.values()) > 5


def test_margins_are_told_where_they_are_not_kept():
    """Each pit that does not keep its margin has a label with its margin and what that means."""
    for one, figure, compared in _drawn():
        asked = one.technique.settings.pit_margin
        for panel, plan in compared.items():
            for index, pit in enumerate(plan.pits, 1):
                if pit.margin >= asked - 1e-6:
                    continue
                label = f"{panel}label-pit-{index}"
                word = "too little:" if pit.excised else "left behind"
                assert figure.text_of(f"{label}-1") == word
                assert figure.text_of(f"{label}-2") == f"margin {number(pit.margin)}"


def test_many_pits_that_keep_their_margin_share_a_label():
    """Twelve pits in a row get one label, which tells the least of their margins."""
    figure = published(extremes()["many findings"], "coverage")
    straight = without_shift(extremes()["many findings"])
    assert straight is not None
    least = min(pit.margin for pit in straight.pits)
    lines = sorted(gid for gid in figure.names if gid.startswith("without-label-pits"))
    said = " ".join(figure.text_of(gid) for gid in lines)
    assert said == f"12 pits: margin {number(least)} or more"


def test_fitted_outline_is_shown_beside_the_shifted_one():
    """A fitted marking appears as the other position; a prescribed one has been shifted itself."""
    fitted = 0
    for one, figure, compared in _drawn():
        if "" in compared:
            continue
        assert not figure.has("without-fitted")
        if one.case.marking is not None:
            assert not figure.has("with-fitted")
        elif figure.has("with-fitted"):
            fitted += 1
            area = shapely.Polygon(figure.plan_path("with-fitted")).area
            assert area == pytest.approx(shown(one).outline.area_mm2, rel=1e-3)
            assert figure.paths["with-fitted"].get("stroke-dasharray")
            fit, said = shown(one).outline, figures.captions(one, "coverage").description
            assert f"length {number(fit.length)}, width {number(fit.width)}" in said
    assert fitted > 25


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_caudal_pit_is_left_behind_by_the_shift(side: str):
    """Without a shift both pits are taken; the shift put on leaves the caudal one, which is
    crossed and said.
    """
    one = planned(**FAR_APART, side=side)
    figure, words = published(one, "coverage"), figures.captions(one, "coverage")
    assert not figure.has("without-pit-1-cross")
    assert figure.has("with-pit-1-cross")
    assert not figure.has("with-pit-2-cross")
    assert "1 of 2 pits is left behind." in words.caption
    assert words.description.count("left behind, margin") == 1


def test_a_left_sided_case_mirrors_a_right_sided_one():
    """In the frame of the plan both sides are the same; on the page the medial side changes."""
    left, right = (planned(**FAR_APART, side=side) for side in ("left", "right"))
    one, other = published(left, "coverage"), published(right, "coverage")
    for gid in (
        "without-outline",
        "with-outline",
        "with-fitted",
        "with-uncovered",
        "with-margin-1",
    ):
        assert one.plan_path(gid) == pytest.approx(other.plan_path(gid), abs=3e-3)
    for figure, sign in ((one, -1), (other, 1)):
        midline = figure.runs("with-midline")[0][0, 0]
        apex = figure.runs("with-outline")[0][0, 0]
        assert (apex - midline) * sign > 0


def test_levels_lie_at_the_same_height_in_both_panels():
    """The upper end of what is covered, which the shift does not move, is level with the other."""
    for _, figure, _ in _drawn():
        if figure.has("with-midline-covered"):
            tops = [
                figure.runs(f"{panel}-midline-covered")[0][:, 1].max()
                for panel in ("without", "with")
            ]
            assert tops[0] == _near(tops[1])


def test_words_tell_both_levels_and_every_pit():
    """Caption and description carry the levels before and after, and each margin."""
    for (_, rendered, _), compared in _compared_drawings():
        for plan in compared.values():
            for level in plan.midline_covered or ():
                assert number(level) in rendered.description
            for pit in plan.pits:
                assert f"Pit at {number(pit.at)}: " in rendered.description
                assert f"margin {number(pit.margin)}" in rendered.description
        lows = [plan.midline_covered[0] for plan in compared.values() if plan.midline_covered]
        assert all(number(low) in rendered.caption for low in lows)
        assert "\n" not in rendered.caption


def test_an_outline_short_of_the_midline_is_said_to_cover_nothing():
    """Where no midline is covered there is no bar, no level, and every pit is left behind."""
    one = planned(marking=marked(120, 20, -8))
    figure, words = published(one, "coverage"), figures.captions(one, "coverage")
    assert not figure.has("with-midline-covered")
    assert "does not reach the midline" in words.caption
    assert "2 of 2 pits are left behind." in words.caption
    assert figure.text_of("title-with-1").startswith("Shifted 10 mm: 0 mm of")


def test_pits_are_counted_in_plain_words():
    """One of several, several, and the only one are said each in its own way."""
    low = planned(pits=[(34, 2)])
    assert "the only pit is left behind." in figures.captions(low, "coverage").caption
    short = planned(pits=[(59, 2), (83, 2), (108, 2)])
    assert "1 of 3 pits keeps too little margin." in figures.captions(short, "coverage").caption
    kept = figures.captions(planned(), "coverage")
    assert kept.caption.endswith("every pit keeps the margin required.")
