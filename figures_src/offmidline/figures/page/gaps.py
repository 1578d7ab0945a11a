"""Gaps in faint lines where texts lie over them, so that no text is struck through.

Lengths in mm on the page.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from offmidline.figures.page.drawing import ANCHOR_SHARE, Array, Writing
from offmidline.figures.page.metrics import ASCENT, DESCENT, width

# Clear space before and after a text, and above and below it.
_ASIDE: Final = 0.7
_ABOVE: Final = 0.3
# What is left of a line between two gaps is no line if it is shorter.
_SHORTEST: Final = 0.8
# A part of a line that runs less than this across or up the page counts as upright or level.
_LEAST_STEP: Final = 1e-9


def with_gaps(runs: Sequence[Array], writings: Iterable[Writing]) -> list[Array]:
    """The parts of polylines, each (n, 2), that lie under none of some texts."""
    texts = [(writing, *_box(writing)) for writing in writings]
    return [part for run in runs for part in _parts(run, texts)]


def _parts(run: Array, texts: Sequence[tuple[Writing, float, float, float, float]]) -> list[Array]:
    """The parts of one polyline outside some texts, of which most are too far away to matter."""
    (x0, y0), (x1, y1) = run.min(axis=0).tolist(), run.max(axis=0).tolist()
    left = [run]
    for writing, low_x, low_y, high_x, high_y in texts:
        if x0 < high_x and x1 > low_x and y0 < high_y and y1 > low_y:
            left = [part for piece in left for part in _outside(piece, writing)]
    return left


def _box(writing: Writing) -> tuple[float, float, float, float]:
    """A level box that holds a text with the clear space round it: least x and y, greatest x and
    y.
    """
    room = width(writing.text, writing.size, bold=writing.bold) + 2 * _ASIDE
    left = -ANCHOR_SHARE[writing.anchor] * (room - 2 * _ASIDE) - _ASIDE
    angle = math.radians(writing.angle)
    across, up = (math.cos(angle), math.sin(angle)), writing.size
    xs = (writing.x + left * across[0], writing.x + (left + room) * across[0])
    ys = (writing.y + left * across[1], writing.y + (left + room) * across[1])
    return min(xs) - up, min(ys) - up, max(xs) + up, max(ys) + up


def _outside(run: Array, writing: Writing) -> list[Array]:
    """The parts of a polyline outside the box round a text."""
    seen, low, high = _from_text(run, writing)
    if (seen.max(axis=0) <= low).any() or (seen.min(axis=0) >= high).any():
        return [run]
    enters, leaves = _within(seen, low, high)
    hit = np.flatnonzero(enters < leaves)
    if not len(hit):
        return [run]
    parts, kept = [], [run[0]]
    for index in range(len(run) - 1):
        start, step = run[index], run[index + 1] - run[index]
        if enters[index] < leaves[index]:
            parts.append([*kept, start + step * enters[index]])
            kept = [start + step * leaves[index]]
        kept.append(run[index + 1])
    parts.append(kept)
    return [np.array(part) for part in parts if _length(np.array(part)) >= _SHORTEST]


def _from_text(run: Array, writing: Writing) -> tuple[Array, Array, Array]:
    """A polyline as seen from a text's anchor along its baseline, and two corners of the text."""
    angle = math.radians(writing.angle)
    cosine, sine = math.cos(angle), math.sin(angle)
    seen = (run - (writing.x, writing.y)) @ np.array([(cosine, -sine), (sine, cosine)])
    room = width(writing.text, writing.size, bold=writing.bold)
    left = -ANCHOR_SHARE[writing.anchor] * room
    low = np.array([left - _ASIDE, -DESCENT * writing.size - _ABOVE])
    high = np.array([left + room + _ASIDE, ASCENT * writing.size + _ABOVE])
    return seen, low, high


def _within(points: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Where, as a share of it, each straight part enters a box and leaves it; the first is not
    less than the second where it stays outside.
    """
    starts, steps = points[:-1], np.diff(points, axis=0)
    steps = np.where(np.abs(steps) < _LEAST_STEP, _LEAST_STEP, steps)
    to_low, to_high = (low - starts) / steps, (high - starts) / steps
    enters = np.minimum(to_low, to_high).max(axis=1)
    leaves = np.maximum(to_low, to_high).min(axis=1)
    return np.maximum(enters, 0.0), np.minimum(leaves, 1.0)


def _length(points: Array) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
