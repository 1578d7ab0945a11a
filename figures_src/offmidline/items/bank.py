"""Items of a case: by model and seed, linted."""

from __future__ import annotations

from collections.abc import Iterable

from offmidline.items.emit import emit
from offmidline.items.item import Item
from offmidline.items.lint import refuse_flawed
from offmidline.items.model import ItemModel, Material
from offmidline.items.models import MODELS
from offmidline.items.stream import Stream
from offmidline.plan import CasePlan
from offmidline.records import Library


def make(
    planned: CasePlan, library: Library, models: Iterable[ItemModel], seed: str, key: bytes = b""
) -> tuple[Item, ...]:
    """The items that models make of a case; those for which it gives no room are left out.

    The same seed and key give the same items on every machine.

    Raises:
        FlawedItemsError: where one of them is badly written.
    """
    material = Material(planned, library, Stream(seed, key=key))
    made = [emit(model, material) for model in models]
    items = tuple(item for item in made if item is not None)
    refuse_flawed(items)
    return items


def items_of_case(planned: CasePlan, library: Library, seed: str) -> tuple[Item, ...]:
    """The items of all models; raises as ``make`` does."""
    return make(planned, library, MODELS.values(), seed)
