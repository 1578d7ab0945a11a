"""What every record has in common, and the field types that several records use."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias, get_args

from pydantic import BaseModel, ConfigDict

from offmidline.records.fields import ID, LONG_TEXT, SOURCE_ID, Text, TrueOrFalse, Word


class Record(BaseModel):
    """A part of what people write: unknown keys are errors, and nothing changes after reading.

    Built on first use, so that a command pays only for the records that it reads.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


Side = Literal["left", "right"]
Status = Literal["sourced", "common practice", "local setting"]

Id: TypeAlias = Annotated[str, ID]
SourceId: TypeAlias = Annotated[str, SOURCE_ID]
ShortText: TypeAlias = Annotated[str, Text()]
LongText: TypeAlias = Annotated[str, Text(LONG_TEXT)]
Flag: TypeAlias = Annotated[bool, TrueOrFalse()]
SideWord: TypeAlias = Annotated[Side, Word(get_args(Side))]
StatusWord: TypeAlias = Annotated[Status, Word(get_args(Status))]
