"""Figures: a drawing against the same drawing made with axes, and the size of the file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from functools import partial

from tests.benchmarks.figure_baseline import axes_svg
from tests.benchmarks.ratio import Ratio, paired
from tests.generated import cases, technique

from offmidline import figures
from offmidline.plan import CasePlan, plan_case

ROUNDS = 40
ROUNDS_EACH = 5
GOALS = {"marking": 0.6, "section": 0.6}
# The largest that a marking may be, and any picture; the longest that any picture may take.
MARKING_KB = 20.0
GREATEST_KB = 40.0
GREATEST_MS = 25.0
SIZED_CASES = 50
VARIED_CASES = 5


def ratios() -> list[Ratio]:
    """Views as SVG, with finding the places of labels, against axes without; times and sizes."""
    planned = [plan_case(case, technique()) for case in cases(SIZED_CASES, seed=1)]
    return [
        *(_speed(view, goal, planned) for view, goal in GOALS.items()),
        _size(planned),
        *_every_picture(planned[:VARIED_CASES]),
    ]


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
    return Ratio("marking SVG", f"{MARKING_KB:.0f} kB", max(sizes) / MARKING_KB, 1.0, note)


def _every_picture(planned: list[CasePlan]) -> list[Ratio]:
    """The largest picture of all views, and the slowest, told beside the same one with axes."""
    slowest, largest = (0.0, 0.0, ""), (0.0, "")
    for one, view, part in _pictures(planned):
        name = f"{view} {part}".strip()
        drawing = figures.VIEWS[view].draw(one, part)
        ours, usual = paired(
            partial(figures.render, one, view, part=part, figure_id="bench"),
            partial(axes_svg, drawing),
            ROUNDS_EACH,
        )
        svg = figures.render(one, view, part=part, figure_id="bench").svg
        slowest = max(slowest, (ours * 1e3, usual * 1e3, name))
        largest = max(largest, (len(svg.encode()) / 1e3, name))
    ms, usual_ms, name = slowest
    note = f"{name}: {ms:.1f} ms, with axes {usual_ms:.1f} ms"
    kilobytes, heavy = largest
    return [
        Ratio("slowest picture", f"{GREATEST_MS:.0f} ms", ms / GREATEST_MS, 1.0, note),
        Ratio(
            "largest picture",
            f"{GREATEST_KB:.0f} kB",
            kilobytes / GREATEST_KB,
            1.0,
            f"{heavy}: {kilobytes:.1f} kB",
        ),
    ]


def _pictures(planned: list[CasePlan]) -> Iterator[tuple[CasePlan, str, str]]:
    for view in figures.VIEWS.values():
        for one in planned:
            with suppress(figures.NoMarkingError):
                yield from ((one, view.name, part) for part in view.parts(one))
