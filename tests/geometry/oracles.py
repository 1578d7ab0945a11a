"""Second routes to what the engine computes: quadrature, polygons and brute force.

Nothing here calls a method of the engine. An outline is read only for the five numbers that define
it, and its edges are written down again as functions of y, where the engine uses an angle.

How the tests name where an expected value comes from:

- [derived]: worked out independently of this code, by quadrature or exact arithmetic
- (calc): plain arithmetic on the source beside it
- (common practice, no source): usual teaching with nothing to cite
- [moody-2001]: The apical angle: a mathematical analysis of the ellipse. Dermatologic Surgery
  27:61-63
- [goldberg-2004]: Elliptical excisions: variations and the eccentric parallelogram. Archives of
  Dermatology 140:176-180
- [zou-2023]: a mathematical model for elliptical excision. BMC Surgery,
  doi 10.1186/s12893-023-02234-w
- [mcgraw-dogear]: a dermatologic surgery textbook's chapter on dog-ear correction
- [scipy-docs], [shapely-docs], [scikit-image]: the references of these libraries
- every other id stands in scenarios/sources.yml
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.optimize import differential_evolution

from offmidline.geometry.fit import Demands, Disc
from offmidline.geometry.outline import Outline

Array = NDArray[np.float64]
MEDIAL, LATERAL = -1.0, 1.0
SIGNS = {"medial": MEDIAL, "lateral": LATERAL}


def bent(length: float, shift: float = 10.0, half_width: float = 25.0) -> Outline:
    """The outline of the tables: offset 20 mm, mid-length at y = 0."""
    return Outline(20.0, shift, half_width, length / 2, -length / 2)


def arc_length(slope: Callable[[float], tuple[float, float]], *stops: float) -> float:
    """Length of a curve from the derivative of its two coordinates, integrated between the
    stops.
    """
    pieces = pairwise(stops)
    return float(
        sum(quad(lambda t: math.hypot(*slope(t)), a, b, epsabs=1e-12)[0] for a, b in pieces)
    )


def edge_x(outline: Outline, sign: float, y: float) -> float:
    """x of an edge at level y: the axis plus or minus the profile."""
    a, h = _half(outline), outline.half_width
    radius, v = (a * a + h * h) / (2 * h), y - _middle(outline)
    u = max(0.0, -v / a)
    axis = outline.offset + outline.caudal_shift * u * u
    return axis + sign * (math.sqrt(max(0.0, radius * radius - v * v)) - (radius - h))


def edge_length(outline: Outline, sign: float, up_to: float | None = None) -> float:
    """Length of an edge from the caudal apex up to a level, by default the cranial apex's.

    By quadrature: y = middle + a sin(t) keeps the integrand finite even where the outline is a
    circle.
    """
    a, h, middle = _half(outline), outline.half_width, _middle(outline)
    radius = (a * a + h * h) / (2 * h)

    def slope(t: float) -> tuple[float, float]:
        v, run = a * math.sin(t), a * math.cos(t)
        lean = 2 * outline.caudal_shift * v / (a * a) if v < 0 else 0.0
        return (lean - sign * v / math.sqrt(radius * radius - v * v)) * run, run

    end = math.pi / 2 if up_to is None else math.asin((up_to - middle) / a)
    return arc_length(slope, *sorted({-math.pi / 2, min(0.0, end), end}))


def polygon(outline: Outline, count: int = 4000) -> shapely.Polygon:
    """The outline as a dense polygon, its corners closer together towards the apexes."""
    y = _middle(outline) - _half(outline) * np.cos(np.linspace(0.0, math.pi, count + 1))
    lateral = [(edge_x(outline, LATERAL, level), level) for level in y]
    medial = [(edge_x(outline, MEDIAL, level), level) for level in y]
    return shapely.Polygon(lateral[:-1] + medial[:0:-1])


def polygon_distance(shape: shapely.Polygon, x: float, y: float) -> float:
    """Signed distance to a polygon, positive inside.

    ``Polygon.distance`` is 0 for every point inside, so the exterior is asked [shapely-docs].
    """
    point = shapely.Point(x, y)
    distance = float(shape.exterior.distance(point))
    return distance if shape.contains(point) else -distance


@dataclass(frozen=True)
class Markings:
    """Several markings at once: reach, half-length and widest level (mm), each of shape (n,)."""

    reach: Array
    half_length: Array
    middle: Array

    @classmethod
    def of(cls, outline: Outline) -> Markings:
        """A single marking."""
        reach = outline.half_width - outline.offset
        return cls(np.array([reach]), np.array([_half(outline)]), np.array([_middle(outline)]))

    def area(self, demands: Demands) -> Array:
        """Area (mm2) as two circular segments: (R^2 / 2) (t - sin t) with t = 2 asin(L / 2R)."""
        h = demands.offset + self.reach
        radius = (self.half_length**2 + h**2) / (2 * h)
        turn = 2 * np.arcsin(np.minimum(1.0, self.half_length / radius))
        return np.asarray(radius**2 * (turn - np.sin(turn)))

    def slack(self, discs: Sequence[Disc], demands: Demands, count: int = 192) -> Array:
        """How much (mm) the tightest constraint of each marking has to spare, shape (n,)."""
        h = demands.offset + self.reach
        own = [
            self.reach - demands.least_reach,
            demands.greatest_reach - self.reach,
            self.half_length - demands.length_to_width * h,
            self.middle - self.half_length - demands.lowest_apex,
            -self.signed_distance(demands, 0.0, 0.0, count) - demands.verge_clearance,
        ]
        covered = [
            self.signed_distance(demands, disc.x, disc.y, count) - disc.radius for disc in discs
        ]
        return np.asarray(np.min(own + covered, axis=0))

    def signed_distance(self, demands: Demands, x: float, y: float, count: int = 192) -> Array:
        """Signed distance of one point to polygons of ``2 * count`` sides, positive inside."""
        h, a = (demands.offset + self.reach)[:, None], self.half_length[:, None]
        radius = (a * a + h * h) / (2 * h)

        def edges(v: Array) -> tuple[Array, Array]:
            u = np.maximum(0.0, -v / a)
            axis = demands.offset + demands.caudal_shift * u * u
            profile = np.sqrt(np.maximum(0.0, radius * radius - v * v)) - (radius - h)
            return axis - profile, axis + profile

        v = -a * np.cos(np.linspace(0.0, math.pi, count + 1))
        level = np.concatenate([v, v[:, ::-1]], axis=1) + self.middle[:, None] - y
        medial, lateral = edges(v)
        side = np.concatenate([lateral, medial[:, ::-1]], axis=1) - x
        nearest = _distance_to_segments(side, level)
        own = np.clip(y - self.middle[:, None], -a, a)
        low, high = edges(own)
        inside = (np.abs(y - self.middle[:, None]) < a) & (low < x) & (x < high)
        return np.where(inside[:, 0], nearest, -nearest)


def least_marking(discs: Sequence[Disc], demands: Demands) -> Markings:
    """The marking of least area by differential evolution over reach, half-length and widest level.

    A millimetre of violation costs far more than any area that it could save, so the best marking
    breaks nothing.
    """
    price = 5e4

    def cost(values: Array, count: int) -> Array:
        markings = Markings(*values)
        broken = np.maximum(0.0, -markings.slack(discs, demands, count))
        return np.asarray(markings.area(demands) + price * broken)

    bounds = _bounds(discs, demands)
    rough = _evolve(partial(cost, count=96), bounds)
    near = [
        (max(low, value - 0.02 * (high - low)), min(high, value + 0.02 * (high - low)))
        for value, (low, high) in zip(rough, bounds, strict=True)
    ]
    best = _evolve(partial(cost, count=400), near)
    return Markings(*(np.array([value]) for value in best))


def most_slack(
    slack: Callable[[Markings], Array], discs: Sequence[Disc], demands: Demands
) -> float:
    """The greatest slack that any marking has, by differential evolution."""
    best = _evolve(lambda values: -slack(Markings(*values)), _bounds(discs, demands))
    return float(slack(Markings(*(np.array([value]) for value in best)))[0])


def _evolve(cost: Callable[[Array], Array], bounds: list[tuple[float, float]]) -> Array:
    found = differential_evolution(
        cost, bounds, vectorized=True, updating="deferred", seed=1, tol=1e-7, popsize=12,
        maxiter=110, polish=False, init="sobol",
    )  # fmt: skip
    return np.asarray(found.x)


def _bounds(discs: Sequence[Disc], demands: Demands) -> list[tuple[float, float]]:
    levels = [disc.y for disc in discs]
    span = max(levels) - min(levels) + 2 * max(disc.radius for disc in discs)
    longest = demands.length_to_width * (demands.offset + demands.least_reach) + 2 * span + 60
    return [
        (demands.least_reach, demands.greatest_reach),
        (demands.offset, longest),
        (min(levels) - longest / 2, max(levels) + longest / 2),
    ]


def _distance_to_segments(x: Array, y: Array) -> Array:
    """Distance of the origin to the nearest segment of each closed chain, shape (n,)."""
    dx, dy = np.diff(x, axis=1), np.diff(y, axis=1)
    x, y = x[:, :-1], y[:, :-1]
    square = dx * dx + dy * dy
    along = np.clip(-(x * dx + y * dy) / np.where(square > 0, square, 1.0), 0.0, 1.0)
    return np.asarray(np.hypot(x + along * dx, y + along * dy).min(axis=1))


def _half(outline: Outline) -> float:
    return (outline.cranial_apex - outline.caudal_apex) / 2


def _middle(outline: Outline) -> float:
    return (outline.cranial_apex + outline.caudal_apex) / 2
