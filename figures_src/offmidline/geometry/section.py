"""The trough: what is excised in depth, in closed form (mm, mm2, ml, degrees).

In each transverse section two walls run from the skin edges to the floor at depth d. A wall's angle
t is measured from the skin inside the wound: 90 vertical, below 90 sloping towards the base (the
trough narrows and fat stays outside it), above 90 undercutting. Both walls together take ``c =
cot(lateral) + cot(medial)`` off the width per mm of depth, which is all that area and volume depend
on. Axis and side play no part.

Where narrowing walls meet above the floor the section is a triangle; a widening section is capped
at twice its skin width, so that it closes at the apexes. Derivations: areas by integrating the
width over depth, volumes by integrating over the lens profile with y = R sin(phi).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from offmidline.geometry.outline import Outline

MM3_PER_ML = 1000.0
VERTICAL_DEG = 90.0
_STRAIGHT_DEG = 180.0


@dataclass(frozen=True)
class Trough:
    """Depth (mm) of the excision and the angles (degrees from the skin) of its two walls.

    Raises:
        ValueError: where the depth is not positive or an angle is not between 0 and 180 degrees.
    """

    depth: float
    lateral_cut_deg: float
    medial_cut_deg: float

    def __post_init__(self) -> None:
        if not self.depth > 0:
            raise ValueError("the depth must be above 0 mm")
        for angle in (self.lateral_cut_deg, self.medial_cut_deg):
            if not 0 < angle < _STRAIGHT_DEG:
                raise ValueError("a wall's angle lies between 0 and 180 degrees")

    @property
    def taper(self) -> float:
        """Width lost per mm of depth: cot of both angles; negative where the trough widens."""
        return cotangent(self.lateral_cut_deg) + cotangent(self.medial_cut_deg)

    def base_width(self, width: float) -> float:
        """Width of the floor under a skin width, mm; 0 where the walls meet above the floor."""
        return max(0.0, width - max(self.taper * self.depth, -width))

    def area_mm2(self, width: float) -> float:
        """Area of the section under a skin width, mm2."""
        if width <= 0:
            return 0.0
        full, depth = abs(self.taper) * self.depth, self.depth
        if self.taper >= 0:
            if width >= full:
                return width * depth - self.taper * depth * depth / 2
            return width * width / (2 * self.taper)
        if width >= full:
            return width * depth - self.taper * depth * depth / 2
        return 2 * width * depth - width * width / (2 * -self.taper)

    def kept_lateral_mm2(self, width: float) -> float:
        """Area that a vertical lateral wall would take beyond this one under a skin width, mm2;
        negative where this wall undercuts the skin.
        """
        upright = replace(self, lateral_cut_deg=VERTICAL_DEG)
        return upright.area_mm2(width) - self.area_mm2(width)

    def meeting_depth(self, width: float) -> float:
        """Depth of the deepest point of the section, mm: the floor, or where the walls meet above
        it.
        """
        if self.taper > 0 and width < self.taper * self.depth:
            return width / self.taper
        return self.depth


def trough_depth(cavity_depth: float, clearance: float, fascia_depth: float) -> float:
    """Depth of the excision, mm: below the cavity by the clearance, never through the fascia."""
    return min(cavity_depth + clearance, fascia_depth)


def volume_ml(outline: Outline, trough: Trough) -> float:
    """Volume of the trough under an outline, ml: the integral of the section's area from apex to
    apex.
    """
    taper, depth = trough.taper, trough.depth
    narrow = abs(taper) * depth
    inner = _angle_of_width(outline, narrow)
    whole, core = _Moments.up_to(outline, outline.alpha), _Moments.up_to(outline, inner)
    tips = whole.minus(core)
    volume = core.width * depth - taper * depth * depth / 2 * core.length
    if taper > 0:
        volume += tips.square / (2 * taper)
    elif taper < 0:
        volume += 2 * depth * tips.width - tips.square / (2 * -taper)
    return volume / MM3_PER_ML


@dataclass(frozen=True)
class _Moments:
    """Integrals over y, between -phi and phi, of 1 (mm), of the width (mm2) and of its square
    (mm3).
    """

    length: float
    width: float
    square: float

    @classmethod
    def up_to(cls, outline: Outline, phi: float) -> _Moments:
        radius = outline.radius
        sink = radius - outline.half_width
        sine, cosine = math.sin(phi), math.cos(phi)
        double = phi + sine * cosine
        return cls(
            length=2 * radius * sine,
            width=2 * radius * (radius * double - 2 * sink * sine),
            square=8
            * radius
            * (
                radius * radius * (sine - sine**3 / 3) - radius * sink * double + sink * sink * sine
            ),
        )

    def minus(self, other: _Moments) -> _Moments:
        return _Moments(
            self.length - other.length, self.width - other.width, self.square - other.square
        )


def _angle_of_width(outline: Outline, width: float) -> float:
    """The parameter phi at which the outline is just so wide; 0 where it never is, radians."""
    cosine = (outline.radius - outline.half_width + width / 2) / outline.radius
    return math.acos(cosine) if cosine < 1 else 0.0


def cotangent(angle_deg: float) -> float:
    """Width that a wall takes off per mm of depth; exactly 0 for a vertical one."""
    # tan(90 degrees) is a huge number in floats, not infinity: a vertical wall must take off
    # exactly 0.
    return 0.0 if angle_deg == VERTICAL_DEG else 1 / math.tan(math.radians(angle_deg))
