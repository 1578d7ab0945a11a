"""Questions computed from a plan and the records, so that key, figure and feedback cannot
disagree.

    a planned case -> models ask -> questions -> guards -> items -> linter
"""

from __future__ import annotations

from offmidline.items.bank import items_of_case, make
from offmidline.items.item import Item, Numeric, Option, Picture, Standing
from offmidline.items.lint import Flaw, FlawedItemsError, lint
from offmidline.items.model import ItemModel, Material
from offmidline.items.models import MODELS

__all__ = [
    "MODELS",
    "Flaw",
    "FlawedItemsError",
    "Item",
    "ItemModel",
    "Material",
    "Numeric",
    "Option",
    "Picture",
    "Standing",
    "items_of_case",
    "lint",
    "make",
]
