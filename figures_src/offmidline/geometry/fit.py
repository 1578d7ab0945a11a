"""The marking of least excised area that satisfies a technique (all lengths mm, frame as in
``outline``).

Three numbers are free: the reach e and the two apexes' levels. For a given reach the half-width is
fixed
(h = offset + e), area grows with length alone, and sliding the outline along the midline changes
nothing but which discs it covers. So the search falls apart into steps that each have one unknown:

1. for a reach and a half-length, every disc (pit or opening with its margin) allows an interval of
   widest levels; its ends are contacts of the disc with an edge, in closed form on the cranial arc
   and one root on the bent caudal half;
2. for a reach, the least half-length is the one at which these intervals just have a common point,
   or the one that length to width asks for;
3. the verge and the lowest apex bound the common interval from below; what is left is where the
   marking may lie, and its middle is taken;
4. the least area over all reaches is found on a grid that is refined around its best point.

Steps 1 and 2 are monotone for a convex outline, which the technique's reader guarantees; brute
force over all three numbers confirms the result in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from offmidline.geometry.outline import EDGE_SIGN, Array, Outline
from offmidline.geometry.roots import bracketed_root

_GRID = 33
_FINE_GRID = 129
_REFINEMENTS = 3
# Newton's method doubles the digits at each step; four leave about 1e-11 mm.
_NEWTON_STEPS = 4
_LENGTH_TOLERANCE = 1e-7
_VERGE_SAMPLES = 129
# No marking on a body is a metre long; beyond this half-length (mm) a reach counts as hopeless.
_LONGEST_HALF_LENGTH = 500.0
# Both edges at once, along a leading axis: -1 medial, +1 lateral.
_SIGNS = np.array(list(EDGE_SIGN.values()))[:, None, None]
# Slack (mm) within which an interval that has shrunk to a point still counts as one.
_TOUCH = 1e-6


@dataclass(frozen=True)
class Disc:
    """A disc that the outline must contain: centre (x, y) and radius with its margin, mm."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True)
class Demands:
    """What a technique asks of a marking, mm (``length_to_width`` is a ratio).

    Attributes:
        least_reach, greatest_reach: the range of the reach; the greatest keeps the search to
            markings that a case file could prescribe.
    """

    offset: float
    caudal_shift: float
    least_reach: float
    greatest_reach: float
    length_to_width: float
    verge_clearance: float
    lowest_apex: float


def fit(discs: Sequence[Disc], demands: Demands) -> Outline | None:
    """The outline of least area that contains every disc and meets the demands, or None.

    Where several outlines share the least area (length to width alone decides it) the one in the
    middle of the free interval is returned.

    Raises:
        ValueError: without a disc there is nothing to fit to.
    """
    if not discs:
        raise ValueError("a marking is fitted to at least one pit")
    low, high = _reach_range(discs, demands)
    if low > high:
        return None
    least = _rows(discs, demands, np.array([low]))
    if least.half_length[0] == _shortest(demands, low) and np.isfinite(least.area[0]):
        # Neither narrower nor shorter is allowed: nothing can be smaller.
        return least.row(0).outline(demands)
    best: _Row | None = None
    for _ in range(1 + _REFINEMENTS):
        rows = _rows(discs, demands, np.linspace(low, high, _GRID))
        index = int(np.argmin(rows.area))
        if not math.isfinite(rows.area[index]):
            return None if best is None else best.outline(demands)
        best = rows.row(index)
        step = (high - low) / (_GRID - 1)
        low, high = max(low, best.reach - step), min(high, best.reach + step)
    return best.outline(demands) if best is not None else None


def feasible(discs: Sequence[Disc], demands: Demands) -> bool:
    """Whether any outline contains every disc and meets the demands (reaches tried about 0.5 mm
    apart).
    """
    low, high = _reach_range(discs, demands)
    if low > high:
        return False
    reach = np.linspace(low, high, _FINE_GRID)
    return bool(np.isfinite(_rows(discs, demands, reach).area).any())


def best_clearance(discs: Sequence[Disc], demands: Demands) -> float:
    """The greatest verge clearance (mm) of any marking that covers the discs, verge and lowest apex
    aside.
    """
    reaches, half_lengths, highest = _highest_positions(discs, demands)
    shape = _Shape(demands, reaches, half_lengths)
    phi = -shape.alpha * np.linspace(0.0, 1.0, _VERGE_SAMPLES)
    x, y = shape.edge_points(phi)
    return float(np.hypot(x, highest[:, None] + y).min(axis=(0, 2)).max())


def best_caudal_apex(discs: Sequence[Disc], demands: Demands) -> float:
    """The highest caudal apex (mm) of any marking that covers the discs, verge and lowest apex
    aside.
    """
    _, half_lengths, highest = _highest_positions(discs, demands)
    return float(np.max(highest - half_lengths))


@dataclass(frozen=True)
class _Row:
    reach: float
    half_length: float
    widest_level: float

    def outline(self, demands: Demands) -> Outline:
        return Outline(
            offset=demands.offset,
            caudal_shift=demands.caudal_shift,
            half_width=demands.offset + self.reach,
            cranial_apex=self.widest_level + self.half_length,
            caudal_apex=self.widest_level - self.half_length,
        )


@dataclass(frozen=True)
class _Rows:
    """The least marking for each of several reaches; area is infinite where there is none."""

    reach: Array
    half_length: Array
    widest_level: Array
    area: Array

    def row(self, index: int) -> _Row:
        return _Row(
            float(self.reach[index]),
            float(self.half_length[index]),
            float(self.widest_level[index]),
        )


class _Shape:
    """Outlines of several reaches at once, their widest level at y = 0; arrays of shape (reaches,
    1).
    """

    def __init__(self, demands: Demands, reach: Array, half_length: Array) -> None:
        self.offset = demands.offset
        self.caudal_shift = demands.caudal_shift
        self.half_width = (demands.offset + reach)[:, None]
        self.half_length = half_length[:, None]
        self.radius = (self.half_length**2 + self.half_width**2) / (2 * self.half_width)
        self.alpha = 2 * np.arctan(self.half_width / self.half_length)
        self.bend = self.caudal_shift * (self.radius / self.half_length) ** 2

    def edge_points(self, phi: Array) -> tuple[Array, Array]:
        """Points of both caudal edges at phi <= 0; the leading axis of the result is the edge."""
        sine = np.sin(phi)
        profile = self.half_width - self.radius * (1 - np.cos(phi))
        return self.offset + self.bend * sine * sine + _SIGNS * profile, self.radius * sine

    def contact_depth(self, x: Array, radius: Array) -> Array:
        """How far below the widest level a disc's centre lies when it touches an edge from inside.

        The leading axis of the result is the edge; infinite where the disc passes the apex without
        touching it. The unknown is the cosine c of the contact's phi, in which everything stays
        smooth up to the widest level: the edge's own x is a quadratic in c, which gives the
        start, and Newton's method adds the disc's radius along the normal.
        """
        bend, sign, size = self.bend, _SIGNS, self.radius
        start = self.offset + bend + sign * (self.half_width - size)
        # Radius taken across instead of along the normal: exact where the normal lies level.
        rest = start - (x + sign * radius)
        cosine = -2 * sign * rest / (size + np.sqrt(np.maximum(0.0, size**2 + 4 * bend * rest)))
        least = np.cos(self.alpha)
        for _ in range(_NEWTON_STEPS):
            cosine = np.clip(cosine, least, 1.0)
            offside, slope = self._offside(cosine, x, radius)
            # Level where a disc fills the edge's curve just at the widest level: it touches there.
            cosine = cosine - np.divide(offside, slope, out=np.zeros_like(slope), where=slope != 0)
        cosine = np.clip(cosine, least, 1.0)
        sine = -np.sqrt(1 - cosine * cosine)
        lean = 2 * bend * cosine - sign * size
        normal = sign * radius * lean / np.hypot(sine * lean, size * cosine)
        passes = sign * self._offside(least + 0 * cosine, x, radius)[0] > 0
        return np.where(passes, np.inf, -sine * (size + normal))

    def _offside(self, cosine: Array, x: Array, radius: Array) -> tuple[Array, Array]:
        """How far lateral of x the centre of a touching disc lies, and the derivative by cosine."""
        bend, sign, size = self.bend, _SIGNS, self.radius
        square = 1 - cosine * cosine
        lean = 2 * bend * cosine - sign * size
        speed = np.sqrt(square * lean * lean + (size * cosine) ** 2)
        gain = (size * size - lean * lean) * cosine + 2 * bend * square * lean
        edge = self.offset + bend * square + sign * (self.half_width - size * (1 - cosine))
        across = sign * radius * size / speed
        slope = sign * size - 2 * bend * cosine - across * (1 - cosine * gain / (speed * speed))
        return edge - across * cosine - x, slope


def _reach_range(discs: Sequence[Disc], demands: Demands) -> tuple[float, float]:
    """Reaches at which every disc fits between the two edges at the widest level."""
    medial = max(disc.radius - disc.x for disc in discs)
    lateral = max(disc.radius + disc.x for disc in discs) - 2 * demands.offset
    return max(demands.least_reach, medial, lateral), demands.greatest_reach


def _rows(discs: Sequence[Disc], demands: Demands, reach: Array) -> _Rows:
    half_length = _least_half_length(discs, demands, reach)
    found = np.isfinite(half_length)
    half_length = np.where(found, half_length, _LONGEST_HALF_LENGTH)
    shape = _Shape(demands, reach, half_length)
    low, high = _common_interval(discs, shape)
    low = np.maximum(low, _lowest_position(demands, shape))
    alpha, radius = shape.alpha[:, 0], shape.radius[:, 0]
    area = 2 * radius**2 * (alpha - np.sin(alpha) * np.cos(alpha))
    feasible = found & (low <= high + _TOUCH)
    return _Rows(reach, half_length, (low + high) / 2, np.where(feasible, area, np.inf))


def _highest_positions(discs: Sequence[Disc], demands: Demands) -> tuple[Array, Array, Array]:
    """For many reaches: the reach, its least half-length and the most cranial widest level."""
    low, high = _reach_range(discs, demands)
    reach = np.linspace(low, max(low, high), _FINE_GRID)
    half_length = _least_half_length(discs, demands, reach)
    found = np.isfinite(half_length)
    reach, half_length = reach[found], half_length[found]
    _, highest = _common_interval(discs, _Shape(demands, reach, half_length))
    return reach, half_length, highest


def _shortest(demands: Demands, reach: Array | float) -> Array | float:
    """The half-length that length to width asks for at a reach."""
    return demands.length_to_width * (demands.offset + reach)


def _least_half_length(discs: Sequence[Disc], demands: Demands, reach: Array) -> Array:
    """Least half-length at which all discs can be covered and length to width holds, shape
    (reaches,).
    """
    floor = np.asarray(_shortest(demands, reach))

    def slack(half_length: Array) -> Array:
        low, high = _common_interval(discs, _Shape(demands, reach, half_length))
        return np.asarray(high - low)

    short = slack(floor) < 0
    if not short.any():
        return floor
    # A disc that touches the edge at its widest level needs an endless outline: give up at the
    # longest.
    ceiling = np.maximum(floor, 1.0)
    reachable = slack(ceiling) >= 0
    while np.any(~reachable & (ceiling < _LONGEST_HALF_LENGTH)):
        ceiling = np.where(reachable, ceiling, 1.5 * ceiling)
        reachable = slack(ceiling) >= 0
    root = bracketed_root(slack, np.where(short, ceiling / 1.5, floor), ceiling, _LENGTH_TOLERANCE)
    return np.where(short, np.where(reachable, root, np.inf), floor)


def _common_interval(discs: Sequence[Disc], shape: _Shape) -> tuple[Array, Array]:
    """Lowest and highest widest level at which every disc is covered, each of shape (reaches,)."""
    x = np.array([[disc.x for disc in discs]])
    y = np.array([[disc.y for disc in discs]])
    radius = np.array([[disc.radius for disc in discs]])
    low = (y - _cranial_play(shape, x, radius)).max(axis=1)
    # No disc lies deeper than with its lowest point on the apex; that bounds one that passes it.
    depth = np.minimum(shape.contact_depth(x, radius).min(axis=0), shape.half_length - radius)
    high = (y + depth).min(axis=1)
    return low, high


def _cranial_play(shape: _Shape, x: Array, radius: Array) -> Array:
    """How far above the widest level a disc's centre may lie, mm: the arc moved inwards by its
    radius.
    """
    centre = shape.offset + _SIGNS * (shape.half_width - shape.radius)
    square = (shape.radius - radius) ** 2 - (x - centre) ** 2
    return np.asarray(np.sqrt(np.maximum(0.0, square)).min(axis=0))


def _lowest_position(demands: Demands, shape: _Shape) -> Array:
    """Lowest widest level that keeps the verge clearance and the lowest apex, shape (reaches,)."""
    low = demands.lowest_apex + shape.half_length[:, 0]
    x, y = shape.edge_points(-shape.alpha * np.linspace(0.0, 1.0, _VERGE_SAMPLES))
    square = demands.verge_clearance**2 - x * x
    needed = np.where(square >= 0, np.sqrt(np.maximum(0.0, square)) - y, -np.inf)
    for edge in needed:
        low = np.maximum(low, _peak(edge))
    return low


def _peak(values: Array) -> Array:
    """Greatest value along the last axis, between samples by the parabola through the top three."""
    index = values.argmax(axis=1)
    top = values.max(axis=1)
    inner = (index > 0) & (index < values.shape[1] - 1)
    middle = np.where(inner, index, 1)
    rows = np.arange(len(values))
    before, after = values[rows, middle - 1], values[rows, middle + 1]
    usable = inner & np.isfinite(before) & np.isfinite(after)
    before, after = np.where(usable, before, 0.0), np.where(usable, after, 0.0)
    peak = np.where(usable, top, 0.0)
    curvature = before - 2 * peak + after
    rise = np.where(
        curvature < 0, (after - before) ** 2 / np.where(curvature < 0, curvature, -1.0), 0.0
    )
    return np.asarray(np.where(usable, top - rise / 8, top))
