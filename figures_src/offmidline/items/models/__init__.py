"""The item models, in the order of the operation. A module a topic; each ends in ``MODELS``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from offmidline.items.model import ItemModel
from offmidline.items.models import marking

MODELS: Final[Mapping[str, ItemModel]] = {
    model.model: model for module in (marking,) for model in module.MODELS
}
