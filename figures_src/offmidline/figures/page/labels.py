"""Where texts go: beside what they name, covering nothing, and to the same place on every run.

A dimension's text takes the best of the spots that its dimension offers. A label takes the best
free place of the page, where columns are cheap and other places dear, and is tied to what it names
by a leader. Lengths in mm on the page, y up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from offmidline.figures.page import room
from offmidline.figures.page.drawing import ANCHOR_SHARE, Anchor, Array, Point, Writing
from offmidline.figures.page.metrics import ASCENT, DESCENT, width
from offmidline.figures.page.raster import TAKEN, Flags, Raster, dense
from offmidline.figures.page.room import NoRoomError
from offmidline.figures.page.spots import Segment, Spot, as_point
from offmidline.figures.page.style import LINE_SPACING, TEXT_SIZE, Role

# Clear space round a text, and between a leader and the text it belongs to.
PADDING: Final = 0.5
# The same above and below a text of several lines, so that they are read as one.
BLOCK_APART: Final = 1.1
# Texts side by side keep this apart, or they would read as one.
_ASIDE: Final = 1.6
_LEADER_GAP: Final = 0.8
# A text nearer than this needs no leader.
_SHORTEST_LEADER: Final = 1.6

# What a place pays, in mm of leader: for lying off the columns, for crossing a leader, for lying on
# what it names, for breaking a text that fits; and the most that a dimension's text pays before it
# becomes a label.
_OFF_COLUMN: Final = 12.0
_ON_SYMBOL: Final = 6.0
_BROKEN: Final = 3.0
_DEAREST_SPOT: Final = 24.0
_UPRIGHT: Final = 4.0
_IS_UPRIGHT: Final = np.array([[0.0], [0.0], [1.0], [1.0]])
_HOOK: Final = 100.0
_MOST_TRIES: Final = 60
# Angles (degrees) at which a text fills the box round it.
_SQUARE: Final = (0.0, 90.0)
# Places off the columns are tried this many mm apart.
_GRID: Final = 2

# The cost of a place, its lower left corner, and its leader.
Placed = tuple[float, Point, Segment | None]


@dataclass(frozen=True)
class Column:
    """A line (mm) at which labels end or start."""

    x: float
    anchor: Anchor


@dataclass(frozen=True)
class Label:
    """A text of one or more lines, and the points of the drawing to one of which its leader leads.

    Attributes:
        clear: radius round the point that the leader leaves free, such as a symbol's.
        dot: whether the leader ends in a dot, as it does in an area; such a label may lie on its
            point.
        narrow: the same text in more lines, for places where it does not fit otherwise.
        apart: clear space (mm) above and below the text; where it has several lines at least
            ``BLOCK_APART``, or they would run together with the next label.
    """

    gid: str
    lines: tuple[str, ...]
    points: tuple[Point, ...]
    columns: tuple[Column, ...] = ()
    clear: float = 0.0
    dot: bool = False
    role: Role = "ink"
    size: float = TEXT_SIZE
    narrow: tuple[str, ...] = ()
    apart: float = PADDING

    @property
    def around(self) -> float:
        """Clear space above and below that other texts leave."""
        return max(self.apart, self.padding)

    @property
    def padding(self) -> float:
        """Clear space above and below that there must be already."""
        return PADDING if len(self.lines) == 1 else BLOCK_APART

    @cached_property
    def width(self) -> float:
        """Width of the longest line."""
        return max(width(line, self.size) for line in self.lines)

    @property
    def height(self) -> float:
        """From the deepest letter of the last line to the tallest of the first."""
        return self.size * (ASCENT + DESCENT + LINE_SPACING * (len(self.lines) - 1))


def place_text(
    raster: Raster, gid: str, spots: Sequence[Spot], text: str, role: Role = "ink"
) -> tuple[Writing, Segment | None] | None:
    """A text at the best free one of its spots, and the line under it; None where all lie badly."""
    points = _box_points(spots, width(text, TEXT_SIZE))
    costs = raster.costs(points) if len(points) else np.empty(0)
    costs += [spot.cost for spot in spots]
    for index in np.argsort(costs, kind="stable"):
        if costs[index] > _DEAREST_SPOT:
            break
        spot = spots[index]
        if spot.under is not None and raster.blocks(raster.cells(dense(spot.under))):
            continue
        raster.closed[raster.cells(points[index])] = True
        if spot.angle in _SQUARE:
            # Leaders are tried in steps, which could cut a corner.
            raster.close_box(points[index].min(axis=0) - PADDING, points[index].max(axis=0))
        raster.take(raster.cells(_box_points([spot], width(text, TEXT_SIZE) + 2 * _ASIDE)[0]))
        writing = Writing(gid, text, spot.x, spot.y, TEXT_SIZE, role, "middle", spot.angle)
        return writing, spot.under
    return None


def place_label(raster: Raster, label: Label) -> tuple[list[Writing], Segment | None]:
    """A label at its best free place, and its leader; raises NoRoomError where there is none."""
    targets = np.asarray(label.points, dtype=float)
    placed = _placed(raster, label, targets)
    if len(label.narrow) > len(label.lines) and (placed is None or placed[0] > _OFF_COLUMN):
        narrow = replace(label, lines=label.narrow)
        other = _placed(raster, narrow, targets)
        if other is not None and (placed is None or other[0] + _BROKEN < placed[0]):
            label, placed = narrow, other
    if placed is None:
        raise NoRoomError(f"no room on the page for {label.lines[0]!r}")
    _, box, leader = placed
    _take(raster, label, box, leader)
    return _lines(label, box, leader), leader


def _placed(raster: Raster, label: Label, targets: Array) -> Placed | None:
    """The cheapest place of a label; where each leader crosses a text, one that does if it must."""
    found = _places(raster, label, targets)
    placed = _best_place(raster, label, targets, _cheapest(found, _MOST_TRIES)) or _best_place(
        raster, label, targets, _cheapest(found, len(found))
    )
    if placed is None and room.current().forced:
        return _best_place(raster, label, targets, _cheapest(found, 1), forced=True)
    return placed


def _best_place(
    raster: Raster, label: Label, targets: Array, places: Array, *, forced: bool = False
) -> Placed | None:
    """The cheapest place with its leader, which may cross no text or symbol unless it is forced."""
    if not len(places):
        return None
    boxes = places[:, 1:]
    starts, ends, drawn = _leaders(boxes, label, targets)
    crossed, closed = raster.crossed(starts, ends)
    costs = places[:, 0] + np.where(drawn, crossed, 0.0)
    if not forced:
        costs = np.where(drawn & closed, math.inf, costs)
    best = int(np.argmin(costs))
    if math.isinf(costs[best]):
        return None
    leader = (as_point(starts[best]), as_point(ends[best])) if drawn[best] else None
    return float(costs[best]), as_point(boxes[best]), leader


def _cheapest(places: Array, count: int) -> Array:
    """The cheapest so many of the places, in order; ties from left to right and from below
    upwards.
    """
    if count < len(places):
        places = places[np.argpartition(places[:, 0], count - 1)[:count]]
    return places[np.lexsort((places[:, 2], places[:, 1], places[:, 0]))]


def take_writing(raster: Raster, writing: Writing) -> None:
    """Keep the place of a level text that stands where it stands."""
    room = width(writing.text, writing.size, bold=writing.bold)
    left = writing.x - ANCHOR_SHARE[writing.anchor] * room
    low = (left - _ASIDE, writing.y - DESCENT * writing.size)
    high = (left + room + _ASIDE, writing.y + ASCENT * writing.size)
    raster.take_box(low, high)
    raster.close_box(low, high)


def _take(raster: Raster, label: Label, box: Point, leader: Segment | None) -> None:
    low = (box[0] - _ASIDE, box[1] - label.around)
    high = (box[0] + label.width + _ASIDE, box[1] + label.height + label.around)
    raster.take_box(low, high)
    if leader is not None:
        cells = raster.cells(dense(leader))
        raster.take(cells)
        raster.leaders[cells] = True
    raster.close_box(box, (box[0] + label.width, box[1] + label.height))


def _places(raster: Raster, label: Label, targets: Array) -> Array:
    """Cost, left and bottom of the free places of a label, without what its leader may cross."""
    across, up = label.width + 2 * PADDING, label.height + 2 * label.padding
    places = [np.empty((0, 3))]
    for column in label.columns:
        left = column.x - (across - PADDING if column.anchor == "end" else PADDING)
        costs, bottoms = raster.column_costs(left, across, up)
        lefts = np.full(len(costs), left)
        places.append(_judged(label, targets, costs, lefts, bottoms, 0.0))
    found = np.vstack(places)
    best = float(found[:, 0].min(initial=math.inf))
    if best > _OFF_COLUMN or not label.columns:
        extra = _OFF_COLUMN if label.columns else 0.0
        # Nothing further away than this from what is named can be cheaper than the best in a
        # column.
        reach = best - extra
        (x0, y0), (x1, y1) = targets.min(axis=0), targets.max(axis=0)
        window = raster.window((x0 - reach - across, y0 - reach - up), (x1 + reach, y1 + reach))
        costs, lefts, bottoms = raster.grid_costs(across, up, window, _GRID)
        found = np.vstack([found, _judged(label, targets, costs, lefts, bottoms, extra)])
    return found


def _judged(
    label: Label, targets: Array, costs: Array, lefts: Array, bottoms: Array, extra: float
) -> Array:
    """Cost, left and bottom of those places that are free, shape (n, 3), from those of padded
    boxes.
    """
    free = costs < TAKEN
    left, bottom, cost = lefts[free] + PADDING, bottoms[free] + label.padding, costs[free] + extra
    dx = np.abs(left + label.width / 2 - targets[:, :1]) - label.width / 2
    dy = bottom + label.height / 2 - targets[:, 1:]
    distance = np.sqrt((np.maximum(dx, 0.0) ** 2 + dy * dy).min(axis=0, initial=math.inf))
    if not label.dot:
        cost = cost + np.where(distance < label.clear + _LEADER_GAP, _ON_SYMBOL, 0.0)
    return np.column_stack([distance + cost, left, bottom])


def _box_points(spots: Sequence[Spot], room: float) -> Array:
    """For each spot, points that fill the padded box of a text centred on it, closer together
    than cells.
    """
    low, high = -DESCENT * TEXT_SIZE, ASCENT * TEXT_SIZE
    columns, rows = math.ceil((room + 2 * PADDING) / 0.7), math.ceil((high - low) / 0.7)
    across = (np.arange(columns + 1) / columns - 0.5) * (room + 2 * PADDING)
    up = low + np.arange(rows + 1) / rows * (high - low)
    x, y = np.repeat(across, rows + 1), np.tile(up, columns + 1)
    places = np.array([(spot.x, spot.y, math.radians(spot.angle)) for spot in spots]).reshape(-1, 3)
    cosine, sine = np.cos(places[:, 2:]), np.sin(places[:, 2:])
    return np.stack(
        [places[:, :1] + x * cosine - y * sine, places[:, 1:2] + x * sine + y * cosine], axis=-1
    )


def _leaders(boxes: Array, label: Label, targets: Array) -> tuple[Array, Array, Flags]:
    """For texts whose lower left corners are given, where the leader starts and ends, and whether
    there is one: none where the text stands close enough.

    It leads from a side of the text to the nearest point that it names.
    """
    left, bottom = boxes[:, 0], boxes[:, 1]
    right, top = left + label.width, bottom + label.height
    across, middle = (left + right) / 2, (bottom + top) / 2
    starts = np.stack(
        [
            np.column_stack([left - _LEADER_GAP, middle]),
            np.column_stack([right + _LEADER_GAP, middle]),
            np.column_stack([across, bottom - _LEADER_GAP / 2]),
            np.column_stack([across, top + _LEADER_GAP / 2]),
        ],
        axis=1,
    )
    runs = targets - starts[:, :, None, :]
    x, y = runs[..., 0], runs[..., 1]
    lengths = np.sqrt(x * x + y * y)
    # A leader leaves its side outwards, and rather a side than the top or the bottom: it looks
    # calmer.
    inwards = np.stack([x[:, 0] > 0, x[:, 1] < 0, y[:, 2] > 0, y[:, 3] < 0], axis=1)
    judged = (lengths + _UPRIGHT * _IS_UPRIGHT + _HOOK * inwards).reshape(len(boxes), -1)
    which, target = np.divmod(judged.argmin(axis=1), len(targets))
    row = np.arange(len(boxes))
    length = lengths[row, which, target]
    start = starts[row, which]
    rest = 1 - label.clear / np.maximum(length, _SHORTEST_LEADER)
    drawn = length - label.clear >= _SHORTEST_LEADER
    if label.dot:
        over_x = (targets[:, 0] > left[:, None]) & (targets[:, 0] < right[:, None])
        over_y = (targets[:, 1] > bottom[:, None]) & (targets[:, 1] < top[:, None])
        drawn &= ~np.any(over_x & over_y, axis=1)
    return start, start + runs[row, which, target] * rest[:, None], drawn


def _lines(label: Label, box: Point, leader: Segment | None) -> list[Writing]:
    """The lines of a label, flush with the side from which its leader starts."""
    left, bottom = box
    anchor: Anchor = "start"
    x = left
    if leader is not None and leader[0][0] > left + label.width:
        x, anchor = left + label.width, "end"
    elif leader is None or leader[0][0] > left:
        x, anchor = left + label.width / 2, "middle"
    count = len(label.lines)
    return [
        Writing(
            label.gid if count == 1 else f"{label.gid}-{index + 1}",
            text,
            x,
            bottom + label.size * (DESCENT + LINE_SPACING * (count - 1 - index)),
            label.size,
            label.role,
            anchor,
        )
        for index, text in enumerate(label.lines)
    ]
