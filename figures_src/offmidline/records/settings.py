"""What a technique fixes, as plain floats for the code that computes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TechniqueSettings:
    """The dimensions of a technique: lengths in mm, angles in degrees, length_to_width a ratio."""

    offset: float
    caudal_shift: float
    reach: float
    length_to_width: float
    pit_margin: float
    opening_margin: float
    near_opening: float
    verge_clearance: float
    lowest_apex: float
    lateral_cut_deg: float
    medial_cut_deg: float
    clearance_below_cavity: float
    flap_thickness: float
    undermining: float
    deep_spacing: float
    superficial_spacing: float
