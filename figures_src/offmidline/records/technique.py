"""The technique: the dimensions of the operation, the limits of its drugs, and its steps.

Lengths are in mm, angles in degrees, doses in mg and mg/kg.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from functools import cached_property
from typing import Annotated, Any, Generic, Literal, TypeAlias, TypeVar, get_args

from pydantic import Field

from offmidline.records import ranges
from offmidline.records.base import (
    Flag,
    Id,
    LongText,
    Record,
    ShortText,
    SourceId,
    Status,
    StatusWord,
)
from offmidline.records.fields import KeyOf, Quantity, Ratio, Word
from offmidline.records.settings import TechniqueSettings

Operation = Literal["off-midline-advancement"]
Who = Literal["surgeon", "assistant", "anaesthetist", "scrub", "circulating", "all"]
RuleId: TypeAlias = Annotated[str, KeyOf("rules")]

Value = TypeVar("Value", bound=float)


class Setting(Record, Generic[Value]):
    """A value with its standing: from where it comes and why it is as it is."""

    value: Value
    status: StatusWord
    why: LongText
    source: tuple[SourceId, ...] = ()


class Dimensions(Record):
    """What the technique fixes."""

    offset: Setting[Annotated[float, Quantity(ranges.OFFSET)]]
    caudal_shift: Setting[Annotated[float, Quantity(ranges.CAUDAL_SHIFT)]]
    reach: Setting[Annotated[float, Quantity(ranges.REACH)]]
    length_to_width: Setting[Annotated[float, Ratio(ranges.LENGTH_TO_WIDTH)]]
    pit_margin: Setting[Annotated[float, Quantity(ranges.PIT_MARGIN)]]
    opening_margin: Setting[Annotated[float, Quantity(ranges.OPENING_MARGIN)]]
    near_opening: Setting[Annotated[float, Quantity(ranges.NEAR_OPENING)]]
    verge_clearance: Setting[Annotated[float, Quantity(ranges.VERGE_CLEARANCE)]]
    lowest_apex: Setting[Annotated[float, Quantity(ranges.LOWEST_APEX)]]
    lateral_cut_deg: Setting[Annotated[float, Quantity(ranges.LATERAL_CUT)]] = Field(
        alias="lateral_cut"
    )
    medial_cut_deg: Setting[Annotated[float, Quantity(ranges.MEDIAL_CUT)]] = Field(
        alias="medial_cut"
    )
    clearance_below_cavity: Setting[Annotated[float, Quantity(ranges.CLEARANCE_BELOW_CAVITY)]]
    flap_thickness: Setting[Annotated[float, Quantity(ranges.FLAP_THICKNESS)]]
    undermining: Setting[Annotated[float, Quantity(ranges.UNDERMINING)]]
    deep_spacing: Setting[Annotated[float, Quantity(ranges.DEEP_SPACING)]]
    superficial_spacing: Setting[Annotated[float, Quantity(ranges.SUPERFICIAL_SPACING)]]


class AgentLimit(Record):
    """The most of a local anaesthetic that a named label or practice allows at once.

    `status` and `source` belong to the fixed limit and, unless `per_kg_status` says otherwise, to
    the limit per body mass. `note` states where sources disagree.
    """

    name: ShortText
    fixed_mg: Annotated[float, Quantity(ranges.FIXED_DOSE)] = Field(alias="fixed")
    per_kg_mg: Annotated[float, Quantity(ranges.DOSE_PER_BODY_MASS)] | None = Field(
        None, alias="per_kg"
    )
    label: ShortText
    country: ShortText
    interval: ShortText | None = None
    why: LongText
    status: StatusWord
    per_kg_status: StatusWord | None = None
    source: tuple[SourceId, ...] = ()
    note: LongText | None = None

    @property
    def per_kg_standing(self) -> Status:
        """The status of the limit per body mass."""
        return self.per_kg_status or self.status


class Step(Record):
    """One step: what to do and why, how to see that it is right, what goes wrong, who does it."""

    step: Id
    do: LongText
    why: LongText
    check: LongText | None = None
    wrong: LongText | None = None
    who: Annotated[Who, Word(get_args(Who))] = "surgeon"
    pause: Flag = False


class Phase(Record):
    """A part of the operation."""

    phase: Id
    title: ShortText
    steps: tuple[Step, ...] = Field(min_length=1)


class Technique(Record):
    """One way of doing the operation.

    `weights` tells what a rule weighs in the score of an exercise; one that it leaves out weighs 1.
    """

    technique: Id
    operation: Annotated[Operation, Word(get_args(Operation))]
    title: ShortText
    dimensions: Dimensions
    infiltration: Mapping[Id, AgentLimit]
    weights: Mapping[RuleId, Annotated[float, Ratio(ranges.RULE_WEIGHT)]] = Field(
        default_factory=dict
    )
    steps: tuple[Phase, ...] = ()

    @cached_property
    def settings(self) -> TechniqueSettings:
        """The dimensions as plain floats."""
        values: dict[str, Any] = {
            name.name: getattr(self.dimensions, name.name).value
            for name in fields(TechniqueSettings)
        }
        return TechniqueSettings(**values)
