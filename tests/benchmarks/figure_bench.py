"""Figures: a drawing against the same drawing made with axes, and the size of the file."""

from __future__ import annotations

from tests.benchmarks.figure_baseline import axes_svg
from tests.benchmarks.ratio import Ratio, paired
from tests.generated import cases, technique

from offmidline import figures
from offmidline.plan import CasePlan, plan_case

ROUNDS = 40
GOALS = {"marking": 0.6, "section": 0.6}
GREATEST_KB = 20.0
SIZED_CASES = 50


def ratios() -> list[Ratio]:
    """Views as SVG, with finding the places of labels, against axes without; the file's size."""
    planned = [plan_case(case, technique()) for case in cases(SIZED_CASES, seed=1)]
    return [*(_speed(view, goal, planned) for view, goal in GOALS.items()), _size(planned)]


def _speed(view: str, goal: float, planned: list[CasePlan]) -> Ratio:
    typical = next(one for one in planned if one.shown is not None and one.shown.openings)
    drawing = figures.VIEWS[view].draw(typical)
    ours, usual = paired(
        lambda: figures.render(typical, view, figure_id="bench"), lambda: axes_svg(drawing), ROUNDS
    )
    note = f"{ours * 1e3:.1f} ms against {usual * 1e3:.1f} ms"
    return Ratio(f"{view} as SVG", "the same drawing with axes", ours / usual, goal, note)


def _size(planned: list[CasePlan]) -> Ratio:
    sizes = [
        len(figures.render(one, "marking", figure_id=f"{one.case.case}-marking").svg.encode()) / 1e3
        for one in planned
    ]
    note = f"largest of {SIZED_CASES} {max(sizes):.1f} kB"
    return Ratio("marking SVG", f"{GREATEST_KB:.0f} kB", max(sizes) / GREATEST_KB, 1.0, note)
