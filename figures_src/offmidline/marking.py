"""What is decided for one case: the marking, the depth, the flap, the stitches, the infiltration.

A ``Marking`` holds decisions and nothing that follows from them; ``plan.measure`` works out the
rest. The right marking of a case is fitted under its technique; a case may prescribe parts of
another one; a mistake turns a right marking into a wrong one.

Frame: x in mm from the midline, positive towards the side of the marking; y in mm cranial of the
anal verge.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from offmidline.dose import smaller_limit
from offmidline.geometry.closure import stitches_needed
from offmidline.geometry.fit import Demands, Disc, fit
from offmidline.geometry.margin import disc_margin, signed_distance
from offmidline.geometry.outline import Outline
from offmidline.geometry.section import trough_depth
from offmidline.records import Case, Opening, PrescribedMarking, Side, Technique
from offmidline.records.ranges import MARKING_REACH

OTHER_SIDE: dict[Side, Side] = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Infiltrate:
    """What is infiltrated: agent id, concentration (mg/ml) and volume (ml)."""

    agent: str
    concentration_mg_per_ml: float
    volume_ml: float


@dataclass(frozen=True)
class Marking:
    """The decisions of one operation: lengths in mm, angles in degrees, numbers of stitches.

    Attributes:
        excised_openings: indices into the case's openings that the marking sets out to take.
    """

    side: Side
    outline: Outline
    excised_openings: frozenset[int]
    depth: float
    lateral_cut_deg: float
    medial_cut_deg: float
    flap_thickness: float
    undermining: float
    deep_stitches: int
    superficial_stitches: int
    infiltrate: Infiltrate | None

    def redrawn(self, outline: Outline, technique: Technique) -> Marking:
        """The same decisions on another outline, stitched as the technique asks for its edges."""
        deep, superficial = _stitches(outline, technique)
        return replace(self, outline=outline, deep_stitches=deep, superficial_stitches=superficial)


@dataclass(frozen=True)
class Fitted:
    """The fitted outline of a case and the openings it takes; the outline is None where none
    exists.

    ``pits_only`` is the outline fitted to the pits alone, from which near and distant are told.
    """

    outline: Outline | None
    pits_only: Outline | None
    excised_openings: frozenset[int]


def opening_x(opening: Opening, side: Side) -> float:
    """x (mm) of an opening in the frame of a marking on that side."""
    return opening.lateral if opening.side == side else -opening.lateral


def pit_discs(case: Case, technique: Technique) -> list[Disc]:
    """The pits with their margin, as discs to be covered (mm)."""
    margin = technique.settings.pit_margin
    return [Disc(0.0, pit.at, pit.diameter / 2 + margin) for pit in case.findings.pits]


def opening_discs(
    case: Case, technique: Technique, side: Side, indices: Iterable[int]
) -> list[Disc]:
    """Some of the openings with their margin, as discs to be covered (mm)."""
    margin = technique.settings.opening_margin
    openings = case.findings.openings
    return [
        Disc(
            opening_x(openings[index], side),
            openings[index].at,
            openings[index].diameter / 2 + margin,
        )
        for index in sorted(indices)
    ]


def demands(technique: Technique) -> Demands:
    """What the technique asks of every fitted outline."""
    settings = technique.settings
    return Demands(
        offset=settings.offset,
        caudal_shift=settings.caudal_shift,
        least_reach=settings.reach,
        greatest_reach=MARKING_REACH.high,
        length_to_width=settings.length_to_width,
        verge_clearance=settings.verge_clearance,
        lowest_apex=settings.lowest_apex,
    )


def fit_case(case: Case, technique: Technique) -> Fitted:
    """Fit to the pits, take the openings near that outline, and fit again.

    An opening that is left but that the second outline would cut through or enclose is taken too:
    left inside
    the specimen it would not be left.
    """
    side = case.flap_side
    pits = pit_discs(case, technique)
    pits_only = fit(pits, demands(technique))
    if pits_only is None:
        return Fitted(None, None, frozenset())
    excised = near_openings(case, side, pits_only, technique.settings.near_opening)
    while True:
        outline = fit_covering(case, technique, side, excised, pits_only)
        if outline is None:
            return Fitted(None, pits_only, excised)
        reached = excised | near_openings(case, side, outline, 0.0)
        if reached == excised:
            return Fitted(outline, pits_only, excised)
        excised = reached


def fit_covering(
    case: Case,
    technique: Technique,
    side: Side,
    excised: frozenset[int],
    pits_only: Outline,
) -> Outline | None:
    """The fitted outline that takes the given openings; the one for the pits alone where it already
    does.
    """
    discs = opening_discs(case, technique, side, excised)
    if all(disc_margin(pits_only, disc.x, disc.y, 2 * disc.radius) >= 0 for disc in discs):
        return pits_only
    return fit([*pit_discs(case, technique), *discs], demands(technique))


def near_openings(case: Case, side: Side, outline: Outline, distance: float) -> frozenset[int]:
    """Openings whose rim lies within a distance (mm) of the outline, or inside it."""
    openings = case.findings.openings
    if not openings:
        return frozenset()
    centres = np.array([(opening_x(opening, side), opening.at) for opening in openings])
    outside = -signed_distance(outline, centres)
    return frozenset(
        index
        for index, opening in enumerate(openings)
        if outside[index] - opening.diameter / 2 <= distance
    )


def right_marking(case: Case, technique: Technique, fitted: Fitted) -> Marking | None:
    """The marking that satisfies the technique, or None where no outline does.

    The case's own infiltration is kept where it stays within the limit, and cut down to the limit
    where not.
    """
    if fitted.outline is None:
        return None
    settings, findings = technique.settings, case.findings
    depth = trough_depth(
        findings.cavity_depth, settings.clearance_below_cavity, findings.fascia_depth
    )
    deep, superficial = _stitches(fitted.outline, technique)
    return Marking(
        side=case.flap_side,
        outline=fitted.outline,
        excised_openings=fitted.excised_openings,
        depth=depth,
        lateral_cut_deg=settings.lateral_cut_deg,
        medial_cut_deg=settings.medial_cut_deg,
        # A flap raised from a wound wall cannot be thicker than the wall is high.
        flap_thickness=min(settings.flap_thickness, depth),
        undermining=settings.undermining,
        deep_stitches=deep,
        superficial_stitches=superficial,
        infiltrate=_right_infiltrate(case, technique),
    )


def case_marking(case: Case, technique: Technique, fitted: Fitted) -> Marking | None:
    """The marking that the case shows: the right one, overlaid with what the case prescribes.

    None where no outline satisfies the technique and the case prescribes none either.
    """
    if case.marking is not None:
        fitted = _prescribed(case, technique, case.marking, fitted)
    shown = right_marking(case, technique, fitted)
    if shown is None:
        return None
    if case.marking is not None and case.marking.side is not None:
        shown = replace(shown, side=case.marking.side)
    return _with_prescribed_depth_and_closure(case, shown)


def _prescribed(
    case: Case, technique: Technique, marking: PrescribedMarking, fitted: Fitted
) -> Fitted:
    """The prescribed outline in the place of the fitted one; what is to be excised stays decided.

    Where nothing could be fitted to the pits, near and distant are told from this outline.
    """
    settings = technique.settings
    offset = _given(marking.offset, settings.offset)
    outline = Outline(
        offset=offset,
        caudal_shift=_given(marking.caudal_shift, settings.caudal_shift),
        half_width=offset + marking.reach,
        cranial_apex=marking.cranial_apex,
        caudal_apex=marking.caudal_apex,
    )
    excised = fitted.excised_openings
    if fitted.pits_only is None:
        excised = near_openings(case, case.flap_side, outline, settings.near_opening)
    return replace(fitted, outline=outline, excised_openings=excised)


def _with_prescribed_depth_and_closure(case: Case, marking: Marking) -> Marking:
    section, closure, given = case.section, case.closure, case.infiltration
    if section is not None:
        depth = _given(section.depth, marking.depth)
        marking = replace(
            marking,
            depth=depth,
            lateral_cut_deg=_given(section.lateral_cut_deg, marking.lateral_cut_deg),
            medial_cut_deg=_given(section.medial_cut_deg, marking.medial_cut_deg),
            flap_thickness=_given(section.flap_thickness, min(marking.flap_thickness, depth)),
            undermining=_given(section.undermining, marking.undermining),
        )
    if closure is not None and closure.deep_stitches is not None:
        marking = replace(marking, deep_stitches=closure.deep_stitches)
    if given is not None:
        infiltrate = Infiltrate(given.agent, given.concentration_mg_per_ml, given.volume_ml)
        marking = replace(marking, infiltrate=infiltrate)
    return marking


def _given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _right_infiltrate(case: Case, technique: Technique) -> Infiltrate | None:
    given = case.infiltration
    if given is None or case.patient.weight_kg is None:
        return None
    agent = technique.infiltration[given.agent]
    limit = smaller_limit(agent.fixed_mg, agent.per_kg_mg, case.patient.weight_kg)
    most_ml = limit.limit_mg / given.concentration_mg_per_ml
    return Infiltrate(given.agent, given.concentration_mg_per_ml, min(given.volume_ml, most_ml))


def _stitches(outline: Outline, technique: Technique) -> tuple[int, int]:
    """Deep and superficial stitches that the technique's spacings ask for along the flap's edge."""
    settings, edge = technique.settings, outline.medial_edge
    return (
        stitches_needed(edge, settings.deep_spacing),
        stitches_needed(edge, settings.superficial_spacing),
    )
