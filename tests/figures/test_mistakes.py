"""The mistake pairs: both panels measure what their plans measure, the difference is the one of the
two plans, and the broken rules stand below.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import FIGURE, Published, extremes, planned
from tests.strategies import generated_plans, shipped_plans

from offmidline import figures, messages
from offmidline.figures.scene.cross_section import cross_section
from offmidline.figures.views.mistakes.pair import RIGHT, WRONG, Pair, pair, verdict_words
from offmidline.figures.words import number
from offmidline.mistakes import MISTAKES, wrong_plans
from offmidline.plan import CasePlan, Plan
from offmidline.records.base import Side
from offmidline.rules import judge

VIEW = "mistakes"
# What a drawing may deviate: 0.1 %, and never less than what the file's decimals can say.
SHARE = 1e-3
LEAST = 0.02
# Shaded areas are drawn with hundredths of a mm on the page and chords for curves.
AREA_SHARE = 0.01
INFILTRATED = {"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "60 ml"}

Read = tuple[CasePlan, Pair, Published]


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=SHARE, abs=LEAST)


@lru_cache(maxsize=1)
def _cases() -> tuple[CasePlan, ...]:
    """Cases that have a right plan: shipped, some generated, some extreme."""
    cases = [*shipped_plans(), *generated_plans(0, 4), *list(extremes().values())[:4]]
    return tuple(one for one in cases if one.right is not None)


def _read(one: CasePlan, part: str) -> Published:
    return Published(figures.render(one, VIEW, part=part, figure_id=FIGURE).svg)


@lru_cache(maxsize=1)
def _all() -> tuple[Read, ...]:
    return tuple(
        (one, pair(one, part), _read(one, part))
        for one in _cases()
        for part in figures.VIEWS[VIEW].parts(one)
    )


def _pictures(*kinds: str) -> Iterator[Read]:
    """The pictures of these kinds, or of these mistakes, of all cases."""
    for read in _all():
        if read[1].picture in kinds or read[1].mistake.mistake in kinds:
            yield read


def test_parts_are_the_mistakes_that_apply():
    """A case has a picture for each mistake that it has room for, in the order of the list."""
    for one in _cases():
        applied = [mistake.mistake for mistake in MISTAKES if mistake.apply(one) is not None]
        assert list(figures.VIEWS[VIEW].parts(one)) == applied


def test_every_mistake_has_a_picture():
    """No mistake of the list lacks a case here that shows it."""
    seen = {part for one in _cases() for part in figures.VIEWS[VIEW].parts(one)}
    assert seen == {mistake.mistake for mistake in MISTAKES}


def test_wrong_plans_go_with_their_case():
    """Wrong plans are worked out once for a case, and are those of no other case."""
    one, other = planned(), planned(side="left")
    assert wrong_plans(one) is wrong_plans(one)
    assert wrong_plans(one)["wrong-side"].marking.side == "left"
    assert wrong_plans(other)["wrong-side"].marking.side == "right"


def test_a_case_without_a_right_marking_has_no_pictures():
    """Where no marking is right, none is shown beside a wrong one."""
    with pytest.raises(figures.NoMarkingError):
        figures.VIEWS[VIEW].parts(planned(pits=[(8, 2)]))


def test_rules_that_are_not_met_stand_below_the_drawing():
    """The table tells each rule that the wrong plan does not meet, with both values; first those
    that the mistake always breaks.
    """
    for _, shown, figure in _pictures("surface", "section", "closure", "dose"):
        broken = [v for v in judge(shown.wrong) if v.verdict == "not met"]
        always = [v for v in broken if v.rule in shown.mistake.breaks]
        rest = [v for v in broken if v.rule not in shown.mistake.breaks]
        assert {v.rule for v in always} == shown.mistake.breaks
        heads = [_cell(figure, 0, column) for column in (1, 2, 3)]
        assert heads == ["Rule that is not met", "Measured", "Required"]
        for row, verdict in enumerate([*always, *rest], 1):
            assert _cell(figure, row, 1) == verdict.title
            measured, required = _cell(figure, row, 2), _cell(figure, row, 3)
            assert f"measured {measured}, required {required}" in verdict_words(verdict)
        assert not figure.has(f"not-met-{len(broken) + 1}-2")


def _cell(figure: Published, row: int, column: int) -> str:
    """The text of a cell, its lines joined."""
    name = f"not-met-{row}-{column}"
    if figure.has(name):
        return figure.text_of(name)
    lines = [figure.text_of(f"{name}-{line}") for line in (1, 2) if figure.has(f"{name}-{line}")]
    return " ".join(lines)


@pytest.mark.parametrize(
    ("mistake", "words"),
    [
        ("caudal-shift-forgotten", ("Caudal shift", "0 mm", "10 mm ± 1 mm")),
        ("wrong-side", ("Side of the flap", "left", "right")),
        ("reach-missing", ("Reach at the widest level", "0 mm", "at least 5 mm")),
        ("lateral-wall-vertical", ("Lateral cut", "90°", "45° ± 5°")),
        ("flap-too-thin", ("Thickness of the flap", "5 mm", "at least 10 mm")),
        ("dose-unit-slip", ("Dose of the infiltration", "1200 mg", "at most 200 mg")),
    ],
)
def test_values_of_broken_rules(mistake: str, words: tuple[str, str, str]):
    """What was measured and required, worked out by hand from the usual technique."""
    figure = _read(planned(infiltration=INFILTRATED), mistake)
    assert tuple(_cell(figure, 1, column) for column in (1, 2, 3)) == words


def test_both_outlines_are_those_of_their_plans():
    """Area, apexes and width of the outline in each panel are the plan's, in one scale."""
    for _, shown, figure in _pictures("surface"):
        scales = {figure.groups[gid].get("data-scale") for gid in ("right", "wrong")}
        assert len(scales) == 1
        for gid, plan in (("right", shown.right), ("wrong", shown.wrong)):
            assert figure.groups[gid].get("data-side") == plan.marking.side
            _is_outline(figure.plan_path(f"{gid}-outline"), plan)


def _is_outline(ring: np.ndarray, plan: Plan, sign: float = 1.0) -> None:
    outline, ring = plan.outline, ring * (sign, 1.0)
    assert shapely.Polygon(ring).area == _near(outline.area_mm2)
    assert tuple(ring[ring[:, 1].argmax()]) == _near(outline.cranial_point)
    assert tuple(ring[ring[:, 1].argmin()]) == _near(outline.caudal_point)


def test_the_right_outline_lies_under_the_wrong_one():
    """The second panel repeats the right outline, mirrored where the mistake is the side."""
    for _, shown, figure in _pictures("surface"):
        sign = 1.0 if shown.wrong.marking.side == shown.right.marking.side else -1.0
        _is_outline(figure.plan_path("wrong-right-outline"), shown.right, sign)
        assert not figure.has("right-right-outline")


def _middle(points: np.ndarray) -> np.ndarray:
    """The middle of the box round some points."""
    middle: np.ndarray = (points.min(axis=0) + points.max(axis=0)) / 2
    return middle


def test_both_panels_show_one_patient():
    """The same level lies at the same height, and a pit at the same place in both panels."""
    for _, _, figure in _pictures("surface"):
        one, other = (_middle(figure.plan_path(f"{gid}-pit-1")) for gid in ("right", "wrong"))
        assert one == pytest.approx(other, abs=LEAST)
        origins = [figure.groups[gid].get("data-origin-y") for gid in ("right", "wrong")]
        assert origins[0] == origins[1]


def test_shaded_excess_has_the_area_of_the_difference():
    """What is tinted is what the wrong outline takes beyond the right one."""
    for _, shown, figure in _pictures("surface"):
        wrong = shapely.Polygon(shown.wrong.outline.ring())
        mirror = (1, 1) if shown.wrong.marking.side == shown.right.marking.side else (-1, 1)
        right = shapely.Polygon(shown.right.outline.ring() * mirror)
        excess = wrong.difference(right).area
        drawn = 0.0
        if figure.has("wrong-excess-area"):
            drawn = sum(shapely.Polygon(r).area for r in figure.plan_runs("wrong-excess-area"))
        assert drawn == pytest.approx(excess, rel=AREA_SHARE, abs=AREA_SHARE * right.area)


@pytest.mark.parametrize("hatched", ["excess", "missing"])
def test_hatches_lie_in_what_differs(hatched: str):
    """Every hatch line lies in what one outline takes and the other does not."""
    for _, shown, figure in _pictures("surface"):
        if not figure.has(f"wrong-{hatched}"):
            continue
        mirror = (1, 1) if shown.wrong.marking.side == shown.right.marking.side else (-1, 1)
        wrong = shapely.Polygon(shown.wrong.outline.ring())
        right = shapely.Polygon(shown.right.outline.ring() * mirror)
        inside, outside = (wrong, right) if hatched == "excess" else (right, wrong)
        area = inside.difference(outside).buffer(0.2)
        lines = shapely.MultiLineString(figure.plan_runs(f"wrong-{hatched}"))
        assert area.contains(lines), (shown.mistake.mistake, hatched)


def test_hatches_differ_in_direction():
    """What is too much and what is missing are told apart without colour."""
    seen = 0
    for _, _, figure in _pictures("surface"):
        if not (figure.has("wrong-excess") and figure.has("wrong-missing")):
            continue
        seen += 1
        slopes = []
        for gid in ("wrong-excess", "wrong-missing"):
            run = max(figure.runs(gid), key=lambda run: float(np.ptp(run[:, 0])))
            slopes.append(float(np.sign(np.prod(run[1] - run[0]))))
        assert slopes[0] == -slopes[1] != 0
    assert seen > 20


def test_what_is_left_behind_is_crossed():
    """A pit that only the wrong marking leaves behind has a cross there and none in the first
    panel.
    """
    seen = 0
    for _, shown, figure in _pictures("caudal-pit-outside", "reach-missing"):
        for count, pit in enumerate(shown.wrong.pits, 1):
            assert figure.has(f"wrong-pit-{count}-cross") is not pit.excised
            assert not figure.has(f"right-pit-{count}-cross")
            seen += not pit.excised
    assert seen > 5


def test_findings_are_named_once():
    """In the second panel only those findings have a label that fare otherwise than in the
    first.
    """
    for _, shown, figure in _pictures("surface"):
        told = {name for name in figure.names if name.startswith("wrong-label-pit-")}
        fates = [
            wrong.excised
            for right, wrong in zip(shown.right.pits, shown.wrong.pits, strict=True)
            if right.excised != wrong.excised
        ]
        assert bool(told) is bool(fates)
        assert any(name.startswith("right-label-pit-excised") for name in figure.names)


@pytest.mark.parametrize(
    ("mistake", "dimension", "measure"),
    [
        ("caudal-shift-forgotten", "caudal-apex", lambda o: o.caudal_point[0]),
        ("caudal-shift-forgotten", "offset", lambda o: o.offset),
        ("too-short", "length", lambda o: o.length),
        ("too-short", "width", lambda o: o.width),
        ("oblique-misread", "offset", lambda o: o.offset),
        ("wrong-side", "offset", lambda o: o.offset),
    ],
)
def test_both_panels_have_the_dimension_that_it_is_about(
    mistake: str, dimension: str, measure: Any
):
    """The dimension stands in both panels, with the value of its plan."""
    for _, shown, figure in _pictures(mistake):
        for gid, plan in (("right", shown.right), ("wrong", shown.wrong)):
            text = figure.text_of(f"{gid}-dimension-{dimension}-text")
            assert text.endswith(f" {number(measure(plan.outline))}"), (mistake, gid)


@pytest.mark.parametrize(
    ("mistake", "label", "words"),
    [("centred-on-midline", "offset", "offset 0"), ("reach-missing", "reach", "reach 0")],
)
def test_a_length_of_nothing_is_told(mistake: str, label: str, words: str):
    """What has no length has no dimension but a label in its place."""
    for _, _, figure in _pictures(mistake):
        assert figure.text_of(f"wrong-label-{label}") == words
        assert figure.has(f"right-dimension-{label}")
        assert not figure.has(f"wrong-dimension-{label}")


@pytest.mark.parametrize("mistake", ["caudal-shift-forgotten", "caudal-shift-towards-midline"])
def test_the_prolonged_scar_shows_a_caudal_shift(mistake: str):
    """Scar and prolongation run from the caudal apex to where the plan says."""
    for _, shown, figure in _pictures(mistake):
        for gid, plan in (("right", shown.right), ("wrong", shown.wrong)):
            end = figure.plan_path(f"{gid}-scar")[-1]
            assert tuple(end) == _near(plan.outline.caudal_point)
            if figure.has(f"{gid}-scar-prolongation"):
                x, y = figure.plan_path(f"{gid}-scar-prolongation")[-1]
                if abs(y) < LEAST:
                    assert x == _near(plan.outline.passes_verge_at)


def test_sections_are_those_of_their_plans():
    """The walls in each section run where the plan's walls run, at one scale."""
    for _, shown, figure in _pictures("section"):
        assert figure.groups["right"].get("data-scale") == figure.groups["wrong"].get("data-scale")
        assert figure.groups["right"].get("data-origin-x") == figure.groups["wrong"].get(
            "data-origin-x"
        )
        for gid, plan in (("right", shown.right), ("wrong", shown.wrong)):
            walls = cross_section(plan).walls
            for wall, points in (("medial-wall", walls.medial), ("lateral-wall", walls.lateral)):
                drawn = figure.plan_path(f"{gid}-{wall}") * (1, -1)
                assert drawn == pytest.approx(np.array(points), rel=SHARE, abs=LEAST)


@pytest.mark.parametrize(
    ("mistake", "dimension", "right", "wrong"),
    [
        ("lateral-wall-vertical", "lateral-cut", "45°", "90°"),
        ("medial-wall-bevelled", "medial-cut", "90°", "60°"),
        ("flap-too-thin", "flap-thickness", "flap 10", "flap 5"),
        ("undermining-too-short", "undermining", "undermined 20", "undermined 10"),
    ],
)
@pytest.mark.parametrize("side", ["left", "right"])
def test_sections_have_the_one_dimension(
    side: Side, mistake: str, dimension: str, right: str, wrong: str
):
    """Each section carries the dimension that the mistake is about, by hand from the technique."""
    figure = _read(planned(side=side), mistake)
    assert figure.text_of(f"right-dimension-{dimension}-text") == right
    assert figure.text_of(f"wrong-dimension-{dimension}-text") == wrong
    drawn = {name for name in figure.paths if "-dimension-" in name and not name.endswith("-arc")}
    assert drawn == {f"right-dimension-{dimension}", f"wrong-dimension-{dimension}"}


@pytest.mark.parametrize(
    ("mistake", "cut"),
    [
        ("lateral-wall-vertical", "lateral-wall"),
        ("medial-wall-bevelled", "medial-wall"),
        ("undermining-too-short", "undermining"),
    ],
)
def test_the_right_cut_lies_under_the_wrong_one(mistake: str, cut: str):
    """In the second panel the cut that runs otherwise is repeated as the first panel has it."""
    figure = _read(planned(), mistake)
    repeated = figure.plan_path(f"{WRONG}-right-{cut}")
    assert repeated == _near(figure.plan_path(f"{RIGHT}-{cut}"))
    wrong = figure.plan_path(f"{WRONG}-{cut}")
    assert np.abs(repeated[-1] - wrong[-1]).max() > 1


def test_fat_that_a_vertical_wall_takes():
    """The tinted wedge is d^2 / (2 tan t): 14 + 2 mm deep at 45 degrees, 128 mm2."""
    figure = _read(planned(), "lateral-wall-vertical")
    (ring,) = figure.plan_runs("wrong-excess-area")
    assert shapely.Polygon(ring).area == pytest.approx(16**2 / 2, rel=SHARE)
    assert not figure.has("wrong-missing")


def test_what_a_short_undermining_lacks():
    """The hatched part of the flap lies between the two undermining limits, as deep as the flap."""
    one = planned()
    figure, shown = _read(one, "undermining-too-short"), pair(one, "undermining-too-short")
    lines = np.vstack(figure.plan_runs("wrong-missing"))
    wrong, right = cross_section(shown.wrong).recess, cross_section(shown.right).recess
    assert lines[:, 0].min() >= right[0] - LEAST
    assert lines[:, 0].max() <= wrong[0] + LEAST
    assert (-lines[:, 1]).max() <= right[1] + LEAST
    assert not figure.has("wrong-excess")


def test_too_few_stitches_are_counted():
    """Each panel draws as many stitches as its plan has."""
    for _, shown, figure in _pictures("closure"):
        for gid, plan in (("right", shown.right), ("wrong", shown.wrong)):
            drawn = figure.plan_runs(f"{gid}-deep-row") if figure.has(f"{gid}-deep-row") else []
            assert len(drawn) == plan.deep_row.stitches


def test_doses_are_to_scale_in_mg():
    """Bars end at the doses, lines stand at the limits, and what is over the limit is shaded."""
    for _, shown, figure in _pictures("dose"):
        right, wrong = shown.right.dose, shown.wrong.dose
        assert right is not None
        assert wrong is not None
        for gid, dose in (("right", right), ("wrong", wrong)):
            bar = figure.plan_path(f"doses-{gid}-dose")
            assert np.ptp(bar[:, 0]) == pytest.approx(dose.dose_mg, rel=SHARE, abs=0.05)
        limit = figure.plan_path("doses-limit")
        assert limit[:, 0] == pytest.approx(np.full(2, wrong.limit_mg), rel=SHARE, abs=0.05)
        over = figure.plan_path("doses-excess-area")
        assert over[:, 0].min() == pytest.approx(wrong.limit_mg, rel=SHARE, abs=0.1)
        assert over[:, 0].max() == pytest.approx(wrong.dose_mg, rel=SHARE, abs=0.1)


@pytest.mark.parametrize(
    ("weight", "limit", "other"),
    [
        ("50 kg", "by weight 150 mg", "fixed limit 200 mg"),
        ("80 kg", "fixed limit 200 mg", "by weight 240 mg"),
    ],
)
def test_the_smaller_limit_is_marked(weight: str, limit: str, other: str):
    """3 mg/kg against 200 mg [bnf-ropivacaine]: the smaller one is the strong line."""
    patient = {"age": "30 years", "sex": "male", "weight": weight}
    one = planned(patient=patient, infiltration=INFILTRATED)
    figure = _read(one, "dose-over-limit")
    assert figure.text_of("doses-label-limit") == limit
    assert figure.text_of("doses-label-other-limit") == other


def test_the_dose_arithmetic_names_its_label():
    """The sum, the label with its country, both limits and the caution stand on the picture."""
    figure = _read(planned(infiltration=INFILTRATED), "dose-unit-slip")
    said = " ".join(text.words for text in figure.texts)
    for words in (
        "60 ml × 2 mg/ml = 120 mg",
        "600 ml × 2 mg/ml = 1200 mg",
        "Formulary wording for a field block",
        "United Kingdom",
        "3 mg/kg × 80 kg = 240 mg (common practice)",
        "The smaller one counts: 200 mg",
        messages.text("figures.dose.caution"),
    ):
        assert words in said, words


def test_shares_are_those_of_the_smaller_limit():
    """120 mg are 60 % of 200 mg, 1200 mg are 600 %; a patient of 50 kg has the smaller limit by
    weight, 150 mg, of which they are 80 % and 800 %.
    """
    weights = {"80 kg": ("200 mg", "60 %", "600 %"), "50 kg": ("150 mg", "80 %", "800 %")}
    for weight, (limit, *shares) in weights.items():
        patient = {"age": "30 years", "sex": "male", "weight": weight}
        figure = _read(planned(infiltration=INFILTRATED, patient=patient), "dose-unit-slip")
        told = [text.words for text in figure.texts]
        assert f"The smaller one counts: {limit}." in " ".join(told)
        assert [words for words in told if "of the smaller limit" in words] == [
            f"{share} of the smaller limit" for share in shares
        ]


def test_reservations_about_a_limit_are_told():
    """A limit that is no label's is called common practice, with its interval and its note."""
    given = {"agent": "bupivacaine", "concentration": "2.5 mg/ml", "volume": "20 ml"}
    one = planned(infiltration=given)
    agent = one.technique.infiltration["bupivacaine"]
    said = " ".join(text.words for text in _read(one, "dose-unit-slip").texts)
    assert f"Fixed limit 150 mg in any 4 h: {agent.label}" in said
    assert f"{agent.country} (common practice)." in said
    assert agent.note
    assert agent.note in said


def test_an_agent_without_a_limit_by_weight_has_one_line():
    """Where the label gives no limit by weight, that is said, and no second line is drawn."""
    given = {"agent": "levobupivacaine", "concentration": "2.5 mg/ml", "volume": "40 ml"}
    figure = _read(planned(infiltration=given), "dose-over-limit")
    assert not figure.has("doses-other-limit")
    assert messages.text("figures.dose.no_limit_by_weight") in " ".join(
        text.words for text in figure.texts
    )


def test_words_tell_both_plans():
    """The description carries the numbers of both plans, the broken rules and the feedback."""
    for one in _cases():
        for part in figures.VIEWS[VIEW].parts(one):
            shown, words = pair(one, part), figures.captions(one, VIEW, part)
            assert words.title == f"{shown.title}: {one.case.title}"
            assert words.caption.startswith(shown.title)
            assert verdict_words(shown.broken[0]) in words.caption
            assert "\n" not in words.caption
            assert messages.text(f"mistakes.{part}.feedback") in words.description
            for verdict in shown.broken:
                assert verdict_words(verdict) in words.description
            for plan in (shown.right, shown.wrong):
                assert all(value in words.description for value in _told(shown, plan))


def _told(shown: Pair, plan: Plan) -> list[str]:
    """Numbers that must be said of a plan, by the kind of picture."""
    marking, outline = plan.marking, plan.outline
    if shown.picture == "surface":
        return [number(v) for v in (outline.length, outline.width, outline.offset)]
    if shown.picture == "section":
        return [number(v) for v in (marking.depth, marking.lateral_cut_deg, marking.undermining)]
    if shown.picture == "closure":
        return [number(plan.deep_row.spacing)]
    return ["" if plan.dose is None else f"{number(plan.dose.dose_mg)} mg"]


@pytest.mark.parametrize(
    "part", ["caudal-shift-towards-midline", "lateral-wall-vertical", "wrong-side"]
)
def test_left_mirrors_right(part: str):
    """The same findings on the other side give the mirrored lines in the same places of the
    plan.
    """
    right, left = (_read(planned(side=side), part) for side in ("right", "left"))
    for name in ("right-outline", "wrong-outline", "right-lateral-wall", "wrong-lateral-wall"):
        if right.has(name):
            assert left.plan_path(name) == pytest.approx(right.plan_path(name), abs=LEAST)
    assert {left.groups[gid].get("data-side") for gid in ("right", "wrong")} == {
        {"left": "right", "right": "left"}[right.groups[gid].get("data-side", "")]
        for gid in ("right", "wrong")
    }
    middle = right.width / 2
    gid = "wrong-excess"
    mirrored = np.vstack(right.runs(gid)).mean(axis=0) * (-1, 1) + (2 * middle, 0)
    if part == "lateral-wall-vertical":
        # One below the other: the frame itself is mirrored on the page.
        assert np.vstack(left.runs(gid)).mean(axis=0) == pytest.approx(mirrored, abs=0.3)
