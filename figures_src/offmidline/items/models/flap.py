"""What the flap is freed from and how far it has to come."""

from __future__ import annotations

import math
from typing import Final

from offmidline import amounts, rules
from offmidline.items.model import ItemModel, Scale
from offmidline.items.value import Number, value_model
from offmidline.items.worded import TOLD, lengths
from offmidline.plan import Plan

_MILLIMETRES: Final = Scale(reading=TOLD)


def _wall_below(plan: Plan) -> float:
    """Height of the medial wall below the undermining, mm."""
    return plan.marking.depth - plan.marking.flap_thickness


def _flap(plan: Plan) -> dict[str, str]:
    return {
        **lengths(plan.outline, "offset", "reach", "half_width"),
        **lengths(plan.marking, "depth", "flap_thickness", "undermining"),
    }


MODELS: Final[tuple[ItemModel, ...]] = (
    value_model(
        "wall-below-flap",
        "flap",
        Number(
            lambda plan: _wall_below(plan) if _wall_below(plan) >= 1 else None,
            mistakes=("flap-too-thin",),
            slips={
                "whole-wall": lambda plan: plan.marking.depth,
                "thickness-added": lambda plan: plan.marking.depth + plan.marking.flap_thickness,
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.FLAP_THICKNESS,
        given=_flap,
    ),
    value_model(
        "recess-lateral",
        "flap",
        Number(
            lambda plan: plan.outline.reach + plan.marking.undermining,
            mistakes=("undermining-too-short",),
            slips={
                "undermined-from-midline": lambda plan: plan.marking.undermining,
                "recess-from-new-midline": lambda plan: (
                    plan.outline.half_width + plan.marking.undermining
                ),
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.UNDERMINING,
        given=_flap,
    ),
    value_model(
        "edge-travel",
        "flap",
        Number(
            lambda plan: plan.outline.half_width,
            slips={
                "travel-to-midline": lambda plan: plan.outline.reach,
                "travel-from-midline": lambda plan: plan.outline.offset,
                "travel-over-the-wound": lambda plan: plan.outline.width,
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.SYMMETRIC_WIDTH,
        given=_flap,
    ),
    value_model(
        "deep-gap",
        "flap",
        Number(
            lambda plan: plan.deep_gap,
            mistakes=("undermining-too-short",),
            slips={
                "undermining-left-out": lambda plan: math.hypot(
                    plan.outline.half_width, _wall_below(plan)
                ),
                "legs-added": lambda plan: (
                    plan.outline.half_width + plan.marking.undermining + _wall_below(plan)
                ),
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.UNDERMINING,
        given=lambda plan: {
            **_flap(plan),
            "way": amounts.millimetres(plan.outline.half_width + plan.marking.undermining),
            "drop": amounts.millimetres(_wall_below(plan)),
        },
    ),
)
