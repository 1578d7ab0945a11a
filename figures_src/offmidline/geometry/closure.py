"""What the closure has to bridge, and how often it is stitched (mm, unstretched geometry, never a
force).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from offmidline.geometry.outline import Array, Edge, Outline

# Pieces of an edge between which arc length is tabulated; positions are then exact to about 1e-6
# mm.
_PIECES = 512


@dataclass(frozen=True)
class StitchRow:
    """A row of interrupted stitches along an edge: their number and equal spacing (mm), none at the
    apexes.
    """

    stitches: int
    spacing: float


def stitches_needed(edge_length: float, spacing: float) -> int:
    """Least number of stitches whose equal spacing does not exceed the asked one (both mm).

    ``ceil(S / spacing) - 1``: n stitches cut the edge into n + 1 pieces.
    """
    return max(0, math.ceil(edge_length / spacing) - 1)


def stitch_row(edge_length: float, stitches: int) -> StitchRow:
    """The row that a number of stitches makes along an edge (mm)."""
    return StitchRow(stitches, edge_length / (stitches + 1))


def deep_gap(outline: Outline, depth: float, flap_thickness: float, undermining: float) -> float:
    """Gap of the deep row at the widest level, mm; see ``deep_gap_at``."""
    levels = np.array(outline.widest_level)
    return float(deep_gap_at(outline, levels, depth, flap_thickness, undermining))


def deep_gap_at(
    outline: Outline, levels: Array, depth: float, flap_thickness: float, undermining: float
) -> Array:
    """Gap of the deep row at levels between the apexes, mm, of the levels' shape.

    From the recess (the deepest point of the undermining, medial of the medial edge and at the
    flap's thickness) to the axis at the excision's full depth, also where walls that meet end the
    trough above it. Source: derived.
    """
    across = outline.half_width_at(levels) + undermining
    return np.asarray(np.hypot(across, depth - flap_thickness))


def halves(rounds: int) -> tuple[tuple[float, ...], ...]:
    """The fractions of an edge that each round of the rule of halves stitches, caudal to cranial.

    The first round halves the edge, every further one the pieces that the round before left:
    (1/2), (1/4, 3/4) and so on. Source: [mcgraw-dogear].
    """
    return tuple(
        tuple(odd / 2**number for odd in range(1, 2**number, 2)) for number in range(1, rounds + 1)
    )


def edge_positions(outline: Outline, edge: Edge, fractions: Array) -> Array:
    """Points of an edge at fractions (0 caudal apex, 1 cranial apex) of its length, shape (n, 2),
    mm.

    Equal fractions of the two edges belong together (rule of halves): unequal edges are paired by
    length, not by level. Source: [mcgraw-dogear].
    """
    phi = _phi_at(outline, edge, np.asarray(fractions, dtype=float))
    return np.column_stack(outline.edge_point(edge, phi))


def stitch_positions(outline: Outline, edge: Edge, row: StitchRow) -> Array:
    """Where the stitches of a row enter an edge, caudal to cranial, shape (stitches, 2), mm."""
    fractions = np.arange(1, row.stitches + 1) / (row.stitches + 1)
    return edge_positions(outline, edge, fractions)


def undermined_strip(outline: Outline, undermining: float, count: int = 128) -> Array:
    """The undermined strip medial of the medial edge as a ring, shape (2 * (count + 1), 2), mm.

    Its far limit is the medial edge moved outwards along its normals by the undermining.
    """
    phi = np.linspace(-outline.alpha, outline.alpha, count + 1)
    near = np.column_stack(outline.edge_point("medial", phi))
    return np.vstack([near, _moved_out(outline, phi, undermining)[::-1]])


def undermined_area_mm2(outline: Outline, undermining: float) -> float:
    """Area of the undermined strip, mm2: S u + turn u^2 / 2 for a convex edge that turns by
    ``turn`` radians.
    """
    x, y = outline.edge_tangent("medial", np.array([-outline.alpha, outline.alpha]))
    directions = np.arctan2(y, x)
    turn = abs(float(directions[1] - directions[0]))
    return outline.medial_edge * undermining + turn * undermining**2 / 2


def _moved_out(outline: Outline, phi: Array, distance: float) -> Array:
    x, y = outline.edge_point("medial", phi)
    dx, dy = outline.edge_tangent("medial", phi)
    norm = np.hypot(dx, dy)
    return np.column_stack([x - distance * dy / norm, y + distance * dx / norm])


def _phi_at(outline: Outline, edge: Edge, fractions: Array) -> Array:
    # An even number of pieces puts phi = 0, where the curvature jumps, on a boundary between two.
    phi = np.linspace(-outline.alpha, outline.alpha, _PIECES + 1)
    step = phi[1] - phi[0]
    ends = np.hypot(*outline.edge_tangent(edge, phi))
    middles = np.hypot(*outline.edge_tangent(edge, (phi[:-1] + phi[1:]) / 2))
    pieces = step / 6 * (ends[:-1] + 4 * middles + ends[1:])
    run = np.concatenate([[0.0], np.cumsum(pieces)])
    wanted = fractions * run[-1]
    guess = np.interp(wanted, run, phi)
    # One Newton step on the tabulated piece removes the error of straight interpolation.
    index = np.clip(np.searchsorted(run, wanted) - 1, 0, _PIECES - 1)
    part = guess - phi[index]
    middle_speed = np.hypot(*outline.edge_tangent(edge, phi[index] + part / 2))
    speed = np.hypot(*outline.edge_tangent(edge, guess))
    reached = run[index] + part / 6 * (ends[index] + 4 * middle_speed + speed)
    return np.asarray(guess - (reached - wanted) / speed)
