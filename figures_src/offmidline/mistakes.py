"""The named mistakes: each turns a right marking into a wrong one and says which rules that breaks.

``breaks`` are broken in every case to which the mistake applies; ``may_break`` are broken in some,
by the case (a forgotten caudal shift breaks the verge clearance only where the apex is low). Their
words stand in the messages file.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from offmidline import rules
from offmidline.dose import smaller_limit
from offmidline.geometry.margin import disc_gap, disc_margin
from offmidline.geometry.outline import Outline
from offmidline.geometry.section import VERTICAL_DEG
from offmidline.marking import OTHER_SIDE, Infiltrate, Marking, fit_covering, opening_x
from offmidline.once import once
from offmidline.plan import CasePlan, Plan, measure

# Sizes of the mistakes, each large enough to break its rule under any technique; common practice,
# no source.
TOO_SHORT_FRACTION: Final = 0.75
MEDIAL_BEVEL_DEG: Final = 30.0
THIN_FLAP_FRACTION: Final = 0.5
SHORT_UNDERMINING_FRACTION: Final = 0.5
OVERDOSE_FACTOR: Final = 1.25
UNIT_SLIP_FACTOR: Final = 10.0
# Tilt (degrees) of the photograph that is taken for a plan view: lateral lengths shrink by its
# cosine.
PHOTOGRAPH_TILT_DEG: Final = 30.0

Change = Callable[[CasePlan, Marking], Marking | None]


@dataclass(frozen=True)
class Mistake:
    """A named marking error.

    Attributes:
        change: the wrong marking made from the right one, or None where the case gives no room for
            it.
    """

    mistake: str
    breaks: frozenset[str]
    may_break: frozenset[str]
    change: Change

    def apply(self, planned: CasePlan) -> Plan | None:
        """The plan of the wrong marking; None where the mistake does not apply to the case."""
        if planned.right is None:
            return None
        wrong = self.change(planned, planned.right.marking)
        return None if wrong is None else measure(planned.case, planned.technique, wrong)


def _wrong_side(_: CasePlan, right: Marking) -> Marking | None:
    return replace(right, side=OTHER_SIDE[right.side])


def _centred(planned: CasePlan, right: Marking) -> Marking | None:
    if right.outline.offset <= rules.LINE_TOLERANCE:
        return None
    return right.redrawn(replace(right.outline, offset=0.0), planned.technique)


def _shift_forgotten(planned: CasePlan, right: Marking) -> Marking | None:
    return _with_shift(planned, right, 0.0)


def _shift_towards_midline(planned: CasePlan, right: Marking) -> Marking | None:
    return _with_shift(planned, right, -right.outline.caudal_shift)


def _with_shift(planned: CasePlan, right: Marking, shift: float) -> Marking | None:
    if abs(right.outline.caudal_shift - shift) <= rules.LINE_TOLERANCE:
        return None
    return right.redrawn(replace(right.outline, caudal_shift=shift), planned.technique)


def _caudal_pit_outside(planned: CasePlan, right: Marking) -> Marking | None:
    """The caudal apex put just below the lowest pit, as if the outline covered the midline all
    along.
    """
    pit = min(planned.case.findings.pits, key=lambda pit: pit.at)
    apex = pit.at - pit.diameter / 2 - planned.technique.settings.pit_margin
    return right.redrawn(_slid(right.outline, apex - right.outline.caudal_apex), planned.technique)


def _slid(outline: Outline, by: float) -> Outline:
    return replace(
        outline, cranial_apex=outline.cranial_apex + by, caudal_apex=outline.caudal_apex + by
    )


def _too_short(planned: CasePlan, right: Marking) -> Marking | None:
    outline, asked = right.outline, planned.technique.settings.length_to_width
    half = max(TOO_SHORT_FRACTION * asked, 1.0) * outline.half_width
    if half >= asked * outline.half_width:
        return None
    middle = outline.widest_level
    shorter = replace(outline, cranial_apex=middle + half, caudal_apex=middle - half)
    return right.redrawn(shorter, planned.technique)


def _reach_missing(planned: CasePlan, right: Marking) -> Marking | None:
    return right.redrawn(replace(right.outline, half_width=right.outline.offset), planned.technique)


def _near_opening_missed(planned: CasePlan, right: Marking) -> Marking | None:
    pits_only, margin = planned.fitted.pits_only, planned.technique.settings.opening_margin
    if pits_only is None or not right.excised_openings:
        return None
    openings = [planned.case.findings.openings[index] for index in right.excised_openings]
    least = min(
        disc_margin(pits_only, opening_x(opening, right.side), opening.at, opening.diameter)
        for opening in openings
    )
    return right.redrawn(pits_only, planned.technique) if least < margin - rules.NOISE else None


def _distant_opening_chased(planned: CasePlan, right: Marking) -> Marking | None:
    """The nearest of the openings that are to be left is taken as well."""
    left = set(range(len(planned.case.findings.openings))) - right.excised_openings
    if not left or planned.fitted.pits_only is None:
        return None

    def gap(index: int) -> float:
        opening = planned.case.findings.openings[index]
        return disc_gap(right.outline, opening_x(opening, right.side), opening.at, opening.diameter)

    taken = right.excised_openings | {min(left, key=gap)}
    outline = fit_covering(
        planned.case, planned.technique, right.side, taken, planned.fitted.pits_only
    )
    return None if outline is None else right.redrawn(outline, planned.technique)


def _lateral_wall_vertical(_: CasePlan, right: Marking) -> Marking | None:
    if abs(right.lateral_cut_deg - VERTICAL_DEG) <= rules.ANGLE_TOLERANCE:
        return None
    return replace(right, lateral_cut_deg=VERTICAL_DEG)


def _medial_wall_bevelled(_: CasePlan, right: Marking) -> Marking | None:
    return replace(right, medial_cut_deg=right.medial_cut_deg - MEDIAL_BEVEL_DEG)


def _flap_too_thin(_: CasePlan, right: Marking) -> Marking | None:
    return replace(right, flap_thickness=right.flap_thickness * THIN_FLAP_FRACTION)


def _undermining_too_short(_: CasePlan, right: Marking) -> Marking | None:
    if right.undermining == 0:
        return None
    return replace(right, undermining=right.undermining * SHORT_UNDERMINING_FRACTION)


def _too_few_deep_stitches(_: CasePlan, right: Marking) -> Marking | None:
    if right.deep_stitches == 0:
        return None
    return replace(right, deep_stitches=right.deep_stitches // 2)


def _oblique_misread(planned: CasePlan, right: Marking) -> Marking | None:
    """Lateral lengths taken from an oblique photograph as if it were a plan view."""
    seen, outline = math.cos(math.radians(PHOTOGRAPH_TILT_DEG)), right.outline
    if outline.offset * (1 - seen) <= rules.LINE_TOLERANCE:
        return None
    narrower = replace(
        outline,
        offset=outline.offset * seen,
        caudal_shift=outline.caudal_shift * seen,
        half_width=outline.half_width * seen,
    )
    return right.redrawn(narrower, planned.technique)


def _dose_unit_slip(planned: CasePlan, right: Marking) -> Marking | None:
    """A length in mm read as cm when the volume was worked out along it: ten times the volume."""
    return _over_limit(planned, right, UNIT_SLIP_FACTOR)


def _dose_over_limit(planned: CasePlan, right: Marking) -> Marking | None:
    """The larger of the two limits taken, or a volume beyond the only one."""
    if right.infiltrate is None or planned.case.patient.weight_kg is None:
        return None
    agent = planned.technique.infiltration[right.infiltrate.agent]
    limit = smaller_limit(agent.fixed_mg, agent.per_kg_mg, planned.case.patient.weight_kg).limit_mg
    by_weight = 0.0 if agent.per_kg_mg is None else agent.per_kg_mg * planned.case.patient.weight_kg
    dose = max(agent.fixed_mg, by_weight, OVERDOSE_FACTOR * limit)
    factor = dose / (right.infiltrate.concentration_mg_per_ml * right.infiltrate.volume_ml)
    return _over_limit(planned, right, factor)


def _over_limit(planned: CasePlan, right: Marking, factor: float) -> Marking | None:
    given = right.infiltrate
    if given is None:
        return None
    more = Infiltrate(given.agent, given.concentration_mg_per_ml, given.volume_ml * factor)
    wrong = replace(right, infiltrate=more)
    dose = measure(planned.case, planned.technique, wrong).dose
    return wrong if dose is not None and dose.dose_mg > dose.limit_mg + rules.NOISE else None


def _mistake(name: str, change: Change, breaks: set[str], may_break: set[str]) -> Mistake:
    return Mistake(name, frozenset(breaks), frozenset(may_break), change)


_OPENINGS: Final = {rules.NEAR_OPENINGS_EXCISED, rules.DISTANT_OPENINGS_LEFT}
_PASSES: Final = {rules.SCAR_PROLONGATION, rules.VERGE_CLEARANCE}

MISTAKES: Final[tuple[Mistake, ...]] = (
    _mistake("wrong-side", _wrong_side, {rules.SIDE}, _OPENINGS),
    _mistake(
        "centred-on-midline",
        _centred,
        {rules.OFFSET, rules.SYMMETRIC_WIDTH, rules.SCAR_OFF_MIDLINE},
        _OPENINGS | _PASSES,
    ),
    _mistake(
        "caudal-shift-forgotten",
        _shift_forgotten,
        {rules.CAUDAL_SHIFT},
        _OPENINGS | {rules.VERGE_CLEARANCE},
    ),
    _mistake(
        "caudal-shift-towards-midline",
        _shift_towards_midline,
        {rules.CAUDAL_SHIFT},
        _OPENINGS | _PASSES | {rules.SCAR_OFF_MIDLINE},
    ),
    _mistake("caudal-pit-outside", _caudal_pit_outside, {rules.PITS_COVERED}, _OPENINGS),
    _mistake(
        "too-short",
        _too_short,
        {rules.LENGTH_TO_WIDTH},
        _OPENINGS | {rules.PITS_COVERED},
    ),
    _mistake(
        "reach-missing",
        _reach_missing,
        {rules.REACH, rules.PITS_COVERED},
        {rules.NEAR_OPENINGS_EXCISED},
    ),
    _mistake("near-opening-missed", _near_opening_missed, {rules.NEAR_OPENINGS_EXCISED}, set()),
    _mistake(
        "distant-opening-chased", _distant_opening_chased, {rules.DISTANT_OPENINGS_LEFT}, set()
    ),
    _mistake("lateral-wall-vertical", _lateral_wall_vertical, {rules.LATERAL_CUT}, set()),
    _mistake("medial-wall-bevelled", _medial_wall_bevelled, {rules.MEDIAL_CUT}, set()),
    _mistake("flap-too-thin", _flap_too_thin, {rules.FLAP_THICKNESS}, set()),
    _mistake("undermining-too-short", _undermining_too_short, {rules.UNDERMINING}, set()),
    _mistake("too-few-deep-stitches", _too_few_deep_stitches, {rules.DEEP_SPACING}, set()),
    _mistake(
        "oblique-misread",
        _oblique_misread,
        {rules.OFFSET, rules.SYMMETRIC_WIDTH},
        _OPENINGS | _PASSES | {rules.CAUDAL_SHIFT, rules.REACH, rules.PITS_COVERED},
    ),
    _mistake("dose-unit-slip", _dose_unit_slip, {rules.INFILTRATION_DOSE}, set()),
    _mistake("dose-over-limit", _dose_over_limit, {rules.INFILTRATION_DOSE}, set()),
)


@once
def wrong_plans(planned: CasePlan) -> Mapping[str, Plan]:
    """The plan of every mistake that applies to a case, by the mistake's name, in their order."""
    applied = ((mistake.mistake, mistake.apply(planned)) for mistake in MISTAKES)
    return {name: plan for name, plan in applied if plan is not None}
