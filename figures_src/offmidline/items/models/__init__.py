"""The item models, in the order of the operation. A module a topic; each ends in ``MODELS``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from offmidline.items.model import ItemModel
from offmidline.items.models import (
    choosing,
    closure,
    complications,
    covered,
    excision,
    faults,
    flap,
    grading,
    infiltration,
    marking,
    steps,
)

_TOPICS: Final = (
    choosing,
    marking,
    covered,
    faults,
    steps,
    excision,
    flap,
    infiltration,
    closure,
    complications,
    grading,
)
MODELS: Final[Mapping[str, ItemModel]] = {
    model.model: model for topic in _TOPICS for model in topic.MODELS
}
