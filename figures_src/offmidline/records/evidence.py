"""What a publication found: counts, rates, estimates and findings, each with its follow-up time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal, get_args

from pydantic import Field

from offmidline import quantities
from offmidline.records import ranges
from offmidline.records.base import Id, LongText, Record, ShortText, SourceId
from offmidline.records.fields import Count, Matching, Quantity, Ratio, Word
from offmidline.records.source import Known

Design = Literal[
    "before and after",
    "case series",
    "case-control study",
    "cohort",
    "pooled studies",
    "pooled trials",
    "randomised trial",
    "retrospective comparison",
]
Outcome = Literal[
    "abscess",
    "chronic-disease",
    "complications",
    "death",
    "dehiscence",
    "disease",
    "failure",
    "fluid",
    "haematoma",
    "healing",
    "healing-time",
    "infection",
    "no-recurrence",
    "normal-activity",
    "operating-time",
    "recurrence",
    "satisfaction",
    "scar",
    "second-operation",
    "sensation",
    "success",
    "unhealed",
    "wound-complications",
]
Measure = Literal[
    "Peto odds ratio",
    "hazard ratio",
    "mean difference",
    "odds ratio",
    "relative risk",
    "risk difference",
]
Unit = Literal["days", "minutes", "percentage points"]
Compared = Literal["higher", "lower", "no difference"]
Limit = Literal["under", "up to"]
FollowUpIs = Literal["at least", "mean", "median"]

# Outcomes that mean nothing without the time after which they were counted.
TIMED: Final[frozenset[str]] = frozenset({"recurrence", "no-recurrence"})
# Measures without a unit, always more than 0; the others are differences.
RATIOS: Final[frozenset[str]] = frozenset(
    {"Peto odds ratio", "hazard ratio", "odds ratio", "relative risk"}
)
NOT_STATED: Final = "not stated"


@dataclass(frozen=True)
class _FollowUp(Matching):
    """A time of follow-up, kept in the unit in which it was read, or that none was stated."""

    def read(self, value: Any) -> str:
        text = super().read(value)
        if text != NOT_STATED:
            Quantity(ranges.FOLLOW_UP).read(text)
        return text


_FOLLOW_UP = _FollowUp(
    rf"{NOT_STATED}|[0-9]+(\.[0-9]+)? (days|weeks|months|years|day|week|month|year)",
    "bad_follow_up",
    "12 months",
)


class Arm(Record):
    """Those who were treated in one way: how many, and in how many it happened."""

    operation: Id
    events: Annotated[int, Count(ranges.EVENTS)]
    of: Annotated[int, Count(ranges.PATIENTS)]


class Rate(Record):
    """A printed percentage, with its 95 % interval where there is one."""

    operation: Id
    percent: Annotated[float, Ratio(ranges.PERCENT)]
    low: Annotated[float, Ratio(ranges.PERCENT)] | None = None
    high: Annotated[float, Ratio(ranges.PERCENT)] | None = None
    of: Annotated[int, Count(ranges.PATIENTS)] | None = None
    limit: Annotated[Limit, Word(get_args(Limit))] | None = None


class Estimate(Record):
    """A printed measure of the first against the second, with its 95 % interval."""

    measure: Annotated[Measure, Word(get_args(Measure))]
    value: Annotated[float, Ratio(ranges.EFFECT)]
    low: Annotated[float, Ratio(ranges.EFFECT)] | None = None
    high: Annotated[float, Ratio(ranges.EFFECT)] | None = None
    unit: Annotated[Unit, Word(get_args(Unit))] | None = None
    trials: Annotated[int, Count(ranges.TRIALS)] | None = None
    between: tuple[Id, Id]


class Finding(Record):
    """A comparison of the first with the second that was read without numbers."""

    compared: Annotated[Compared, Word(get_args(Compared))]
    between: tuple[Id, Id]


class EvidenceRow(Record):
    """One result. Of counts, rate, estimate and finding it holds just one."""

    row: Id
    outcome: Annotated[Outcome, Word(get_args(Outcome))]
    follow_up_as_read: Annotated[str, _FOLLOW_UP] | None = Field(None, alias="follow_up")
    follow_up_is: Annotated[FollowUpIs, Word(get_args(FollowUpIs))] | None = None
    follow_up_to: Annotated[float, Quantity(ranges.FOLLOW_UP)] | None = None
    status: Annotated[Known, Word(get_args(Known))] | None = None
    arms: tuple[Arm, ...] = Field((), max_length=2)
    rate: Rate | None = None
    estimate: Estimate | None = None
    finding: Finding | None = None

    @property
    def follow_up(self) -> float | None:
        """The follow-up in months; None where there is none, or none was stated."""
        if self.follow_up_as_read in (None, NOT_STATED):
            return None
        return quantities.parse(str(self.follow_up_as_read), "duration")

    @property
    def follow_up_text(self) -> str:
        """The follow-up as it was read: ``mean 39.7 months``, ``2 years to 20 years``."""
        words = [self.follow_up_is or "", self.follow_up_as_read or ""]
        if self.follow_up_to is not None:
            unit = words[1].partition(" ")[2]
            words += ["to", quantities.written(self.follow_up_to, "duration", unit)]
        return " ".join(filter(None, words))


class Evidence(Record):
    """A publication: its design, whom it was about, what one has to know before using it."""

    evidence: SourceId
    source: SourceId
    design: Annotated[Design, Word(get_args(Design))]
    subject: ShortText
    cautions: tuple[LongText, ...] = ()
    rows: tuple[EvidenceRow, ...] = Field(min_length=1)
