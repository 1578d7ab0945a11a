"""Why the caudal shift: three scars, where each passes the level of the verge, and whose shift."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pytest
from tests.figures.published import Published, extremes, planned, published, shown
from tests.strategies import generated_plans, shipped_plans

from offmidline.figures import captions
from offmidline.figures.words import number
from offmidline.plan import CasePlan
from offmidline.variants import with_caudal_shift

VIEW = "caudal-shift"
SHARES = {"none": 0.0, "half": 0.5, "full": 1.0}


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-3, abs=2e-3)


@lru_cache(maxsize=1)
def _drawn() -> list[tuple[CasePlan, Published]]:
    cases = (*shipped_plans(), *generated_plans(0, 40), *extremes().values())
    return [(one, published(one, VIEW)) for one in cases if one.shown is not None]


def _full(one: CasePlan) -> float:
    own = shown(one).outline.caudal_shift
    return own if own > 0 else one.technique.settings.caudal_shift


def test_three_scars_with_no_half_and_full_shift():
    """Each line is the bent axis of the outline with its share of the shift."""
    for one, figure in _drawn():
        for name, share in SHARES.items():
            outline = with_caudal_shift(one, shown(one), share * _full(one)).outline
            line = figure.plan_path(f"scar-{name}")
            scar = line[line[:, 1] >= outline.caudal_apex - 1e-3]
            assert scar[:, 0] == pytest.approx(outline.axis(scar[:, 1]), abs=1e-2)
            top = outline.cranial_apex if name == "full" else outline.widest_level
            assert line[:, 1].max() == _near(top)


def test_the_lines_differ_in_type_and_the_full_shift_is_strongest():
    """No two have the same dashes, and the full shift's is the widest."""
    for _, figure in _drawn()[:5]:
        lines = [figure.paths[f"scar-{name}"] for name in SHARES]
        assert len({line.get("stroke-dasharray") for line in lines}) == 3
        widths = [float(line.get("stroke-width", "")) for line in lines]
        assert widths == sorted(widths)
        assert widths[-1] > widths[0]


def test_dimensions_tell_where_each_passes_the_level_of_the_verge():
    """From the midline to the end of each line, on a line of its own, with shift and distance."""
    seen = 0
    for one, figure in _drawn():
        heights = []
        for name, share in SHARES.items():
            outline = with_caudal_shift(one, shown(one), share * _full(one)).outline
            passes = outline.crosses_verge_at
            text = f"shift {number(share * _full(one))}: lateral {number(passes)}"
            assert text in " ".join(text.words for text in figure.texts), one.case.case
            if not figure.has(f"dimension-passes-{name}"):
                continue
            seen += 1
            tips = [run[0] for run in figure.plan_runs(f"dimension-passes-{name}")[-2:]]
            assert sorted(tip[0] for tip in tips) == _near(sorted((0.0, passes)))
            assert tips[0][1] < 0
            heights.append(tips[0][1])
            if outline.caudal_apex > 0:
                assert tuple(figure.plan_path(f"scar-{name}")[-1]) == _near((passes, 0.0))
        assert len(set(np.round(heights, 3))) == len(heights)
    assert seen > 150


def test_more_shift_passes_the_verge_further_away():
    """The point of the view: on every fitted case the three distances grow with the shift."""
    for one, figure in _drawn():
        if one.case.marking is not None:
            continue
        ends = [figure.plan_path(f"scar-{name}")[-1, 0] for name in SHARES]
        assert ends[0] < ends[1] < ends[2]


def test_a_marking_without_a_shift_is_compared_with_the_techniques():
    """Where it is forgotten, or goes towards the midline, the picture and the words say so."""
    for name, said in (
        ("centred on the midline", "has no caudal shift"),
        ("shift to the midline", "shifted 20 towards the midline"),
    ):
        one = extremes()[name]
        figure, words = published(one, VIEW), captions(one, VIEW)
        text = " ".join(text.words for text in figure.texts)
        assert said in text
        assert said in words.description
        assert "the technique's" in text
        assert f"with one of {number(one.technique.settings.caudal_shift)} mm." in words.caption
    own = published(planned(), VIEW)
    assert "the technique's" not in " ".join(text.words for text in own.texts)


def test_without_any_shift_there_is_one_line():
    """Where neither the marking nor the technique has a shift nothing is compared."""
    one = planned(technique={"caudal_shift": "0 mm"})
    figure, words = published(one, VIEW), captions(one, VIEW)
    assert figure.has("scar-full")
    assert not figure.has("scar-half")
    assert "20 mm beside its centre, with a caudal shift of 0 mm" in words.caption


def test_words_carry_the_distances():
    """Caption and description tell the three distances."""
    for one, _ in _drawn()[:8]:
        words = captions(one, VIEW)
        for share in SHARES.values():
            outline = with_caudal_shift(one, shown(one), share * _full(one)).outline
            assert number(outline.passes_verge_at) in words.caption
            assert number(outline.passes_verge_at) in words.description


def test_words_tell_the_shift_of_each_line():
    """Half of a shift of 10 mm is 5 mm."""
    words = captions(planned(), VIEW)
    assert "mm with a shift of 5 mm and" in words.caption
    assert "with a shift of 5 (dashed)" in words.description


def test_words_tell_whether_the_scar_itself_crosses_the_verges_level():
    """Below that level it crosses it; above, only its prolongation comes there."""
    past = captions(extremes()["past the verge"], VIEW).description
    assert "ends below the level of the anal verge" in past
    assert "ends below" not in captions(planned(), VIEW).description


def test_left_mirrors_right():
    """The same marking on the other side lies in its own frame as on this one."""
    right, left = (published(planned(side=side), VIEW) for side in ("right", "left"))
    for gid in ("outline", "scar-none", "scar-half", "scar-full"):
        assert left.plan_path(gid) == _near(right.plan_path(gid))
    assert left.runs("scar-full")[0][0, 0] < left.runs("midline")[0][0, 0]
