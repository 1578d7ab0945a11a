"""What is drawn on the skin: distances, lengths and levels of the marking."""

from __future__ import annotations

from typing import Final

from offmidline import amounts, rules
from offmidline.items.item import Picture
from offmidline.items.model import ItemModel
from offmidline.items.value import Number, value_model

_FOUND: Final = (Picture("findings"),)

MODELS: Final[tuple[ItemModel, ...]] = (
    value_model(
        "caudal-apex-lateral",
        "marking",
        Number(
            lambda plan: plan.outline.caudal_point[0],
            mistakes=(
                "centred-on-midline",
                "caudal-shift-forgotten",
                "caudal-shift-towards-midline",
                "oblique-misread",
            ),
        ),
        rule=rules.CAUDAL_SHIFT,
        given=lambda plan: {
            "offset": amounts.millimetres(plan.outline.offset),
            "shift": amounts.millimetres(plan.outline.caudal_shift),
        },
    ),
    value_model(
        "width",
        "marking",
        Number(
            lambda plan: plan.outline.width,
            mistakes=("reach-missing", "oblique-misread"),
            slips={
                "half-width-taken": lambda plan: plan.outline.half_width,
                "reach-added-once": lambda plan: 2 * plan.outline.offset + plan.outline.reach,
            },
        ),
        rule=rules.REACH,
        given=lambda plan: {
            "offset": amounts.millimetres(plan.outline.offset),
            "reach": amounts.millimetres(plan.outline.reach),
        },
        pictures=_FOUND,
    ),
)
