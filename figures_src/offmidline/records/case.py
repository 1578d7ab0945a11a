"""The case: a patient, what was found, and what was prescribed instead of computed.

Lengths are in mm unless the name says otherwise. `at` and the apexes are levels, cranial of the
centre of the anal verge; `lateral` is a distance from the midline, with the side beside it.
"""

from __future__ import annotations

from collections import Counter
from typing import Annotated, Literal, get_args

from pydantic import Field

from offmidline.records import ranges
from offmidline.records.base import Flag, Id, LongText, Record, ShortText, Side, SideWord
from offmidline.records.fields import Count, Quantity, Word

Audience = Literal["trainee", "examiner"]
Sex = Literal["male", "female"]


class Patient(Record):
    """Who is operated on; the weight is required where an infiltration is given."""

    age_years: Annotated[float, Quantity(ranges.AGE)] = Field(alias="age")
    sex: Annotated[Sex, Word(get_args(Sex))]
    weight_kg: Annotated[float, Quantity(ranges.WEIGHT)] | None = Field(None, alias="weight")
    height: Annotated[float, Quantity(ranges.HEIGHT)] | None = None
    asa: Annotated[int, Count(ranges.ASA)] | None = None
    smoker: Flag | None = None
    occupation: ShortText | None = None


class History(Record):
    """How long there were symptoms, and the earlier drainages and excisions."""

    symptoms_months: Annotated[float, Quantity(ranges.SYMPTOMS)] | None = Field(
        None, alias="symptoms"
    )
    drained: Annotated[int, Count(ranges.EARLIER_OPERATIONS)] | None = None
    excised: Annotated[int, Count(ranges.EARLIER_OPERATIONS)] | None = None


class Pit(Record):
    """An opening on the midline."""

    at: Annotated[float, Quantity(ranges.PIT_AT)]
    diameter: Annotated[float, Quantity(ranges.PIT_DIAMETER)]


class Opening(Record):
    """A secondary opening beside the midline."""

    at: Annotated[float, Quantity(ranges.OPENING_AT)]
    lateral: Annotated[float, Quantity(ranges.OPENING_LATERAL)]
    side: SideWord
    diameter: Annotated[float, Quantity(ranges.OPENING_DIAMETER)]


class Findings(Record):
    """Pits, secondary openings, and the depths of cavity and fascia under the skin."""

    pits: tuple[Pit, ...] = Field(min_length=1)
    openings: tuple[Opening, ...] = ()
    cavity_depth: Annotated[float, Quantity(ranges.CAVITY_DEPTH)]
    fascia_depth: Annotated[float, Quantity(ranges.FASCIA_DEPTH)]

    @property
    def midline_extent(self) -> tuple[float, float]:
        """Levels of the lowest and of the highest point of a pit's rim, mm."""
        return (
            min(pit.at - pit.diameter / 2 for pit in self.pits),
            max(pit.at + pit.diameter / 2 for pit in self.pits),
        )


class PrescribedMarking(Record):
    """A marking to be measured and judged; what it leaves out is the technique's."""

    cranial_apex: Annotated[float, Quantity(ranges.MARKING_CRANIAL_APEX)]
    caudal_apex: Annotated[float, Quantity(ranges.MARKING_CAUDAL_APEX)]
    reach: Annotated[float, Quantity(ranges.MARKING_REACH)]
    offset: Annotated[float, Quantity(ranges.MARKING_OFFSET)] | None = None
    caudal_shift: Annotated[float, Quantity(ranges.MARKING_CAUDAL_SHIFT)] | None = None
    side: SideWord | None = None


class PrescribedClosure(Record):
    """A closure to be judged: the number of stitches in the deep row."""

    deep_stitches: Annotated[int, Count(ranges.DEEP_STITCHES)] | None = None


class PrescribedSection(Record):
    """A section to be judged; what it leaves out is the technique's."""

    depth: Annotated[float, Quantity(ranges.SECTION_DEPTH)] | None = None
    lateral_cut_deg: Annotated[float, Quantity(ranges.LATERAL_CUT)] | None = Field(
        None, alias="lateral_cut"
    )
    medial_cut_deg: Annotated[float, Quantity(ranges.MEDIAL_CUT)] | None = Field(
        None, alias="medial_cut"
    )
    flap_thickness: Annotated[float, Quantity(ranges.FLAP_THICKNESS)] | None = None
    undermining: Annotated[float, Quantity(ranges.UNDERMINING)] | None = None


class Infiltration(Record):
    """A local anaesthetic: the agent's id in the technique, its concentration and volume."""

    agent: Id
    concentration_mg_per_ml: Annotated[float, Quantity(ranges.CONCENTRATION)] = Field(
        alias="concentration"
    )
    volume_ml: Annotated[float, Quantity(ranges.INFILTRATION_VOLUME)] = Field(alias="volume")


class Case(Record):
    """One case of the handbook."""

    case: Id
    title: ShortText
    audience: Annotated[Audience, Word(get_args(Audience))]
    technique: Id
    patient: Patient
    findings: Findings
    history: History | None = None
    side: SideWord | None = None
    marking: PrescribedMarking | None = None
    section: PrescribedSection | None = None
    closure: PrescribedClosure | None = None
    infiltration: Infiltration | None = None
    learning: tuple[LongText, ...] = ()
    teaching_notes: LongText | None = None

    @property
    def flap_side(self) -> Side:
        """The side given, else the side with more openings; the reader saw to it that one is."""
        if self.side is not None:
            return self.side
        sides = Counter(opening.side for opening in self.findings.openings)
        return "left" if sides["left"] > sides["right"] else "right"
