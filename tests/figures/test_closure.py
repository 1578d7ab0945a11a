"""Closure: pairs, gaps and stitches in the published file are those of the plan."""

from __future__ import annotations

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
from offmidline.figures.words import number
from offmidline.geometry.outline import Outline
from offmidline.mistakes import MISTAKES
from offmidline.plan import CasePlan, Plan

ROWS = ("deep-row", "superficial-row")
SHARES = ([0.5], [0.25, 0.75], [0.125, 0.375, 0.625, 0.875])
(TOO_FEW,) = (one for one in MISTAKES if one.mistake == "too-few-deep-stitches")


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=4e-3)


@lru_cache(maxsize=1)
def _drawn() -> tuple[Drawn, ...]:
    cases = (*shipped_plans(), *generated_plans(0, 8), *extremes().values())
    return tuple(item for one in cases for item in pictures(one, "closure"))


def _pictures(part: str) -> Iterator[tuple[CasePlan, Published]]:
    names = {
        "pairing": "Pairing of the edges",
        "deep-row": "Deep row",
        "superficial-row": "Superficial row",
        "too-few": "Too few deep stitches",
    }
    for one, rendered, figure in _drawn():
        if rendered.title.startswith(names[part]):
            yield one, figure


def _edges(ring: np.ndarray, outline: Outline) -> dict[str, shapely.LineString]:
    """The two edges of a published outline from caudal to cranial, split at the cranial apex."""
    top = int(ring[:, 1].argmax())
    lateral, medial = ring[: top + 1], ring[top:][::-1]
    assert tuple(lateral[0]) == _near(outline.caudal_point)
    return {"lateral": shapely.LineString(lateral), "medial": shapely.LineString(medial)}


def _shares(edge: shapely.LineString, points: np.ndarray) -> list[float]:
    """How far along an edge points lie, as shares of its length; each lies on it."""
    found = [shapely.Point(point) for point in points]
    assert max(edge.distance(point) for point in found) < 0.02
    return [float(edge.project(point, normalized=True)) for point in found]


def test_parts_are_named_and_the_mistake_is_left_out_where_it_cannot_be_made():
    """Three pictures always, a fourth where the right marking has stitches to lose."""
    for one, _ in _pictures("pairing"):
        parts = figures.VIEWS["closure"].parts(one)
        assert parts[:3] == ("pairing", *ROWS)
        assert (parts[3:] == ("too-few",)) == (TOO_FEW.apply(one) is not None)
    bad = planned(pits=[(8, 2), (60, 3)], marking=marked(120, 20, 5))
    assert bad.right is None
    assert figures.VIEWS["closure"].parts(bad) == ("pairing", *ROWS)
    with pytest.raises(figures.UnknownPartError):
        published(bad, "closure", part="too-few")


def test_pairs_join_equal_shares_of_both_edges():
    """Measured along the published outline, the ends of each line lie at the rule's fractions."""
    for one, figure in _pictures("pairing"):
        outline = shown(one).outline
        edges = _edges(figure.plan_runs("outline-outline")[0], outline)
        for count, shares in enumerate(SHARES, 1):
            lines = figure.plan_runs(f"outline-pairs-{count}")
            assert len(lines) == len(shares)
            for end, edge in enumerate(("medial", "lateral")):
                points = np.array([line[end] for line in lines])
                assert _shares(edges[edge], points) == pytest.approx(shares, abs=2e-3)


def test_rounds_are_told_by_weight_and_number():
    """Each round is drawn thinner than the one before, and where there is room it is numbered."""
    numbered = 0
    for _, figure in _pictures("pairing"):
        widths = [
            float(figure.paths[f"outline-pairs-{count}"].get("stroke-width") or 0)
            for count in (1, 2, 3)
        ]
        assert widths[0] > widths[1] > widths[2] > 0
        digits = sorted(text.words for text in figure.texts if "-round-" in text.gid)
        assert digits in ([], list("1223333"))
        numbered += bool(digits)
    assert numbered > 25


def test_gaps_are_the_plans_at_every_level():
    """Both curves have at every level the gap of the outline and of the deep row."""
    for one, figure in _pictures("pairing"):
        plan = shown(one)
        for gid, widest, at_apex in (
            ("skin-gap", plan.skin_gap, 0.0),
            ("deep-gap", plan.deep_gap, _deep_apex(plan)),
        ):
            curve = figure.plan_path(f"gap-{gid}")
            step = 2e-3 * curve[:, 0].max()
            assert (curve[0, 1], curve[-1, 1]) == _near(
                (plan.outline.caudal_apex, plan.outline.cranial_apex)
            )
            assert (curve[0, 0], curve[-1, 0]) == pytest.approx((at_apex, at_apex), abs=step)
            assert curve[:, 0].max() == pytest.approx(widest, abs=step)
            assert curve[curve[:, 0].argmax(), 1] == pytest.approx(
                plan.outline.widest_level, abs=0.02 * plan.outline.length
            )
        skin = figure.plan_path("gap-skin-gap")
        expected = plan.outline.width_at(skin[:, 1])
        assert np.abs(skin[:, 0] - expected).max() < 0.01 * plan.skin_gap


def _deep_apex(plan: Plan) -> float:
    """Gap at an apex, where the outline has no width [derived: two sides of a right angle]."""
    marking = plan.marking
    return float(np.hypot(marking.undermining, marking.depth - marking.flap_thickness))


def test_each_curve_of_the_gap_has_its_own_name():
    """The leader of a name ends at its own curve; where there is none, that one is nearer."""
    led = 0
    for _, figure in _pictures("pairing"):
        curves = {
            name: shapely.LineString(figure.runs(f"gap-{name}-gap")[0]) for name in ("skin", "deep")
        }
        leaders = figure.runs("gap-leaders") if figure.has("gap-leaders") else []
        for name, other in (("skin", "deep"), ("deep", "skin")):
            box = next(t.box for t in figure.texts if t.gid.startswith(f"gap-label-{name}-gap"))
            ends = [run[-1] for run in leaders if box.distance(shapely.Point(run[0])) < 2]
            at = shapely.Point(ends[0]) if ends else box
            assert at.distance(curves[name]) < at.distance(curves[other])
            if ends:
                led += 1
                assert at.distance(curves[name]) < 0.1
    assert led > 20


def test_levels_of_the_plot_are_those_of_the_outline():
    """The ends of both curves lie at the height of the apexes on the page."""
    for _, figure in _pictures("pairing"):
        ring, curve = figure.runs("outline-outline")[0], figure.runs("gap-skin-gap")[0]
        assert (curve[:, 1].min(), curve[:, 1].max()) == _near((ring[:, 1].min(), ring[:, 1].max()))


@pytest.mark.parametrize("part", ROWS)
def test_stitches_lie_at_equal_spacing_on_both_edges(part: str):
    """As many lines as stitches, at equal shares of both published edges, none at an apex."""
    for one, figure in _pictures(part):
        plan = shown(one)
        row = plan.deep_row if part == "deep-row" else plan.superficial_row
        assert figure.has(part) == (row.stitches > 0)
        if not row.stitches:
            continue
        edges = _edges(figure.plan_runs("outline")[0], plan.outline)
        lines = figure.plan_runs(part)
        shares = np.arange(1, row.stitches + 1) / (row.stitches + 1)
        for end, edge in enumerate(("medial", "lateral")):
            points = np.array([line[end] for line in lines])
            assert _shares(edges[edge], points) == pytest.approx(list(shares), abs=2e-3)
        knots = len(figure.runs(f"{part}-knots"))
        assert knots == 2 * row.stitches


@pytest.mark.parametrize("part", ROWS)
def test_the_strong_stretch_is_one_spacing_long_and_told(part: str):
    """Along the medial edge it measures the row's spacing, which its label tells, and the limit."""
    for one, figure in _pictures(part):
        plan, settings = shown(one), one.technique.settings
        row = plan.deep_row if part == "deep-row" else plan.superficial_row
        asked = settings.deep_spacing if part == "deep-row" else settings.superficial_spacing
        stretch = shapely.LineString(figure.plan_path(f"{part}-spacing"))
        assert stretch.length == pytest.approx(row.spacing, rel=5e-3)
        said = _label(figure, f"label-{part}")
        assert f"{number(row.spacing)} apart" in said
        assert said[-1] == f"{number(asked)} at most"
        assert ("too far:" in said) == (row.spacing > asked + 1e-6)


def _label(figure: Published, gid: str) -> list[str]:
    """The lines of a label, from above."""
    lines = [text for text in figure.texts if text.gid.rpartition("-")[0] == gid]
    return [text.words for text in sorted(lines, key=lambda text: text.gid)]


def test_too_few_stitches_stand_beside_as_many_as_asked():
    """The first panel has the right row, the second that of the mistake, each with its numbers."""
    seen = 0
    for one, figure in _pictures("too-few"):
        wrong = TOO_FEW.apply(one)
        assert wrong is not None
        assert one.right is not None
        seen += 1
        for panel, plan in (("enough", one.right), ("too-few", wrong)):
            row = plan.deep_row
            lines = figure.plan_runs(f"{panel}-deep-row") if row.stitches else []
            assert len(lines) == row.stitches
            said = _label(figure, f"{panel}-label-deep-row")
            assert said[0] == f"{number(row.spacing)} apart"
            assert ("too far:" in said) == (panel == "too-few")
            title = " ".join(t.words for t in figure.texts if t.gid.startswith(f"title-{panel}"))
            assert title.endswith("1 stitch" if row.stitches == 1 else f"{row.stitches} stitches")
    assert seen > 25


def test_words_carry_the_plans_numbers():
    """Edges, mismatch and gaps, and number, spacing and greatest spacing, are in the words."""
    for one in shipped_plans():
        if one.shown is None:
            continue
        plan, outline = one.shown, one.shown.outline
        pairing = figures.captions(one, "closure", "pairing")
        for value in (
            outline.medial_edge,
            outline.lateral_edge,
            outline.edge_mismatch_percent,
            plan.skin_gap,
            plan.deep_gap,
        ):
            assert number(value) in pairing.caption
            assert number(value) in pairing.description
        assert number(_deep_apex(plan)) in pairing.description
        row = figures.captions(one, "closure", "deep-row")
        met = plan.deep_row.spacing <= one.technique.settings.deep_spacing
        assert row.description.endswith(": met." if met else ": not met.")
        for text in (row.caption, row.description):
            assert f"{plan.deep_row.stitches} stitches" in text
            assert number(plan.deep_row.spacing) in text
            assert number(one.technique.settings.deep_spacing) in text


def test_each_number_stands_in_its_own_place():
    """The edges are those of the outline table, 121.83 and 111.33 mm [derived]; where at most 6 mm
    are asked of the superficial row alone, 20 stitches cut them into 21 pieces.
    """
    one = planned(marking=marked(120, 20, 5, 20, 10), technique={"superficial_spacing": "6 mm"})
    halves = published(one, "closure", part="pairing").plan_path("outline-pairs-1")
    medial, lateral = (float(level) for level in halves[:, 1])
    assert medial < lateral
    said = figures.captions(one, "closure", "pairing").description
    assert "medial edge is 121.8 long and its lateral edge 111.3" in said
    assert f"medial edge lies {number(medial)} above" in said
    assert f"lateral edge {number(lateral)}." in said
    plan = shown(one)
    assert f"{number(plan.deep_gap)} at the widest level and {number(_deep_apex(plan))}" in said
    row = figures.captions(one, "closure", "superficial-row").description
    assert "121.8 long, they lie 5.8 apart; along the lateral edge, 111.3 long, 5.3." in row
    assert "at most 6: met." in row
    label = _label(published(one, "closure", part="superficial-row"), "label-superficial-row")
    assert label == ["20 stitches", "5.8 apart", "6 at most"]
    few = figures.captions(one, "closure", "too-few").description
    assert "at most 12: not met" in few


@pytest.mark.parametrize("part", ["pairing", *ROWS, "too-few"])
def test_a_left_sided_case_mirrors_a_right_sided_one(part: str):
    """In the frame of the plan every line is the same; on the page the medial side changes."""
    left, right = (
        published(planned(side=side), "closure", part=part) for side in ("left", "right")
    )
    for gid in sorted(left.paths):
        if "gap" in gid or not any(word in gid for word in ("outline", "pairs", "row")):
            continue
        if gid.endswith(("knots", "leaders")) or "cleft" in gid or "buttock" in gid:
            continue
        assert left.plan_path(gid) == pytest.approx(right.plan_path(gid), abs=4e-3)
    group = {"pairing": "outline-", "too-few": "enough-"}.get(part, "")
    for figure, sign in ((left, -1), (right, 1)):
        ring, midline = figure.runs(f"{group}outline")[0], figure.runs(f"{group}midline")[0]
        assert (ring[:, 0].mean() - midline[0, 0]) * sign > 0


def test_no_stitch_and_one_are_said_as_words():
    """A tiny outline has one stitch, or none: it is named so, and a row of none has no lines."""
    tiny = published(extremes()["tiny"], "closure", part="deep-row")
    assert _label(tiny, "label-deep-row")[0] == "1 stitch"
    none = planned(marking=marked(70, 60, -17), closure={"deep_stitches": "0"})
    figure = published(none, "closure", part="deep-row")
    assert _label(figure, "label-deep-row")[0] == "no stitch"
    assert not figure.has("deep-row")
