"""The published drawing says what the plan says: lengths, areas and places read from the SVG."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
import shapely
from svgpathtools import parse_path
from tests.figures.published import FIGURE, Published, drawn, marked, plans, shown
from tests.strategies import a_case, a_technique

from offmidline import figures
from offmidline.figures.page.board import LEAST_SYMBOL
from offmidline.figures.scene.cross_section import cross_section
from offmidline.figures.scene.traces import outline_trace
from offmidline.figures.words import number
from offmidline.geometry.outline import Edge
from offmidline.geometry.section import Trough
from offmidline.geometry.walls import walls
from offmidline.plan import CasePlan, plan_case

# What a drawing may deviate: 0.1 %, and never less than what three decimals can say.
SHARE = 1e-3
LEAST = 2e-3


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=SHARE, abs=LEAST)


def _markings():
    return [item for item in drawn("marking") if item[0].shown is not None]


def test_outline_has_the_plans_area_width_length_and_apexes():
    """The outline in the SVG measures what the plan measures."""
    for planned, _, figure in _markings():
        outline = shown(planned).outline
        ring = figure.plan_path("outline")
        assert shapely.Polygon(ring).area == _near(outline.area_mm2)
        top, bottom = ring[ring[:, 1].argmax()], ring[ring[:, 1].argmin()]
        assert tuple(top) == _near(outline.cranial_point)
        assert tuple(bottom) == _near(outline.caudal_point)
        assert top[1] - bottom[1] == _near(outline.length)
        level = ring[np.abs(ring[:, 1] - outline.widest_level) < 1e-2]
        assert level[:, 0].max() - level[:, 0].min() == _near(outline.width)


def test_outline_measures_the_same_with_another_reader():
    """svgpathtools finds the plan's area and perimeter in the published path, at its scale."""
    for planned, _, figure in _markings():
        path = parse_path(figure.elements[f"{FIGURE}-outline"].get("d"))
        scale = figure.scale
        assert abs(path.area()) / scale**2 == pytest.approx(
            shown(planned).outline.area_mm2, rel=SHARE
        )
        assert path.length(error=1e-4) / scale == pytest.approx(
            shown(planned).outline.perimeter, rel=SHARE
        )


def test_outline_is_drawn_with_few_and_true_curves():
    """The cubics of an outline stay within 0.003 mm of its edges, per 100 mm of length."""
    for planned in plans():
        if planned.shown is None:
            continue
        outline = shown(planned).outline
        points = outline_trace(outline).points[:-1].reshape(-1, 2)
        starts = np.vstack([points[:1], points[3::3]])[:-1]
        middles = (starts + 3 * points[1::3] + 3 * points[2::3] + points[3::3]) / 8
        halves: list[tuple[Edge, np.ndarray]] = [("lateral", middles[:8]), ("medial", middles[8:])]
        for edge, half in halves:
            phi = np.arcsin(np.clip((half[:, 1] - outline.widest_level) / outline.radius, -1, 1))
            x, _ = outline.edge_point(edge, phi)
            assert np.abs(x - half[:, 0]).max() < 3e-3 * max(1, outline.length / 100)


def test_scar_covered_midline_and_findings_lie_where_the_plan_has_them():
    """Scar, its prolongation, the covered midline, pits and openings read back at their places."""
    for planned, _, figure in _markings():
        plan, outline = shown(planned), shown(planned).outline
        scar = figure.plan_path("scar")
        assert np.abs(scar[:, 0] - outline.axis(scar[:, 1])).max() < 1e-2
        assert figure.has("midline-covered") == (plan.midline_covered is not None)
        if plan.midline_covered is not None:
            bar = figure.plan_path("midline-covered")
            assert sorted(bar[:, 1]) == _near(list(plan.midline_covered))
            assert bar[:, 0] == _near([0.0, 0.0])
        found = [(f"pit-{n + 1}", 0.0, pit.at, pit.diameter) for n, pit in enumerate(plan.pits)]
        found += [(f"opening-{n + 1}", o.x, o.at, o.diameter) for n, o in enumerate(plan.openings)]
        for gid, x, at, diameter in found:
            ring = figure.plan_path(gid)
            centre = (ring.min(axis=0) + ring.max(axis=0)) / 2
            assert tuple(centre) == _near((x, at))
            assert np.ptp(ring[:, 0]) == _near(max(diameter, LEAST_SYMBOL / figure.scale))


def test_prolonged_scar_passes_the_verge_where_the_plan_says():
    """Where the page is wide enough for it, the prolongation ends at the level of the verge."""
    reached = 0
    for planned, _, figure in _markings():
        outline = shown(planned).outline
        if not figure.has("scar-prolongation"):
            assert outline.caudal_apex <= 0
            continue
        end = figure.plan_path("scar-prolongation")[-1]
        if abs(end[1]) < LEAST:
            reached += 1
            assert end[0] == _near(outline.passes_verge_at)
    assert reached > 50


@pytest.mark.parametrize(
    ("gid", "measure"),
    [
        ("length", lambda plan: plan.outline.length),
        ("width", lambda plan: plan.outline.width),
        ("offset", lambda plan: plan.outline.offset),
        ("caudal-apex", lambda plan: plan.outline.caudal_point[0]),
        ("reach", lambda plan: plan.outline.reach),
        ("verge-clearance", lambda plan: plan.verge_clearance),
    ],
)
def test_arrows_of_a_marking_span_what_they_measure(gid: str, measure):
    """The tips of the two arrowheads lie as far apart as the plan's measure."""
    seen = 0
    for planned, _, figure in _markings():
        if not figure.has(f"dimension-{gid}"):
            assert abs(measure(shown(planned))) <= 0.05
            continue
        seen += 1
        tips = [run[0] for run in figure.plan_runs(f"dimension-{gid}")[-2:]]
        assert np.hypot(*(tips[1] - tips[0])) == _near(abs(measure(shown(planned))))
    assert seen > 50


@pytest.mark.parametrize(
    ("gid", "measure"),
    [
        ("width", lambda plan: plan.outline.width),
        ("depth", lambda plan: plan.marking.depth),
        ("flap-thickness", lambda plan: plan.marking.flap_thickness),
        ("undermining", lambda plan: plan.marking.undermining),
        ("base-width", lambda plan: plan.base_width),
    ],
)
def test_arrows_of_a_section_span_what_they_measure(gid: str, measure):
    """The tips of the two arrowheads lie as far apart as the plan's measure."""
    for planned, _, figure in drawn("section"):
        if not figure.has(f"dimension-{gid}"):
            assert measure(shown(planned)) == 0
            continue
        tips = [run[0] for run in figure.plan_runs(f"dimension-{gid}")[-2:]]
        assert np.hypot(*(tips[1] - tips[0])) == _near(measure(shown(planned)))


def test_dimensions_of_a_marking_tell_what_they_measure():
    """Each text has its own name and length; an edge short of the midline, and a verge that lies
    inside the outline, are said so instead of a sign.
    """
    seen = set()
    for planned, _, figure in _markings():
        plan = shown(planned)
        outline, clear = plan.outline, plan.verge_clearance
        told = {
            "offset": ("offset", outline.offset),
            "caudal-apex": ("caudal apex", outline.caudal_point[0]),
            "width": ("width", outline.width),
            "length": ("length", outline.length),
            "reach": ("reach" if outline.reach > 0 else "short of midline", abs(outline.reach)),
            "verge-clearance": ("to verge" if clear > 0 else "verge inside", abs(clear)),
        }
        for gid, (word, value) in told.items():
            if figure.has(f"dimension-{gid}"):
                assert figure.text_of(f"dimension-{gid}-text") == f"{word} {number(value)}"
                seen.add(word)
    assert {"reach", "short of midline", "to verge", "verge inside"} < seen


def test_dimensions_of_a_section_tell_what_they_measure():
    """Each text has its own name and length, and the arc the angle of the lateral wall."""
    for planned, _, figure in drawn("section"):
        plan = shown(planned)
        marking = plan.marking
        told = {
            "width": f"width {number(plan.outline.width)}",
            "depth": f"depth {number(marking.depth)}",
            "flap-thickness": f"flap {number(marking.flap_thickness)}",
            "undermining": f"undermined {number(marking.undermining)}",
            "base-width": f"floor {number(plan.base_width)}",
            "lateral-cut": f"{number(marking.lateral_cut_deg)}°",
        }
        for gid, words in told.items():
            if figure.has(f"dimension-{gid}"):
                assert figure.text_of(f"dimension-{gid}-text") == words


def test_covered_midline_and_undermining_are_labelled_with_their_lengths():
    """Labels tell the two levels of the covered midline, low first, and how far is undermined."""
    seen = 0
    for planned, _, figure in _markings():
        plan = shown(planned)
        said = [" ".join(_label(figure, gid)) for gid in ("covered", "undermined")]
        if plan.midline_covered is not None:
            low, high = map(number, plan.midline_covered)
            assert said[0] == f"midline covered {low} to {high}"
            seen += 1
        if plan.marking.undermining > 0:
            assert said[1] == f"undermined {number(plan.marking.undermining)}"
    assert seen > 50


def _label(figure: Published, gid: str) -> list[str]:
    """The lines of a label."""
    return [t.words for t in figure.texts if re.fullmatch(rf"label-{gid}(-\d+)?", t.gid)]


def _planned(**parts: Any) -> CasePlan:
    """A crafted case planned under the usual technique."""
    return plan_case(a_case(**parts), a_technique())


# The outline of the tables, 100 mm long, its caudal apex 20 mm from the verge.
_TABLE = marked(120, 20, 5, 20, 10)


def test_words_of_a_marking_tell_its_measures():
    """Apexes, length, width, reach and scar are those of the outline table [derived]; the pits and
    openings have their margins and the outline its distance from the verge as measured.
    """
    findings = {"pits": [(24, 2), (74, 2)], "openings": [(90, 20, "right", 4)]}
    one = _planned(marking=_TABLE, section={"undermining": "25 mm"}, **findings)
    plan, said = shown(one), figures.captions(one, "marking").description
    (low_pit, high_pit), (opening,) = plan.pits, plan.openings
    low, high = map(number, plan.midline_covered or ())
    for words in (
        "on the right",
        "cranial apex 120 above the anal verge and 20 beside the midline",
        "caudal apex 20 above the verge and 30 beside the midline",
        "length 100, width 50",
        "passes the midline by 5.",
        f"from {low} to {high} above",
        f"Pit at 24: left behind, margin {number(low_pit.margin)}.",
        f"Pit at 74: excised, margin {number(high_pit.margin)}.",
        f"Opening at 90, 20 to the right: excised, margin {number(opening.margin)}.",
        "116.6 long",
        "level of the verge 38 beside its centre",
        f"stays {number(plan.verge_clearance)} from",
        "undermined for 25",
    ):
        assert words in said, words
    assert low_pit.margin < 0 < opening.margin
    short = _planned(marking=marked(120, 20, -8))
    assert "stops 8 short of the midline" in figures.captions(short, "marking").description


def test_words_of_a_section_tell_its_measures():
    """Edges, offset, angles and depths by hand; a floor 50 - 18 (cot 60 + cot 80) wide and a deep
    gap of hypot(25 + 25, 18 - 12) [derived].
    """
    cuts = {"lateral_cut": "60 deg", "medial_cut": "80 deg", "depth": "18 mm"}
    flap = {"flap_thickness": "12 mm", "undermining": "25 mm"}
    one = _planned(marking=_TABLE, section={**cuts, **flap}, side="left")
    said = figures.captions(one, "section").description
    for words in (
        "section 70 above the anal verge",
        "from -5 to 45 beside the midline",
        "new midline 20 to the left",
        "50 wide at the skin, 18 deep and 36.4 wide at its floor",
        "Medial wall 80 degrees, lateral wall 60 degrees",
        "cavity reaches 14 deep, the fascia lies at 24",
        "12 thick and undermined for 25",
        "gap of 50.4",
    ):
        assert words in said.replace("−", "-"), words


def test_section_is_true_to_scale_in_both_directions():
    """Trough area, deep row, fascia and cavity in the SVG measure what the plan measures."""
    for planned, _, figure in drawn("section"):
        plan = shown(planned)
        trough = shapely.Polygon(figure.plan_path("trough"))
        assert trough.area == _near(plan.trough_area_mm2)
        row = figure.plan_path("deep-row")
        assert np.hypot(*(row[1] - row[0])) == _near(plan.deep_gap)
        assert -figure.plan_path("fascia")[0, 1] == _near(planned.case.findings.fascia_depth)
        assert -figure.plan_path("cavity")[:, 1].min() == _near(planned.case.findings.cavity_depth)
        wall = figure.plan_path("lateral-wall")
        run = wall[0] - wall[1]
        angle = np.degrees(np.arctan2(run[1], run[0]))
        assert angle == pytest.approx(plan.marking.lateral_cut_deg, abs=0.1)


def test_cavity_lies_in_a_trough_that_can_hold_it():
    """Under the usual technique the drawn cavity stays inside the trough on every case."""
    held = 0
    for planned in plans():
        if planned.shown is None or planned.case.marking or planned.case.section:
            continue
        cut = cross_section(shown(planned))
        if cut.cavity.half_width <= 4:
            continue
        held += 1
        x, z = cut.cavity.centre
        ring = shapely.Point(x, z).buffer(1)
        ring = shapely.affinity.scale(ring, cut.cavity.half_width, cut.cavity.half_height)
        assert shapely.Polygon(cut.walls.ring).contains(ring)
    assert held > 80


@pytest.mark.parametrize("width", [4.0, 14.0, 30.0, 50.0, 180.0])
@pytest.mark.parametrize("lateral", [20.0, 45.0, 90.0, 120.0, 150.0])
@pytest.mark.parametrize("medial", [45.0, 90.0, 135.0])
def test_drawn_trough_has_the_area_and_base_of_the_measured_one(
    width: float, lateral: float, medial: float
):
    """For walls of every kind the drawn ring has the area and the floor of the closed form."""
    trough = Trough(20.0, lateral, medial)
    drawn_walls = walls(trough, -5.0, width - 5.0)
    area = shapely.Polygon(drawn_walls.ring).area
    assert area == pytest.approx(trough.area_mm2(width), rel=1e-9)
    floor = drawn_walls.lateral[-1][0] - drawn_walls.medial[-1][0]
    assert floor == pytest.approx(trough.base_width(width), abs=1e-9)
    assert drawn_walls.bottom == pytest.approx(trough.meeting_depth(width))


def test_scale_bar_measures_what_it_says():
    """The bar is 50 mm of the patient at the scale of the drawing."""
    for view in ("marking", "section"):
        for _, _, figure in drawn(view):
            (bar,) = figure.runs("scale-bar")
            assert np.ptp(bar[:, 0]) / figure.scale == _near(50.0)


def test_one_unit_of_the_file_is_one_millimetre():
    """The stated size is that of the view box, so that a print at full size is to scale."""
    for _, rendered, figure in drawn("marking"):
        assert figure.number("width") == rendered.width_mm
        assert figure.number("height") == _near(rendered.height_mm)
        assert (figure.width, figure.height) == _near((rendered.width_mm, rendered.height_mm))
