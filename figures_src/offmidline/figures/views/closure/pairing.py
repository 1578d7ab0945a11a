"""The two edges of an outline paired by equal shares of their lengths, and the gap that each level
has to bridge.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np

from offmidline.figures.page.axes import Axis, axes_beside, beside
from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import Array, Writing, segments
from offmidline.figures.page.labels import Label
from offmidline.figures.page.plot import open_plot
from offmidline.figures.page.spots import LIFT
from offmidline.figures.page.style import CUT, DASHED, SMALL_SIZE, SYMBOL, THIN, Line, Role
from offmidline.figures.scene.surface import Surface
from offmidline.figures.words import say
from offmidline.geometry.closure import deep_gap_at, edge_positions, halves
from offmidline.geometry.outline import Edge, Outline
from offmidline.plan import Plan

# The rounds of the rule of halves that are drawn, the first one strongest.
ROUNDS: Final = 3
_WEIGHTS: Final[tuple[Line, ...]] = (CUT, SYMBOL, THIN)
# Where lines lie closer together than this (mm on the page) they carry no numbers.
_LEAST_PITCH: Final = 5.9
_EDGES: Final[tuple[Edge, Edge]] = ("medial", "lateral")
_LEVELS: Final = 33
# Of these, the ones at which a curve's name may point: the two curves cross between them.
_NAMED: Final = {"skin": slice(25, 30), "deep": slice(2, 7)}
# Beside a plot, mm on the page.
_PLOT_LEFT: Final = 2.0
_PLOT_RIGHT: Final = 6.0


def pairs(outline: Outline) -> list[Array]:
    """For each round its pairs of points, medial then lateral, shape (pairs, 2, 2), mm."""
    return [
        np.stack([edge_positions(outline, edge, np.array(shares)) for edge in _EDGES], axis=1)
        for shares in halves(ROUNDS)
    ]


def draw_pairs(surface: Surface, outline: Outline) -> None:
    """A line between the points of each pair, strong in the first round, with its number."""
    board = surface.board
    found = pairs(outline)
    numbered = _least_pitch(board, found) >= _LEAST_PITCH
    for index, (lines, weight) in enumerate(zip(found, _WEIGHTS, strict=True)):
        board.line(f"pairs-{index + 1}", segments(lines), "suture", weight)
        if numbered:
            _number(board, index + 1, lines)


def _least_pitch(board: Board, found: list[Array]) -> float:
    """How close together (mm on the page) the lines of all rounds come."""
    middles = sorted(board.frame.page(np.concatenate(found).mean(axis=1))[:, 1])
    return float(min(high - low for low, high in pairwise(middles)))


def _number(board: Board, count: int, lines: Array) -> None:
    """The number of a round above the middle of each of its lines."""
    middles = board.frame.page(lines.mean(axis=1))
    board.write(
        *(
            Writing(
                f"round-{count}-{n + 1}", str(count), x, y + LIFT / 2, SMALL_SIZE, anchor="middle"
            )
            for n, (x, y) in enumerate(middles)
        )
    )


def gap_at_apexes(plan: Plan) -> float:
    """The gap of the deep row at the level of an apex, mm."""
    return float(_gaps(plan, np.array([plan.outline.caudal_apex]))[1][0])


def _gaps(plan: Plan, levels: Array) -> tuple[Array, Array]:
    """The gap of the skin and that of the deep row at levels, mm."""
    marking, outline = plan.marking, plan.outline
    deep = deep_gap_at(outline, levels, marking.depth, marking.flap_thickness, marking.undermining)
    return outline.width_at(levels), deep


def draw_gaps(surface: Surface, plan: Plan) -> None:
    """In place of a surface beside that of the outline: the two gaps by level."""
    outline = plan.outline
    levels = np.linspace(outline.caudal_apex, outline.cranial_apex, _LEVELS)
    skin, deep = _gaps(plan, levels)
    x = Axis(0.0, float(max(skin.max(), deep.max())))
    y = Axis(outline.caudal_apex, outline.cranial_apex)
    place = surface.board
    left = place.low[0] + _PLOT_LEFT + beside(y, outline.length * place.frame.scale)
    axes = axes_beside(place.frame, left, place.high[0] - _PLOT_RIGHT - left, x, y)
    plot = open_plot(surface.drawing, "gap", axes, place.low, place.high)
    plot.draw_axes()
    curves: tuple[tuple[str, Array, Role, Line], ...] = (
        ("skin", np.column_stack([skin, levels]), "ink", CUT),
        ("deep", np.column_stack([deep, levels]), "suture", DASHED),
    )
    for name, points, role, line in curves:
        plot.curve(f"{name}-gap", points, role, line, smooth=True)
    for name, points, _, _ in curves:
        anchors = tuple((float(x), float(y)) for x, y in axes.frame.page(points[_NAMED[name]]))
        plot.board.label(Label(f"label-{name}-gap", (say(f"closure.{name}_gap"),), anchors))
    plot.board.finish()
