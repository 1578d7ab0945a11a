"""The sheet of numbers: its drawings to scale, its numbers the plan's, one page for print."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.figures.published import extremes, marked, planned, published, shown
from tests.strategies import generated_plans, shipped_plans

from offmidline import amounts, figures
from offmidline.figures.page.table import Row, RowGroup, balanced
from offmidline.figures.views.numbers.rows import number_groups
from offmidline.measure_words import measure_groups
from offmidline.rules import judge

CASES = [one for one in shipped_plans() if one.shown is not None]
# A4 upright is 297 mm high; this leaves margins for any printer.
GREATEST_HEIGHT = 250.0


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_marking_is_to_scale(one):
    """The small marking has the plan's length, width and apexes, to a thousandth."""
    figure, outline = published(one, "numbers"), shown(one).outline
    path = figure.plan_path("marking-outline")
    (x0, y0), (x1, y1) = path.min(axis=0), path.max(axis=0)
    assert y1 - y0 == pytest.approx(outline.length, rel=1e-3)
    ring = outline.ring()
    assert (x0, x1) == pytest.approx((ring[:, 0].min(), ring[:, 0].max()), abs=0.05)
    assert (
        figure.text_of("marking-dimension-width-text") == f"width {amounts.rounded(outline.width)}"
    )


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_section_is_to_scale(one):
    """The small section has the plan's depth and edges, to a thousandth."""
    figure, plan = published(one, "numbers"), shown(one)
    wall = figure.plan_path("section-medial-wall")
    assert wall[:, 0] == pytest.approx(-plan.outline.reach, abs=0.02)
    assert -wall[:, 1].min() == pytest.approx(plan.marking.depth, rel=1e-3)
    lateral = figure.plan_path("section-lateral-wall")
    assert lateral[0, 0] + plan.outline.reach == pytest.approx(plan.outline.width, rel=1e-3)


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_scale_bars_tell_each_panels_scale(one):
    """Each panel has a bar of 50 mm of its own scale, named beside it."""
    figure = published(one, "numbers")
    for panel in ("marking", "section"):
        scale = float(figure.groups[panel].get("data-scale", ""))
        bar = np.vstack(figure.runs(f"{panel}-scale-bar"))
        assert np.ptp(bar[:, 0]) == pytest.approx(50 * scale, rel=1e-3)
        assert figure.text_of(f"{panel}-scale") == f"1:{1 / scale:g}"


def test_numbers_are_the_plans():
    """Each value of the table is the plan's, rounded as everywhere."""
    one = planned(
        pits=[(60, 2), (74, 3)],
        openings=[(96, 22, "left", 5)],
        marking=marked(120, 20, 5),
        side="left",
        infiltration={"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"},
    )
    figure, plan = published(one, "numbers"), shown(one)
    outline = plan.outline
    expected = {
        "pits": "60, 74 mm",
        "offset": "20 mm",
        "caudal_shift": "10 mm",
        "reach": "5 mm",
        "size": "100, 50 mm",
        "length_to_width": "2",
        # Lens of 100 by 50 mm: two segments of a circle of 62.5 mm (calc).
        "area": "34.9 cm²",
        "edges": f"{outline.medial_edge:.1f}, {outline.lateral_edge:.1f} mm",
        "scar_length": f"{outline.scar_length:.1f} mm",
        "clearance": f"{plan.verge_clearance:.1f} mm",
        "volume": f"{plan.volume_ml:.1f} ml",
        "gaps": f"50, {plan.deep_gap:.1f} mm",
        "deep_row": f"{plan.deep_row.stitches}, {plan.deep_row.spacing:.1f} mm apart",
        "dose": "120 mg",
        "limit": "200 mg",
        "percent": "60 %",
    }
    assert {key: figure.text_of(f"row-{key}-value") for key in expected} == expected
    assert figure.text_of("row-opening-1-name") == "Opening 96, 22 left"
    assert figure.text_of("row-limit-name") == "Smaller limit, fixed"


def test_pairs_of_numbers_stand_in_the_order_of_their_name():
    """Cavity before fascia, thickness before undermining, medial before lateral; each row of
    stitches has its own spacing: 121.83 mm in 11 and in 21 pieces [derived].
    """
    cuts = {"lateral_cut": "60 deg", "medial_cut": "80 deg"}
    flap = {"flap_thickness": "12 mm", "undermining": "25 mm"}
    one = planned(
        marking=marked(120, 20, 5, 20, 10),
        section={**cuts, **flap},
        technique={"superficial_spacing": "6 mm"},
    )
    figure = published(one, "numbers")
    expected = {
        "depths": "14, 24 mm",
        "flap": "12, 25 mm",
        "cuts": "80, 60°",
        "deep_row": "10, 11.1 mm apart",
        "superficial_row": "20, 5.8 mm apart",
    }
    assert {key: figure.text_of(f"row-{key}-value") for key in expected} == expected


def test_the_dose_names_its_label_and_the_smaller_limit():
    """The limits' label is named in full; a light patient's smaller limit is by weight."""
    light = next(one for one in CASES if one.case.case == "bookbinder")
    figure, plan = published(light, "numbers"), shown(light)
    assert plan.marking.infiltrate is not None
    assert plan.dose is not None
    agent = plan.technique.infiltration[plan.marking.infiltrate.agent]
    said = " ".join(text.words for text in figure.texts)
    assert f"Fixed limit {agent.fixed_mg:g} mg: {agent.label}, {agent.country}." in said
    # The label gives no limit by weight: that it is common practice has to stand beside it.
    assert "3 mg/kg × 47 kg = 141 mg (common practice)." in said
    assert "An exercise in arithmetic" in said
    assert figure.text_of("row-limit-name") == "Smaller limit, by weight"
    assert figure.text_of("row-limit-value") == f"{plan.dose.limit_mg:g} mg"
    none = planned()
    assert not published(none, "numbers").has("row-dose-value")


def test_rules_that_are_not_met_are_told():
    """The counts are the verdicts', and each rule that is not met has its values in the table."""
    wrong = next(one for one in CASES if one.case.case == "glazier")
    figure, verdicts = published(wrong, "numbers"), judge(shown(wrong))
    outcomes = [verdict.verdict for verdict in verdicts]
    said = figure.text_of("row-rules-value")
    counts = [int(count) for count in re.findall(r"\d+", said)]
    assert counts == [outcomes.count(word) for word in ("met", "not applicable", "not met")]
    broken = [verdict.rule for verdict in verdicts if verdict.verdict == "not met"]
    assert broken
    rows = {name for name in figure.names if name.startswith("row-rule-")}
    assert {re.sub(r"-(name|value).*", "", name) for name in rows} == {
        f"row-rule-{rule}" for rule in broken
    }
    assert figure.text_of("row-rule-caudal-shift-value") == "0 mm, required 10 mm ± 1 mm"


def test_a_pit_left_behind_is_told():
    """A pit beyond the outline is listed as left behind, with the least margin negative."""
    one = planned(pits=[(34, 2), (70, 2)], marking=marked(130, 40, 5))
    figure = published(one, "numbers")
    assert figure.text_of("row-pits_left-value") == "34 mm"
    assert figure.text_of("row-pit_margin-value").startswith("−")


def test_one_pit_is_told_as_one():
    """The level of a pit that is alone is not that of several."""
    for pits, name in (([(60, 2)], "Pit at"), ([(60, 2), (70, 2)], "Pits at")):
        told = {
            row.name for group in number_groups(shown(planned(pits=pits))) for row in group.rows
        }
        assert name in told
        assert len(told & {"Pit at", "Pits at"}) == 1


def test_the_patient_has_no_name_and_no_markup():
    """The patient is one plain sentence above the drawings."""
    one = CASES[0]
    figure = published(one, "numbers")
    said = " ".join(figure.text_of(n) for n in sorted(figure.names) if n.startswith("patient"))
    assert f"{one.case.patient.age_years:g} years" in said
    assert f"{one.case.patient.weight_kg:g} kg" in said


def test_the_page_fits_a4():
    """Every shipped and generated case, and every extreme one of less than half a metre, fits A4
    upright at its true size.
    """
    cases = [*CASES, *generated_plans(0, 40), *extremes().values()]
    for one in cases:
        if one.shown is not None and one.shown.outline.length < 500:
            drawing = figures.VIEWS["numbers"].draw(one)
            assert drawing.width == 150
            assert drawing.height <= GREATEST_HEIGHT, one.case.title


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_the_words_hold_all_numbers(one):
    """The description says every measure under its full name, the findings, the dose and the
    verdicts; the caption has the size and the volume.
    """
    plan, words = shown(one), figures.captions(one, "numbers")
    for group in measure_groups(plan):
        for measure in group.measures:
            assert f"{measure.name}: {measure.value}." in words.description
    for rows in number_groups(plan):
        if rows.gid in {"findings", "dose", "rules"}:
            assert all(row.value in words.description for row in rows.rows)
    assert "[" not in words.description
    assert f"{amounts.rounded(plan.volume_ml)} ml" in words.caption


def test_left_is_the_mirror_of_right():
    """A case on the other side has both drawings mirrored and the same table."""
    right, left = (published(planned(side=side), "numbers") for side in ("right", "left"))
    for gid in ("marking-outline", "marking-scar", "section-medial-wall", "section-deep-row"):
        assert right.plan_path(gid) == pytest.approx(left.plan_path(gid), abs=0.02)
        one, other = (np.ptp(figure.runs(gid)[0][[0, -1]], axis=0) for figure in (right, left))
        assert one == pytest.approx(other, abs=0.02)
    tables = [
        {t.gid: t.words for t in figure.texts if t.gid.startswith("row-")}
        for figure in (right, left)
    ]
    assert tables[0] == tables[1]


def rows_of(*pairs: tuple[str, str]) -> RowGroup:
    """A group of rows."""
    rows = (Row(f"row-{index}", name, value) for index, (name, value) in enumerate(pairs))
    return RowGroup("group", "Title", tuple(rows))


def test_a_value_stands_beside_its_name_or_below_it():
    """Short ones share a line, longer ones take two, and what fits no line runs on indented."""
    short, wide = rows_of(("Name", "12 mm")), rows_of(("A name that is long", "a long value, too"))
    prose = rows_of(("Name", "a value so long that it does not fit into one line of a column"))
    one = {w.gid: w for w in short.writings(10, 100, 60)}
    assert one["row-0-name"].y == one["row-0-value"].y
    assert (one["row-0-value"].x, one["row-0-value"].anchor) == (70, "end")
    two = {w.gid: w for w in wide.writings(10, 100, 60)}
    assert two["row-0-value"].y < two["row-0-name"].y
    many = [w for w in prose.writings(10, 100, 60) if "value" in w.gid]
    assert len(many) > 1
    assert all(w.x > 10 and w.anchor == "start" for w in many)
    assert short.height(60) < wide.height(60) < prose.height(60)


def test_columns_end_at_much_the_same_height():
    """Groups go where the longer column stays short, in order where that costs little."""
    groups = [rows_of(*[("Name", "1 mm")] * count) for count in (2, 8, 3, 5)]
    first, second = balanced(groups, 60, (0, 0))
    assert len(first) + len(second) == 4
    ends = [sum(group.height(60) for group in column) for column in (first, second)]
    assert abs(ends[0] - ends[1]) < 20
    assert first[0] is groups[0]
    assert balanced(groups, 60, (0, 500)) == (groups, [])
