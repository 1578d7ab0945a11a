"""Which values are believed: each range once, with its reason.

The ranges are wide: they stop slips of the pen (a wrong unit, a digit too many), not rare patients.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from offmidline.quantities import MONTHS_A_YEAR, UNITS, Kind


@dataclass(frozen=True)
class Range:
    """From low to high in the internal unit of kind, the ends included unless low_open.

    A kind of None is a bare number: a ratio or a count.
    """

    kind: Kind | None
    low: float
    high: float
    why: str
    low_open: bool = False

    def holds(self, value: float) -> bool:
        """Whether the value lies inside."""
        above = self.low < value if self.low_open else self.low <= value
        return above and value <= self.high


def _length(low: float, high: float, why: str) -> Range:
    return Range("length", low, high, why)


def _size(high: float, why: str) -> Range:
    return Range("length", 0, high, why, low_open=True)


_CLEFT = "the natal cleft is not longer than that"
_ROW = "stitches have some distance, and further apart than that they close no dead space"

# Case: the patient and the history.
AGE: Final = Range("age", 16, 110, "a younger patient belongs to a specialist, and nobody is older")
WEIGHT: Final = Range("body mass", 30, 300, "adults outside it need their own dose advice")
HEIGHT: Final = Range("length", 1200, 2300, "adults lie within it")
ASA: Final = Range(
    None, 1, 4, "the classes begin at 1, and patients of class 5 or 6 do not have this operation"
)
EARLIER_OPERATIONS: Final = Range(None, 0, 50, "it counts earlier operations")
SYMPTOMS: Final = Range("duration", 0, 80 * MONTHS_A_YEAR, "symptoms last no longer than a life")

# Case: the findings.
PIT_AT: Final = Range(
    "length", 0, 250, f"it is measured cranially from the anal verge and {_CLEFT}", low_open=True
)
PIT_DIAMETER: Final = _size(20, "a pit has some width, and a wider hole is a wound")
OPENING_AT: Final = _length(
    0, 300, "it is measured cranially from the anal verge, and disease does not reach further"
)
OPENING_LATERAL: Final = _size(
    150,
    "it is a distance from the midline, `side` tells to which side, and what "
    "lies in the midline is a pit",
)
OPENING_DIAMETER: Final = _size(40, "an opening has some width, and a wider one is a wound")
CAVITY_DEPTH: Final = _size(80, "the cavity lies in the fat between skin and fascia")
FASCIA_DEPTH: Final = _size(120, "the fat over the sacrum is not thicker than that")

# Case: what was prescribed instead of computed. A prescribed marking may be wrong: that is its use.
MARKING_CRANIAL_APEX: Final = _length(
    0, 500, "it is a level above the anal verge, on the same patient"
)
MARKING_CAUDAL_APEX: Final = _length(-50, 400, "it is a level along the cleft, on the same patient")
MARKING_REACH: Final = _length(-40, 60, "a marking beyond it no longer belongs to this operation")
MARKING_OFFSET: Final = _length(-60, 60, "a marking beyond it no longer belongs to this operation")
MARKING_CAUDAL_SHIFT: Final = _length(
    -60, 60, "a marking beyond it no longer belongs to this operation"
)
DEEP_STITCHES: Final = Range(None, 0, 60, "one row holds no more")
SECTION_DEPTH: Final = _size(120, "the fat over the sacrum is not thicker than that")
CONCENTRATION: Final = Range(
    "concentration",
    0,
    40,
    "a solution has some strength, and none for infiltration is stronger",
    low_open=True,
)
INFILTRATION_VOLUME: Final = Range(
    "volume",
    0,
    500,
    "something is infiltrated, and no more than that round one wound",
    low_open=True,
)

# Technique: the dimensions. A section prescribed by a case keeps to the same ranges.
OFFSET: Final = _size(60, "the wound lies beside the cleft, not on the buttock")
CAUDAL_SHIFT: Final = _length(
    0, 40, "the caudal apex turns away from the midline, by less than the offset of any technique"
)
REACH: Final = _size(40, "the medial edge must pass the midline to take the pits, and not by more")
LENGTH_TO_WIDTH: Final = Range(
    None, 1, 6, "below 1 the outline is wider than long; above 6 it leaves the cleft"
)
PIT_MARGIN: Final = _length(0, 20, "it is healthy skin round a pit")
OPENING_MARGIN: Final = _length(0, 20, "it is healthy skin round an opening")
NEAR_OPENING: Final = _length(0, 60, "an opening further away needs its own treatment")
VERGE_CLEARANCE: Final = _length(0, 60, "a greater distance would shut out most of the cleft")
LOWEST_APEX: Final = _length(0, 100, "it is a level at or above the anal verge, below most pits")
LATERAL_CUT: Final = Range("angle", 20, 150, "a flatter cut would split the skin")
MEDIAL_CUT: Final = Range("angle", 45, 135, "a flatter cut thins the flap's edge")
CLEARANCE_BELOW_CAVITY: Final = _length(0, 20, "it is a rim of healthy tissue below the cavity")
FLAP_THICKNESS: Final = _size(40, "a flap has some thickness, and less than the fat has")
UNDERMINING: Final = _length(0, 80, "further undermining costs the flap its blood supply")
DEEP_SPACING: Final = _size(60, _ROW)
SUPERFICIAL_SPACING: Final = _size(60, _ROW)
FIXED_DOSE: Final = Range(
    "drug mass", 0, 1000, "no label of a local anaesthetic allows more at once", low_open=True
)
DOSE_PER_BODY_MASS: Final = Range(
    "dose per body mass", 0, 20, "no label of a local anaesthetic allows more", low_open=True
)
RULE_WEIGHT: Final = Range(
    None, 0.1, 10, "it is a share of a score, in which no rule may drown the others"
)

# Complications and gradings.
AFTER_OPERATION: Final = Range(
    "duration", 0, 20 * MONTHS_A_YEAR, "it is a time after the operation, within its follow-up"
)
POINTS: Final = Range(None, 0, 1000, "a score counts upwards from 0")
SCORED_DAYS: Final = Range(None, 1, 31, "a wound is scored on some days, not for months")

# Evidence.
EVENTS: Final = Range(None, 0, 1_000_000, "it is a number of patients")
PATIENTS: Final = Range(None, 1, 1_000_000, "it is a number of patients")
TRIALS: Final = Range(None, 1, 1000, "it is a number of trials")
PERCENT: Final = Range(None, 0, 100, "it is a percentage")
EFFECT: Final = Range(None, -1000, 1000, "it is a ratio or a difference")
FOLLOW_UP: Final = Range("duration", 0, 100 * MONTHS_A_YEAR, "it is the time of a study")

# Sources.
DATE_PART: Final = Range(None, 1, 2100, "it is a year, a month or a day in digits")

# Papers.
_HOURS_OF_A_PAPER: Final = 12 * float(UNITS["duration"]["hours"])
PAPER_DURATION: Final = Range(
    "duration", 0, _HOURS_OF_A_PAPER, "nobody sits longer over one paper", low_open=True
)
QUESTIONS: Final = Range(None, 1, 200, "a row asks for some questions, and a paper has an end")
SHARE: Final = Range(None, 0, 1, "it is a share of right answers")
CANDIDATES: Final = Range(None, 1, 1_000_000, "it is a number of candidates")
RIGHT_ANSWERS: Final = Range(None, 0, 1_000_000, "it is a number of candidates")
