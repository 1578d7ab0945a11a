"""The rules: each measures a plan and returns a verdict. One list serves figures, feedback and
scores.

What a rule asks comes from the technique, never from here; why it asks stands in the messages file
and in the technique, with its source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from offmidline import messages
from offmidline.plan import Plan

Outcome = Literal["met", "not met", "not applicable"]
Comparison = Literal["is", "at least", "at most", "between", "above"]
Value = float | str

# Rounding noise (mm, degrees, mg) that no rule may turn on; the fit keeps its constraints ten times
# finer.
NOISE: Final = 0.01
# How far (mm) a drawn line may lie from where it should: the width of a skin marker's line.
# Common practice, no source.
LINE_TOLERANCE: Final = 1.0
# How far (degrees) a cut may lean from its angle; a cut is judged by eye. Common practice, no
# source.
ANGLE_TOLERANCE: Final = 5.0


@dataclass(frozen=True)
class Requirement:
    """What a rule asks: a comparison with one value, or with two for ``between``."""

    comparison: Comparison
    value: Value
    upper: float | None = None
    tolerance: float = NOISE

    def met_by(self, measured: Value) -> bool:
        """Whether a measured value satisfies it."""
        if isinstance(measured, str) or isinstance(self.value, str):
            return measured == self.value
        if self.comparison == "is":
            return abs(measured - self.value) <= self.tolerance
        if self.comparison == "at most":
            return measured <= self.value + self.tolerance
        if self.comparison == "above":
            return measured > self.value
        enough = measured >= self.value - self.tolerance
        return enough and (self.upper is None or measured <= self.upper + self.tolerance)


@dataclass(frozen=True)
class Verdict:
    """What a rule found: measured and required are None where it does not apply."""

    rule: str
    verdict: Outcome
    measured: Value | None
    required: Requirement | None
    unit: str
    title: str
    why: str
    status: str
    source: tuple[str, ...]


@dataclass(frozen=True)
class Rule:
    """A rule: its id, what it reads off a plan, and the technique's setting that it stands on.

    Attributes:
        ask: returns (measured, required), or None where the rule does not apply to the plan.
        setting: name of the technique's dimension whose source and status the rule carries; ""
            where the rule follows from the geometry or (infiltration) from the agent's label.
    """

    rule: str
    setting: str
    unit: str
    ask: Callable[[Plan], tuple[Value, Requirement] | None]

    def judge(self, plan: Plan) -> Verdict:
        """The rule's verdict on a plan."""
        asked = self.ask(plan)
        words = messages.section(f"rules.{self.rule}")
        status, source = _standing(self, plan)
        if asked is None:
            outcome: Outcome = "not applicable"
            measured, required = None, None
        else:
            measured, required = asked
            outcome = "met" if required.met_by(measured) else "not met"
        return Verdict(
            rule=self.rule,
            verdict=outcome,
            measured=measured,
            required=required,
            unit=self.unit,
            title=words["title"],
            why=words["why"],
            status=status,
            source=source,
        )


def judge(plan: Plan) -> tuple[Verdict, ...]:
    """Every rule's verdict on a plan, in the order of the operation."""
    return tuple(rule.judge(plan) for rule in RULES)


def broken(plan: Plan) -> frozenset[str]:
    """Ids of the rules that a plan does not meet."""
    return frozenset(v.rule for v in judge(plan) if v.verdict == "not met")


def _standing(rule: Rule, plan: Plan) -> tuple[str, tuple[str, ...]]:
    """Status and sources of what a rule stands on."""
    if rule.rule == INFILTRATION_DOSE and plan.marking.infiltrate is not None:
        agent = plan.technique.infiltration[plan.marking.infiltrate.agent]
        return agent.status, agent.source
    if rule.setting:
        setting = getattr(plan.technique.dimensions, rule.setting)
        return setting.status, setting.source
    return "common practice", ()


def _side(plan: Plan) -> tuple[Value, Requirement]:
    return plan.marking.side, Requirement("is", plan.required_side)


def _offset(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.offset
    return plan.outline.offset, Requirement("is", asked, tolerance=LINE_TOLERANCE)


def _caudal_shift(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.caudal_shift
    return plan.outline.caudal_shift, Requirement("is", asked, tolerance=LINE_TOLERANCE)


def _reach(plan: Plan) -> tuple[Value, Requirement]:
    return plan.outline.reach, Requirement("at least", plan.technique.settings.reach)


def _symmetric_width(plan: Plan) -> tuple[Value, Requirement]:
    """Medial minus lateral half-width about the technique's new midline, mm."""
    uneven = 2 * (plan.technique.settings.offset - plan.outline.offset)
    return uneven, Requirement("is", 0.0, tolerance=LINE_TOLERANCE)


def _length_to_width(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.length_to_width
    return plan.outline.length_to_width, Requirement("at least", asked)


def _pits_covered(plan: Plan) -> tuple[Value, Requirement]:
    least = min(pit.margin for pit in plan.pits)
    return least, Requirement("at least", plan.technique.settings.pit_margin)


def _near_openings_excised(plan: Plan) -> tuple[Value, Requirement] | None:
    margins = [opening.margin for opening in plan.openings if opening.decision == "excise"]
    if not margins:
        return None
    return min(margins), Requirement("at least", plan.technique.settings.opening_margin)


def _distant_openings_left(plan: Plan) -> tuple[Value, Requirement] | None:
    gaps = [opening.gap for opening in plan.openings if opening.decision == "leave"]
    return (min(gaps), Requirement("above", 0.0)) if gaps else None


def _scar_off_midline(plan: Plan) -> tuple[Value, Requirement]:
    return plan.outline.scar_nearest_midline, Requirement("above", 0.0)


def _scar_prolongation(plan: Plan) -> tuple[Value, Requirement]:
    """Where the prolonged scar passes the verge; a new midline nearer than the clearance sets the
    standard.
    """
    settings = plan.technique.settings
    asked = min(settings.verge_clearance, settings.offset)
    return plan.outline.passes_verge_at, Requirement("at least", asked)


def _verge_clearance(plan: Plan) -> tuple[Value, Requirement]:
    return plan.verge_clearance, Requirement("at least", plan.technique.settings.verge_clearance)


def _depth(plan: Plan) -> tuple[Value, Requirement]:
    window = plan.depth_window
    return plan.marking.depth, Requirement("between", window.least, window.greatest)


def _lateral_cut(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.lateral_cut_deg
    return plan.marking.lateral_cut_deg, Requirement("is", asked, tolerance=ANGLE_TOLERANCE)


def _medial_cut(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.medial_cut_deg
    return plan.marking.medial_cut_deg, Requirement("is", asked, tolerance=ANGLE_TOLERANCE)


def _flap_thickness(plan: Plan) -> tuple[Value, Requirement]:
    """A flap raised from a shallow wound's wall is as thick as the wall is high."""
    asked = min(plan.technique.settings.flap_thickness, plan.marking.depth)
    return plan.marking.flap_thickness, Requirement("at least", asked)


def _undermining(plan: Plan) -> tuple[Value, Requirement]:
    return plan.marking.undermining, Requirement("at least", plan.technique.settings.undermining)


def _deep_spacing(plan: Plan) -> tuple[Value, Requirement]:
    asked = plan.technique.settings.deep_spacing
    return plan.deep_row.spacing, Requirement("at most", asked)


def _infiltration_dose(plan: Plan) -> tuple[Value, Requirement] | None:
    if plan.dose is None:
        return None
    return plan.dose.dose_mg, Requirement("at most", plan.dose.limit_mg)


SIDE: Final = "side"
OFFSET: Final = "offset"
CAUDAL_SHIFT: Final = "caudal-shift"
REACH: Final = "reach"
SYMMETRIC_WIDTH: Final = "symmetric-width"
LENGTH_TO_WIDTH: Final = "length-to-width"
PITS_COVERED: Final = "pits-covered"
NEAR_OPENINGS_EXCISED: Final = "near-openings-excised"
DISTANT_OPENINGS_LEFT: Final = "distant-openings-left"
SCAR_OFF_MIDLINE: Final = "scar-off-midline"
SCAR_PROLONGATION: Final = "scar-prolongation"
VERGE_CLEARANCE: Final = "verge-clearance"
DEPTH: Final = "depth"
LATERAL_CUT: Final = "lateral-cut"
MEDIAL_CUT: Final = "medial-cut"
FLAP_THICKNESS: Final = "flap-thickness"
UNDERMINING: Final = "undermining"
DEEP_SPACING: Final = "deep-spacing"
INFILTRATION_DOSE: Final = "infiltration-dose"

RULES: Final[tuple[Rule, ...]] = (
    Rule(SIDE, "", "", _side),
    Rule(OFFSET, "offset", "mm", _offset),
    Rule(CAUDAL_SHIFT, "caudal_shift", "mm", _caudal_shift),
    Rule(REACH, "reach", "mm", _reach),
    Rule(SYMMETRIC_WIDTH, "offset", "mm", _symmetric_width),
    Rule(LENGTH_TO_WIDTH, "length_to_width", "", _length_to_width),
    Rule(PITS_COVERED, "pit_margin", "mm", _pits_covered),
    Rule(NEAR_OPENINGS_EXCISED, "opening_margin", "mm", _near_openings_excised),
    Rule(DISTANT_OPENINGS_LEFT, "near_opening", "mm", _distant_openings_left),
    Rule(SCAR_OFF_MIDLINE, "offset", "mm", _scar_off_midline),
    Rule(SCAR_PROLONGATION, "verge_clearance", "mm", _scar_prolongation),
    Rule(VERGE_CLEARANCE, "verge_clearance", "mm", _verge_clearance),
    Rule(DEPTH, "clearance_below_cavity", "mm", _depth),
    Rule(LATERAL_CUT, "lateral_cut_deg", "deg", _lateral_cut),
    Rule(MEDIAL_CUT, "medial_cut_deg", "deg", _medial_cut),
    Rule(FLAP_THICKNESS, "flap_thickness", "mm", _flap_thickness),
    Rule(UNDERMINING, "undermining", "mm", _undermining),
    Rule(DEEP_SPACING, "deep_spacing", "mm", _deep_spacing),
    Rule(INFILTRATION_DOSE, "", "mg", _infiltration_dose),
)
