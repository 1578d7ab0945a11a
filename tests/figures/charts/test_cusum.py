"""The learning curve is drawn as it is computed, and says that it is invented."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from tests.figures.published import FIGURE, Published

from offmidline.figures import Rendered, Subject, render_chart
from offmidline.figures.charts.cusum import PLAN, invented


@lru_cache(maxsize=1)
def _rendered() -> Rendered:
    return render_chart(Subject(), "cusum", figure_id=FIGURE)


def test_the_sum_is_the_path() -> None:
    """Read back, the line is the cumulative sum after each operation, to 0.1 % of its span."""
    path = (0.0, *PLAN.path(invented()))
    drawn = Published(_rendered().svg).plan_path("chart-sum")
    assert drawn[:, 0] == pytest.approx(np.arange(len(path)), abs=0.01)
    assert drawn[:, 1] == pytest.approx(path, abs=1e-3 * np.ptp(path))


@pytest.mark.parametrize(("gid", "value"), [("upper", PLAN.upper), ("lower", PLAN.lower)])
def test_the_lines_of_the_test(gid: str, value: float) -> None:
    """Both lines run across at their values, which stand beside them."""
    figure = Published(_rendered().svg)
    drawn = figure.plan_path(f"chart-{gid}")
    assert drawn[:, 1] == pytest.approx([value, value], rel=1e-3)
    assert f"{abs(value):.2f}" in figure.text_of(f"chart-{gid}-text")


def test_each_failure_is_crossed() -> None:
    """There are two strokes for each failure, over its operation."""
    runs = Published(_rendered().svg).plan_runs("chart-failures")
    failed = [case for case, was in enumerate(invented(), 1) if was]
    assert len(runs) == 2 * len(failed) > 0
    assert [run[:, 0].mean() for run in runs[::2]] == pytest.approx(failed, abs=0.01)


def test_it_says_that_it_is_invented_and_how_it_was_planned() -> None:
    """Title and caption call the data invented; both rates and both errors are printed."""
    rendered = _rendered()
    assert "invented" in rendered.title
    assert "invented" in rendered.caption
    said = " ".join(text.words for text in Published(rendered.svg).texts)
    for words in (said, rendered.caption):
        assert all(value in words for value in ("10 %", "20 %", "alpha", "beta", "0.1"))


def test_the_words_tell_when_a_line_is_met() -> None:
    """The operation at which the sum first meets a line is in the caption, and on the curve."""
    path = PLAN.path(invented())
    crossings = PLAN.crossings(path)
    assert crossings
    for case, kind in crossings:
        line = PLAN.lower if kind == "acceptable" else PLAN.upper
        assert abs(path[case - 1]) >= abs(line) - 1e-9
        assert f"operation {case}" in _rendered().caption
