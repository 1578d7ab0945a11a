"""Before and after: the closed wound lies where the scar is predicted, in the outline's frame."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import Published, extremes, planned, published, shown
from tests.strategies import generated_plans, shipped_plans

from offmidline.figures import captions
from offmidline.figures.words import number
from offmidline.plan import CasePlan

VIEW = "before-after"


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=2e-3)


@lru_cache(maxsize=1)
def _drawn() -> list[tuple[CasePlan, Published]]:
    cases = (*shipped_plans(), *generated_plans(0, 40), *extremes().values())
    return [(one, published(one, VIEW)) for one in cases if one.shown is not None]


def _length(run: np.ndarray) -> float:
    return float(np.hypot(*np.diff(run, axis=0).T).sum())


def test_the_wound_is_as_long_as_the_predicted_scar():
    """The strong line measures the scar's length and ends where each end is pushed to."""
    for one, figure in _drawn():
        outline = shown(one).outline
        (run,) = figure.plan_runs("scar")
        wound = outline.axis_length + 2 * outline.push_out
        assert _length(run) == _near(wound)
        if outline.push_out > 0:
            assert wound == pytest.approx(outline.scar_length)
        cranial, caudal = outline.scar_ends
        assert tuple(run[0]) == _near(cranial)
        assert tuple(run[-1]) == _near(caudal)


def test_outline_and_wound_share_a_frame():
    """Between the apexes the wound runs midway between the edges that are drawn."""
    for one, figure in _drawn():
        outline = shown(one).outline
        ring = figure.plan_path("outline")
        assert shapely.Polygon(ring).area == _near(outline.area_mm2)
        (run,) = figure.plan_runs("scar")
        inside = run[(run[:, 1] > outline.caudal_apex) & (run[:, 1] < outline.cranial_apex)]
        middle = (
            outline.edge_x("medial", inside[:, 1]) + outline.edge_x("lateral", inside[:, 1])
        ) / 2
        assert inside[:, 0] == pytest.approx(middle, abs=1e-2)


def test_stitches_stand_across_the_wound():
    """One stroke a stitch, centred on the wound and upright to it, none at its ends."""
    for one, figure in _drawn():
        row, outline = shown(one).superficial_row, shown(one).outline
        if not row.stitches:
            assert not figure.has("superficial-row")
            continue
        strokes = figure.plan_runs("superficial-row")
        assert len(strokes) == row.stitches
        (run,) = figure.plan_runs("scar")
        wound = shapely.LineString(run)
        places = []
        for stroke in strokes:
            middle = shapely.Point(stroke.mean(axis=0))
            assert wound.distance(middle) < 0.02
            places.append(wound.project(middle))
        steps = np.diff([0.0, *sorted(places), wound.length])
        assert steps == pytest.approx(
            np.full(row.stitches + 1, wound.length / (row.stitches + 1)), rel=0.01
        )
        lowest = min(strokes, key=lambda stroke: stroke[:, 1].mean())
        (dx, dy), slope = lowest[1] - lowest[0], outline.axis_slope_at_caudal_apex
        if slope == 0:
            assert dy == pytest.approx(0.0, abs=2e-3)
        assert dx != 0


def test_push_out_is_measured_at_both_ends_where_it_is_seen():
    """The arrows span the push-out; below 1 mm on the page there is none."""
    seen = 0
    for one, figure in _drawn():
        push_out = shown(one).outline.push_out
        wanted = push_out * figure.scale >= 1.0
        for end in ("cranial", "caudal"):
            assert figure.has(f"dimension-push-out-{end}") == wanted
            if wanted:
                seen += 1
                tips = [run[0] for run in figure.plan_runs(f"dimension-push-out-{end}")[-2:]]
                assert np.hypot(*(tips[1] - tips[0])) == _near(push_out)
    assert seen > 60


def test_it_is_seen_that_the_wound_lies_off_the_midline():
    """The midline is drawn, and the distance of the wound's cranial end from it measured."""
    for one, figure in _drawn():
        offset = shown(one).outline.offset
        assert np.ptp(figure.plan_path("midline")[:, 0]) == 0
        assert figure.has("dimension-offset") == (abs(offset) > 0.05)
        if figure.has("dimension-offset"):
            tips = [run[0] for run in figure.plan_runs("dimension-offset")[-2:]]
            assert abs(tips[1][0] - tips[0][0]) == _near(abs(offset))


def test_words_carry_the_numbers():
    """Lengths of outline, axis and scar, the push-out and the row of stitches are told."""
    for one, figure in _drawn()[:8]:
        outline, words = shown(one).outline, captions(one, VIEW)
        for value in (outline.length, outline.scar_length, outline.push_out):
            assert number(value) in words.caption
            assert number(value) in words.description
        assert number(outline.axis_length) in words.description
        row = shown(one).superficial_row
        assert f"{row.stitches}, {number(row.spacing)} apart" in words.description
        said = " ".join(text.words for text in figure.texts)
        assert f"length {number(outline.scar_length)}" in said
        assert f"push-out {number(outline.push_out)}" in said


def test_the_row_that_is_counted_is_the_superficial_one():
    """Where it is asked to be closer than the deep row, its own number stands at the strokes."""
    one = planned(technique={"superficial_spacing": "6 mm"})
    figure, plan = published(one, VIEW), shown(one)
    count = plan.superficial_row.stitches
    assert count > plan.deep_row.stitches
    assert len(figure.plan_runs("superficial-row")) == count
    said = " ".join(text.words for text in figure.texts)
    assert f"{count} superficial" in said


def test_left_mirrors_right():
    """The same marking on the other side lies in its own frame as on this one."""
    right, left = (published(planned(side=side), VIEW) for side in ("right", "left"))
    for gid in ("outline", "scar", "superficial-row"):
        one, other = right.plan_path(gid), left.plan_path(gid)
        assert other == _near(one)
    assert left.runs("scar")[0][0, 0] < left.runs("midline")[0][0, 0]


def test_stitches_are_named_at_a_stitch_and_the_wound_between_two():
    """The leader of the row ends where a stroke ends, that of the wound meets no stroke."""
    named = 0
    for one, figure in _drawn():
        if not figure.has("superficial-row") or not figure.has("leaders"):
            continue
        strokes = np.array([run[:2] for run in figure.runs("superficial-row")])
        tips = shapely.MultiPoint(strokes.reshape(-1, 2))
        wound = shapely.LineString(np.vstack(figure.runs("scar")))
        ends = [shapely.Point(run[1]) for run in figure.runs("leaders") if len(run) == 2]
        named += any(tips.distance(end) < 0.05 for end in ends)
        rows = shapely.MultiLineString(list(strokes))
        on_wound = [end for end in ends if wound.distance(end) < 0.05]
        assert all(rows.distance(end) > 0.05 for end in on_wound), one.case.case
    assert named > 40


def test_words_of_the_wound_fit_where_it_lies_and_how_it_is_closed():
    """A wound on the midline does not lie beside it; a single stitch has no distance to another."""
    cases = extremes()
    beside = captions(planned(), VIEW)
    assert "comes no nearer to the midline than 20 mm" in beside.caption
    for name in ("centred on the midline", "shift to the midline"):
        words = captions(cases[name], VIEW)
        assert "it reaches the midline" in words.caption
        assert "the wound reaches the midline" in words.description
    assert "the only stitch of the superficial row." in captions(cases["tiny"], VIEW).description
