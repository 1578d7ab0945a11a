"""The marked outline: two circular arcs on an axis that bends away from the midline caudally.

Frame: x lateral in mm, positive towards the flap side, midline x = 0; y in mm cranial from the
centre
of the anal verge along flattened skin. Angles in degrees where a name says so, radians inside.

Every point of an edge is reached by one parameter ``phi`` (radians, ``-alpha`` at the caudal apex,
0 at the widest level, ``+alpha`` at the cranial apex), in which all integrands stay smooth up to
the apexes. Not handled here: an outline that is wider than it is long, whose edges would no longer
be functions of y (``Outline`` refuses it).

Source of the construction: two arcs of a circle [goldberg-2004]; the bend is the project's own,
derived so
that the widest level keeps its full reach (a straight slanted axis would lose it).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Edge = Literal["medial", "lateral"]

# Sign of the profile at each edge: the medial edge lies on the midline's side of the axis.
EDGE_SIGN: dict[Edge, float] = {"medial": -1.0, "lateral": 1.0}

# An outline as long as it is wide must not fall to the last digit of a subtraction.
_ROUNDING = 1e-9

# Gauss-Legendre nodes for arc lengths: the integrand is analytic in phi, 48 nodes leave about 1e-13
# mm.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)


@dataclass(frozen=True)
class Outline:
    """A closed marked line.

    Attributes (all mm):
        offset: x of the axis at and above the widest level (new midline to midline where marked
            right).
        caudal_shift: extra x of the caudal apex.
        half_width: half of the greatest width, to each side of the axis.
        cranial_apex, caudal_apex: y of the two apexes.

    Raises:
        ValueError: where the half-width is not positive, the apexes are in the wrong order, or the
            outline would be wider than it is long.
    """

    offset: float
    caudal_shift: float
    half_width: float
    cranial_apex: float
    caudal_apex: float

    def __post_init__(self) -> None:
        values = (
            self.offset,
            self.caudal_shift,
            self.half_width,
            self.cranial_apex,
            self.caudal_apex,
        )
        if not all(math.isfinite(value) for value in values):
            raise ValueError("an outline needs finite numbers")
        if self.half_width <= 0:
            raise ValueError("the half-width must be above 0 mm")
        if self.length < self.width * (1 - _ROUNDING):
            raise ValueError("the outline must be at least as long as it is wide")

    @property
    def reach(self) -> float:
        """How far the medial edge passes beyond the midline at the widest level, mm."""
        return self.half_width - self.offset

    @property
    def length(self) -> float:
        """Distance between the apexes' levels, mm."""
        return self.cranial_apex - self.caudal_apex

    @property
    def half_length(self) -> float:
        """Half of the length, mm."""
        return self.length / 2

    @property
    def width(self) -> float:
        """Greatest width, mm."""
        return 2 * self.half_width

    @property
    def widest_level(self) -> float:
        """y of the greatest width, midway between the apexes, mm."""
        return (self.cranial_apex + self.caudal_apex) / 2

    @property
    def radius(self) -> float:
        """Radius of both arcs, mm: R = (a^2 + h^2) / (2 h)."""
        a, h = self.half_length, self.half_width
        return (a * a + h * h) / (2 * h)

    @property
    def alpha(self) -> float:
        """Angle between chord and end tangent of an unbent edge, radians: 2 atan(h / a)."""
        return 2 * math.atan(self.half_width / self.half_length)

    @property
    def length_to_width(self) -> float:
        """Length divided by width."""
        return self.length / self.width

    @property
    def area_mm2(self) -> float:
        """Area, mm2: two circular segments; bending the axis does not change it (Cavalieri)."""
        alpha, radius = self.alpha, self.radius
        return 2 * radius * radius * (alpha - math.sin(alpha) * math.cos(alpha))

    @property
    def cranial_point(self) -> tuple[float, float]:
        """(x, y) of the cranial apex, mm."""
        return (self.offset, self.cranial_apex)

    @property
    def caudal_point(self) -> tuple[float, float]:
        """(x, y) of the caudal apex, mm."""
        return (self.offset + self.caudal_shift, self.caudal_apex)

    @cached_property
    def medial_edge(self) -> float:
        """Length of the medial edge, mm."""
        return self._edge_length("medial")

    @cached_property
    def lateral_edge(self) -> float:
        """Length of the lateral edge, mm."""
        return self._edge_length("lateral")

    @property
    def perimeter(self) -> float:
        """Length of the whole outline, mm."""
        return self.medial_edge + self.lateral_edge

    @property
    def edge_mismatch_percent(self) -> float:
        """Difference of the edges' lengths in percent of the longer one."""
        longer = max(self.medial_edge, self.lateral_edge)
        return abs(self.medial_edge - self.lateral_edge) / longer * 100

    @property
    def scar_length(self) -> float:
        """Predicted length of the scar, mm: mean of the two edge lengths.

        Source: the arc becomes the post-operative scar [zou-2023]; the mean of two unequal edges is
        derived.
        """
        return self.perimeter / 2

    @cached_property
    def axis_length(self) -> float:
        """Length of the axis from apex to apex, mm: a straight half and half a parabola.

        Cranially ``a``; caudally ``a (sqrt(1 + s^2) + asinh(s) / s) / 2`` with ``s`` the slope at
        the caudal apex, which is ``a`` again where there is no shift. Source: derived.
        """
        slope = self.axis_slope_at_caudal_apex
        bent = (math.hypot(1.0, slope) + math.asinh(slope) / slope) / 2 if slope else 1.0
        return self.half_length * (1 + bent)

    @property
    def push_out(self) -> float:
        """How far each apex is pushed out when the wound is closed, mm: never negative.

        Half of what the scar is longer than the axis. Source: (arc - length) / 2 on a straight axis
        [zou-2023]; the axis's own length for a bent one is derived.
        """
        # The axis is the mean of the edges and so never longer than theirs; rounding may differ.
        return max(0.0, (self.scar_length - self.axis_length) / 2)

    @property
    def scar_ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """(x, y) of the scar's cranial and caudal end, mm: the axis prolonged by the push-out.

        Source: as of ``push_out``; that each end goes on along the axis's end tangent is derived.
        """
        cranial_x, cranial_y = self.cranial_point
        caudal_x, caudal_y = self.caudal_point
        slope, out = self.axis_slope_at_caudal_apex, self.push_out
        down = out / math.hypot(1.0, slope)
        return (cranial_x, cranial_y + out), (caudal_x + slope * down, caudal_y - down)

    @property
    def cranial_angle_deg(self) -> float:
        """Angle between the edges' end tangents at the cranial apex, degrees: 4 atan(W / L)."""
        return math.degrees(2 * self.alpha)

    @property
    def caudal_angle_deg(self) -> float:
        """Angle between the end tangents at the caudal apex, degrees; the bend leans both."""
        slope = math.tan(self.alpha) if self.alpha < math.pi / 2 else math.inf
        lean = self.axis_slope_at_caudal_apex
        return math.degrees(math.atan(slope - lean) + math.atan(slope + lean))

    @property
    def axis_slope_at_caudal_apex(self) -> float:
        """Lateral run of the axis per mm travelled caudally at the caudal apex: 2 k / a."""
        return 2 * self.caudal_shift / self.half_length

    @property
    def scar_angle_deg(self) -> float:
        """Angle between scar and midline at the caudal apex, degrees."""
        return math.degrees(math.atan(self.axis_slope_at_caudal_apex))

    @property
    def passes_verge_at(self) -> float:
        """x at which the scar's straight prolongation passes the level of the anal verge, mm."""
        return self.caudal_point[0] + self.axis_slope_at_caudal_apex * self.caudal_apex

    @property
    def crosses_verge_at(self) -> float:
        """x at which the scar itself, or above its end its straight prolongation, crosses the level
        of the anal verge, mm.
        """
        return self.passes_verge_at if self.caudal_apex >= 0 else float(self.axis(0.0))

    @property
    def scar_nearest_midline(self) -> float:
        """Least x of the scar, mm: the axis runs from the offset to the offset plus the shift."""
        return self.offset + min(0.0, self.caudal_shift)

    def axis(self, y: float | Array) -> Array:
        """x of the axis (predicted scar) at level y, mm."""
        u = np.maximum(0.0, self.widest_level - np.asarray(y, dtype=float)) / self.half_length
        return self.offset + self.caudal_shift * u * u

    def half_width_at(self, y: float | Array) -> Array:
        """Distance from the axis to either edge at level y, mm; 0 beyond the apexes."""
        v = np.asarray(y, dtype=float) - self.widest_level
        inside = np.maximum(0.0, self.radius**2 - v * v)
        profile = np.sqrt(inside) - (self.radius - self.half_width)
        return np.where(np.abs(v) < self.half_length, np.maximum(0.0, profile), 0.0)

    def width_at(self, y: float | Array) -> Array:
        """Width of the outline at level y, mm: the gap that the skin row has to close there."""
        return 2 * self.half_width_at(y)

    def edge_x(self, edge: Edge, y: float | Array) -> Array:
        """x of an edge at level y, mm."""
        return self.axis(y) + EDGE_SIGN[edge] * self.half_width_at(y)

    def edge_point(self, edge: Edge, phi: float | Array) -> tuple[Array, Array]:
        """(x, y) of an edge at the parameter phi (radians), mm."""
        phi = np.asarray(phi, dtype=float)
        run = self.radius * np.sin(phi)
        u = np.minimum(0.0, run) / self.half_length
        profile = self.radius * np.cos(phi) - (self.radius - self.half_width)
        x = self.offset + self.caudal_shift * u * u + EDGE_SIGN[edge] * profile
        return x, self.widest_level + run

    def edge_tangent(self, edge: Edge, phi: float | Array) -> tuple[Array, Array]:
        """Derivative of ``edge_point`` by phi, mm per radian, pointing cranially."""
        phi = np.asarray(phi, dtype=float)
        sine, cosine = np.sin(phi), np.cos(phi)
        bend = 2 * self.caudal_shift * (self.radius / self.half_length) ** 2
        x = np.where(phi < 0, bend * sine * cosine, 0.0) - EDGE_SIGN[edge] * self.radius * sine
        return x, self.radius * cosine

    def ring(self, count: int = 256) -> Array:
        """The closed outline as points, shape (2 * count, 2), mm, counter-clockwise from the caudal
        apex.

        The ring runs up the lateral edge and down the medial one; the first point is not repeated.
        """
        phi = np.linspace(-self.alpha, self.alpha, count + 1)
        lateral = np.column_stack(self.edge_point("lateral", phi))
        medial = np.column_stack(self.edge_point("medial", phi[::-1]))
        return np.vstack([lateral[:-1], medial[:-1]])

    def _edge_length(self, edge: Edge) -> float:
        # The two halves are integrated apart: the bend starts at phi = 0 with a jump of curvature.
        return self.arc_length(edge, -self.alpha, 0.0) + self.arc_length(edge, 0.0, self.alpha)

    def arc_length(self, edge: Edge, start: float, stop: float) -> float:
        """Length of an edge between two parameters on the same side of phi = 0, mm."""
        half = (stop - start) / 2
        x, y = self.edge_tangent(edge, start + half * (_NODES + 1))
        return float(half * np.sum(_WEIGHTS * np.hypot(x, y)))
