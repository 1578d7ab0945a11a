"""The plan of one case under one technique: a marking and everything that follows from it.

A ``Plan`` is what rules judge, figures draw and items ask about; none of them computes geometry of
its own. Lengths in mm, areas in mm2, volumes in ml, angles in degrees, doses in mg; frame as in
``marking``.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal

import numpy as np

from offmidline.dose import Dose, dose_against, smaller_limit
from offmidline.geometry.closure import StitchRow, deep_gap, stitch_row
from offmidline.geometry.coverage import midline_covered
from offmidline.geometry.margin import nearest_to_verge, signed_distance, verge_clearance
from offmidline.geometry.outline import Outline
from offmidline.geometry.section import Trough, trough_depth, volume_ml
from offmidline.infeasible import Conflict, explain
from offmidline.marking import (
    Fitted,
    Marking,
    case_marking,
    fit_case,
    opening_x,
    right_marking,
)
from offmidline.records import Case, Side, Technique

Decision = Literal["excise", "leave"]


@dataclass(frozen=True)
class PitMeasure:
    """A pit against the outline: level, diameter and signed margin of its rim (mm).

    ``excised`` tells whether the whole pit lies inside the outline, whatever margin is asked.
    """

    at: float
    diameter: float
    margin: float

    @property
    def excised(self) -> bool:
        """Whether the whole pit lies inside the outline."""
        return self.margin >= 0


@dataclass(frozen=True)
class OpeningMeasure:
    """A secondary opening against the outline.

    Attributes:
        x: mm from the midline in the frame of the marking; ``lateral`` and ``side`` as found.
        margin: signed distance of the rim's worst point to the outline, mm, positive inside.
        gap: distance from the outline to the rim's nearest point outside it, mm; negative where
            reached.
        decision: what the technique decides for this opening.
    """

    at: float
    lateral: float
    side: Side
    diameter: float
    x: float
    margin: float
    gap: float
    decision: Decision


@dataclass(frozen=True)
class DepthWindow:
    """Between which depths (mm) the excision may end: below the cavity, above the fascia."""

    least: float
    greatest: float


@dataclass(frozen=True)
class Plan:
    """A case, a technique, a marking, and what follows from them."""

    case: Case
    technique: Technique
    marking: Marking
    required_side: Side
    midline_covered: tuple[float, float] | None
    pits: tuple[PitMeasure, ...]
    openings: tuple[OpeningMeasure, ...]
    verge_clearance: float
    nearest_to_verge: tuple[float, float]
    depth_window: DepthWindow
    base_width: float
    trough_area_mm2: float
    volume_ml: float
    deep_gap: float
    deep_row: StitchRow
    superficial_row: StitchRow
    dose: Dose | None

    @property
    def outline(self) -> Outline:
        """The marked outline."""
        return self.marking.outline

    @property
    def trough(self) -> Trough:
        """Depth and walls of the excision."""
        return Trough(self.marking.depth, self.marking.lateral_cut_deg, self.marking.medial_cut_deg)

    @property
    def ends_on_fascia(self) -> bool:
        """Whether the fascia, and not the clearance below the cavity, ends the excision."""
        findings = self.case.findings
        asked = findings.cavity_depth + self.technique.settings.clearance_below_cavity
        return findings.fascia_depth < asked

    @property
    def skin_gap(self) -> float:
        """What the skin row has to close at the widest level, mm."""
        return self.outline.width


@dataclass(frozen=True)
class CasePlan:
    """What a case shows and what would be right.

    Attributes:
        shown: the case's own plan, with what it prescribes; None where there is no marking at all.
        right: the plan that satisfies the technique; None where no marking does.
        fitted: the fit both come from.
        conflicts: where no marking satisfies the technique, the constraints that cannot hold
            together.
    """

    case: Case
    technique: Technique
    fitted: Fitted
    shown: Plan | None
    right: Plan | None
    conflicts: tuple[Conflict, ...]

    def __getstate__(self) -> dict[str, object]:
        """What a copy is made from, in this process or another: answers that are kept with the
        plan (``once``) stay behind.
        """
        return {field.name: getattr(self, field.name) for field in fields(self)}


def plan_case(case: Case, technique: Technique) -> CasePlan:
    """Fit, measure and (where nothing fits) explain one case under one technique."""
    fitted = fit_case(case, technique)
    right_one = right_marking(case, technique, fitted)
    shown_one = case_marking(case, technique, fitted)
    right = None if right_one is None else measure(case, technique, right_one)
    if shown_one == right_one:
        shown = right
    else:
        shown = None if shown_one is None else measure(case, technique, shown_one)
    return CasePlan(
        case=case,
        technique=technique,
        fitted=fitted,
        shown=shown,
        right=right,
        conflicts=() if right is not None else explain(case, technique, fitted),
    )


def measure(case: Case, technique: Technique, marking: Marking) -> Plan:
    """Everything that follows from a marking of a case under a technique."""
    outline, settings, findings = marking.outline, technique.settings, case.findings
    pits, openings = _measure_findings(case, marking)
    trough = Trough(marking.depth, marking.lateral_cut_deg, marking.medial_cut_deg)
    return Plan(
        case=case,
        technique=technique,
        marking=marking,
        required_side=case.flap_side,
        midline_covered=midline_covered(outline),
        pits=pits,
        openings=openings,
        verge_clearance=verge_clearance(outline),
        nearest_to_verge=nearest_to_verge(outline),
        depth_window=DepthWindow(
            trough_depth(
                findings.cavity_depth, settings.clearance_below_cavity, findings.fascia_depth
            ),
            findings.fascia_depth,
        ),
        base_width=trough.base_width(outline.width),
        trough_area_mm2=trough.area_mm2(outline.width),
        volume_ml=volume_ml(outline, trough),
        deep_gap=deep_gap(outline, marking.depth, marking.flap_thickness, marking.undermining),
        deep_row=stitch_row(outline.medial_edge, marking.deep_stitches),
        superficial_row=stitch_row(outline.medial_edge, marking.superficial_stitches),
        dose=_dose(case, technique, marking),
    )


def _measure_findings(
    case: Case, marking: Marking
) -> tuple[tuple[PitMeasure, ...], tuple[OpeningMeasure, ...]]:
    """Pits and openings against the outline, all distances found in one call."""
    pits, openings = case.findings.pits, case.findings.openings
    centres = [(0.0, pit.at) for pit in pits]
    centres += [(opening_x(opening, marking.side), opening.at) for opening in openings]
    distances = [float(value) for value in signed_distance(marking.outline, np.array(centres))]
    return (
        tuple(
            PitMeasure(pit.at, pit.diameter, distance - pit.diameter / 2)
            for pit, distance in zip(pits, distances, strict=False)
        ),
        tuple(
            OpeningMeasure(
                at=opening.at,
                lateral=opening.lateral,
                side=opening.side,
                diameter=opening.diameter,
                x=opening_x(opening, marking.side),
                margin=distance - opening.diameter / 2,
                gap=-distance - opening.diameter / 2,
                decision="excise" if index in marking.excised_openings else "leave",
            )
            for index, (opening, distance) in enumerate(
                zip(openings, distances[len(pits) :], strict=True)
            )
        ),
    )


def _dose(case: Case, technique: Technique, marking: Marking) -> Dose | None:
    infiltrate, weight = marking.infiltrate, case.patient.weight_kg
    if infiltrate is None or weight is None:
        return None
    agent = technique.infiltration[infiltrate.agent]
    limit = smaller_limit(agent.fixed_mg, agent.per_kg_mg, weight)
    return dose_against(limit, infiltrate.concentration_mg_per_ml, infiltrate.volume_ml)
