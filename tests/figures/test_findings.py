"""The findings before marking: places, distances, names, and what is said of an impossible case."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import Drawn, drawn, extremes, planned, published

from offmidline.figures import captions
from offmidline.figures.page.board import LEAST_SYMBOL
from offmidline.figures.words import conflict_words, number
from offmidline.plan import CasePlan


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=2e-3)


def _pictures() -> tuple[Drawn, ...]:
    return drawn("findings")


def _places(one: CasePlan) -> list[tuple[str, float, float, float]]:
    findings, side = one.case.findings, one.case.flap_side
    found = [(f"pit-{n}", 0.0, pit.at, pit.diameter) for n, pit in enumerate(findings.pits, 1)]
    return found + [
        (f"opening-{n}", o.lateral if o.side == side else -o.lateral, o.at, o.diameter)
        for n, o in enumerate(findings.openings, 1)
    ]


def test_findings_lie_where_the_case_has_them():
    """Every pit and opening is drawn at its level, on its side and as wide as it is."""
    for one, _, figure in _pictures():
        for gid, x, at, diameter in _places(one):
            ring = figure.plan_path(gid)
            assert tuple((ring.min(axis=0) + ring.max(axis=0)) / 2) == _near((x, at))
            assert np.ptp(ring[:, 0]) == _near(max(diameter, LEAST_SYMBOL / figure.scale))
            assert not figure.has(f"{gid}-cross")


def test_dimensions_measure_the_lowest_pit_and_each_opening():
    """The arrows span the level of the lowest pit and each opening's distance from the midline."""
    for one, _, figure in _pictures():
        findings = one.case.findings
        tips = [run[0] for run in figure.plan_runs("dimension-lowest-pit")[-2:]]
        assert abs(tips[1][1] - tips[0][1]) == _near(min(pit.at for pit in findings.pits))
        for gid, x, _, _ in _places(one)[len(findings.pits) :]:
            name = f"dimension-lateral-{gid.removeprefix('opening-')}"
            tips = [run[0] for run in figure.plan_runs(name)[-2:]]
            assert sorted(tip[0] for tip in tips) == _near(sorted((0.0, x)))
            assert number(abs(x)) in _text(figure, f"{name}-text")


def _text(figure: Any, gid: str) -> str:
    return " ".join(text.words for text in figure.texts if text.gid.startswith(gid))


def test_the_landmarks_are_named():
    """Midline, verge, coccyx, cleft and buttock are named, and both sides lettered."""
    for one, _, figure in _pictures():
        names = {"label-midline", "label-verge", "label-coccyx", "letter-left", "letter-right"}
        assert names <= figure.names
        assert not figure.has("outline")
        if one.shown is not None:
            assert _text(figure, "label-cleft") == "wall of the cleft"
            assert "buttock" in _text(figure, "label-buttock")


def test_levels_stand_beside_the_findings():
    """Few findings have each its level; many of a kind share a label with their range."""
    figure = published(
        planned(pits=[(50, 2), (61, 2)], openings=[(90, 20, "right", 4)]), "findings"
    )
    assert figure.text_of("dimension-lowest-pit-text") == "lowest pit at 50"
    assert figure.text_of("label-pit-2") == "pit at 61"
    assert not figure.has("label-pit-1")
    assert figure.text_of("label-opening-1") == "opening at 90"
    many = published(extremes()["many findings"], "findings")
    assert _text(many, "label-pits") == "12 pits, 40 to 106"
    assert _text(many, "label-openings") == "8 openings, 50 to 113"


def test_left_mirrors_right():
    """The same disease on the other side is the same picture mirrored."""
    sides = ("right", "left")
    right, left = (
        published(planned(openings=[(90, 25, side, 4)], side=side), "findings") for side in sides
    )
    for gid in ("opening-1", "midline", "pit-1"):
        one, other = right.plan_path(gid), left.plan_path(gid)
        assert other.min(axis=0) == _near(one.min(axis=0))
        assert other.max(axis=0) == _near(one.max(axis=0))
    x_right, x_left = (one.runs("opening-1")[0][:, 0].mean() for one in (right, left))
    assert x_right > right.width / 2 > x_left


def test_a_case_without_a_marking_tells_why():
    """The constraints that conflict stand on the page and in the description, and the circle to be
    kept free is drawn.
    """
    one = extremes()["no marking possible"]
    kept = one.technique.settings.verge_clearance
    for view in ("findings", "marking"):
        figure, words = published(one, view), captions(one, view)
        said = " ".join(text.words for text in figure.texts)
        for line in conflict_words(one.conflicts):
            assert line in said
            assert line in words.description
        ring = figure.plan_path("verge-clearance")
        assert np.hypot(*ring.T) == pytest.approx(np.full(len(ring), kept), rel=1e-3)


def test_words_count_and_place_the_findings():
    """Caption and description carry numbers of findings, levels, distances and diameters."""
    one = planned(pits=[(50, 2), (61, 2.5)], openings=[(90, 20, "left", 4)])
    words = captions(one, "findings")
    assert "2 pits" in words.caption
    assert "one secondary opening" in words.caption
    assert "the lowest 50 mm" in words.caption
    assert "Pit in the midline at 61, 2.5 wide." in words.description
    assert "Opening at 90, 20 to the left, 4 wide." in words.description
    bare = captions(planned(pits=[(50, 2)]), "findings")
    assert "one pit" in bare.caption
    assert "no secondary opening" in bare.caption


def test_the_contour_of_the_buttock_is_named_where_it_is_seen():
    """The leader of its name ends on what is drawn of it, also on a reduced page."""
    named = 0
    for one, _, figure in _pictures():
        runs = [
            run
            for half in ("medial", "lateral")
            if figure.has(f"buttock-{half}")
            for run in figure.runs(f"buttock-{half}")
        ]
        gids = [gid for gid in figure.names if gid.startswith("label-buttock")]
        if not gids or not figure.has("leaders"):
            assert not gids or runs
            continue
        drawn_there = shapely.MultiLineString(runs)
        label = shapely.union_all([text.box for text in figure.texts if text.gid in gids]).envelope
        leaders = [run for run in figure.runs("leaders") if len(run) == 2]
        starts = [label.distance(shapely.Point(run[0])) for run in leaders]
        nearest = int(np.argmin(starts))
        if starts[nearest] < 1.2:
            named += 1
            end = shapely.Point(leaders[nearest][1])
            assert drawn_there.distance(end) < 0.1, one.case.case
        else:
            assert drawn_there.distance(label) < 3, one.case.case
    assert named > 5
