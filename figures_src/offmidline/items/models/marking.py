"""What is drawn on the skin: distances, lengths and levels of the marking."""

from __future__ import annotations

import math
from typing import Final

from offmidline import amounts, rules
from offmidline.items.item import Picture
from offmidline.items.model import (
    Candidate,
    ItemModel,
    Material,
    Question,
    Scale,
    slip,
    standing_of_rule,
)
from offmidline.items.shown import number
from offmidline.items.value import Number, value_model
from offmidline.items.worded import TOLD, lengths, worded
from offmidline.mistakes import PHOTOGRAPH_TILT_DEG
from offmidline.plan import Plan

_FOUND: Final = (Picture("findings"),)
_MILLIMETRES: Final = Scale(reading=TOLD)
# A ratio that is taught for fusiform excisions elsewhere. [moody-2001]
_RATIO_ELSEWHERE: Final = 3.0
# What lengths that are told to a tenth of a mm bring to a ratio of them; derived.
_RATIO_READING: Final = 0.01
_SEEN: Final = math.cos(math.radians(PHOTOGRAPH_TILT_DEG))
_COSINE_DECIMALS: Final = 3


def _least_length(plan: Plan) -> float:
    """The length that the technique asks for the width of the outline, mm."""
    return plan.technique.settings.length_to_width * plan.outline.width


def _scar_run(plan: Plan) -> float:
    """How far the prolonged scar runs sideways between the caudal apex and the verge, mm."""
    return plan.outline.passes_verge_at - plan.outline.caudal_point[0]


def _length_to_width(material: Material) -> Question | None:
    """Of a marking that is drawn right, too short, or without its reach."""
    right = material.right
    if right is None:
        return None
    made_wrong = [material.wrong.get(name) for name in ("too-short", "reach-missing")]
    drawn = [right, *(plan for plan in made_wrong if plan is not None)]
    plan = material.stream.fork("drawn", material.planned.case.case).one_of(drawn)
    outline, scale = plan.outline, Scale("", decimals=1, reading=_RATIO_READING)
    words = {
        **lengths(outline, "cranial_apex", "caudal_apex", "width", "length"),
        "answer": number(outline.length_to_width, scale.unit, scale.decimals),
    }
    return worded(
        "length-to-width",
        words,
        standing_of_rule(rules.LENGTH_TO_WIDTH, plan),
        key=Candidate(value=outline.length_to_width),
        wrong=(
            slip("level-for-length", outline.cranial_apex / outline.width, **words),
            slip("half-width-divided", outline.length / outline.half_width, **words),
            slip("ratio-inverted", outline.width / outline.length, **words),
        ),
        scale=scale,
    )


def _length_missing(material: Material) -> Question | None:
    """Of a marking that is drawn too short."""
    drawn = material.wrong.get("too-short")
    if drawn is None:
        return None
    outline, least = drawn.outline, _least_length(drawn)
    missing = least - outline.length
    words = {
        **lengths(outline, "width", "length"),
        "ratio": amounts.ratio(drawn.technique.settings.length_to_width),
        "answer": amounts.millimetres(round(missing)),
    }
    return worded(
        "length-missing",
        words,
        standing_of_rule(rules.LENGTH_TO_WIDTH, drawn),
        key=Candidate(value=missing),
        wrong=(
            slip("length-in-all", least, **words),
            slip("one-end-only", missing / 2, **words),
            slip("width-off-length", outline.length - outline.width, **words),
        ),
        scale=Scale(reading=2 * TOLD),
    )


MODELS: Final[tuple[ItemModel, ...]] = (
    value_model(
        "cranial-apex-lateral",
        "marking",
        Number(
            lambda plan: plan.outline.offset,
            mistakes=("centred-on-midline",),
            slips={
                "reach-left-in": lambda plan: plan.outline.half_width,
                "reach-added": lambda plan: plan.outline.half_width + plan.outline.reach,
                "caudal-apex-taken": lambda plan: plan.outline.caudal_point[0],
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.OFFSET,
        given=lambda plan: lengths(plan.outline, "width", "half_width", "reach"),
    ),
    value_model(
        "caudal-apex-lateral",
        "marking",
        Number(
            lambda plan: plan.outline.caudal_point[0],
            mistakes=(
                "centred-on-midline",
                "caudal-shift-forgotten",
                "caudal-shift-towards-midline",
            ),
        ),
        rule=rules.CAUDAL_SHIFT,
        given=lambda plan: {
            "offset": amounts.millimetres(plan.outline.offset),
            "shift": amounts.millimetres(plan.outline.caudal_shift),
        },
    ),
    value_model(
        "reach",
        "marking",
        Number(
            lambda plan: plan.outline.reach,
            mistakes=("reach-missing",),
            slips={
                "reach-from-new-midline": lambda plan: plan.outline.half_width,
                "offset-off-whole-width": lambda plan: plan.outline.width - plan.outline.offset,
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.REACH,
        given=lambda plan: lengths(plan.outline, "width", "half_width", "offset"),
    ),
    value_model(
        "width",
        "marking",
        Number(
            lambda plan: plan.outline.width,
            mistakes=("reach-missing",),
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
    value_model(
        "lateral-edge",
        "marking",
        Number(
            lambda plan: plan.outline.offset + plan.outline.half_width,
            mistakes=("reach-missing",),
            slips={
                "edge-from-new-midline": lambda plan: plan.outline.half_width,
                "edge-from-other-edge": lambda plan: plan.outline.width,
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.SYMMETRIC_WIDTH,
        given=lambda plan: lengths(plan.outline, "offset", "reach", "half_width"),
    ),
    value_model(
        "widest-level",
        "marking",
        Number(
            lambda plan: plan.outline.widest_level,
            slips={
                "half-length-as-level": lambda plan: plan.outline.half_length,
                "half-of-cranial-level": lambda plan: plan.outline.cranial_apex / 2,
                "length-as-level": lambda plan: plan.outline.length,
            },
            scale=Scale(reading=TOLD, share=0.05),
        ),
        rule=rules.REACH,
        given=lambda plan: lengths(plan.outline, "cranial_apex", "caudal_apex"),
    ),
    value_model(
        "length-needed",
        "marking",
        Number(
            _least_length,
            mistakes=("reach-missing",),
            slips={
                "length-of-half-width": lambda plan: _least_length(plan) / 2,
                "ratio-from-elsewhere": lambda plan: _RATIO_ELSEWHERE * plan.outline.width,
            },
            scale=Scale(reading=4 * TOLD),
        ),
        rule=rules.LENGTH_TO_WIDTH,
        given=lambda plan: {
            **lengths(plan.outline, "offset", "reach", "width"),
            "ratio": amounts.ratio(plan.technique.settings.length_to_width),
        },
    ),
    ItemModel("length-to-width", "marking", _length_to_width),
    ItemModel("length-missing", "marking", _length_missing),
    value_model(
        "verge-clearance",
        "marking",
        Number(
            lambda plan: plan.verge_clearance,
            slips={
                "way-up-alone": lambda plan: plan.nearest_to_verge[1],
                "way-out-alone": lambda plan: plan.nearest_to_verge[0],
                "ways-added": lambda plan: sum(plan.nearest_to_verge),
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.VERGE_CLEARANCE,
        given=lambda plan: {
            "out": amounts.millimetres(plan.nearest_to_verge[0]),
            "up": amounts.millimetres(plan.nearest_to_verge[1]),
        },
    ),
    value_model(
        "passes-verge",
        "marking",
        Number(
            lambda plan: plan.outline.passes_verge_at if _scar_run(plan) >= 0 else None,
            mistakes=("caudal-shift-forgotten",),
            slips={
                "scar-straight-down": lambda plan: plan.outline.caudal_point[0],
                "scar-towards-midline": lambda plan: plan.outline.caudal_point[0] - _scar_run(plan),
                "run-alone": _scar_run,
            },
            scale=Scale(reading=2 * TOLD),
        ),
        rule=rules.SCAR_PROLONGATION,
        given=lambda plan: {
            **lengths(plan.outline, "caudal_apex"),
            "lateral": amounts.millimetres(plan.outline.caudal_point[0]),
            "run": amounts.millimetres(_scar_run(plan)),
            "lean": amounts.ratio(plan.outline.axis_slope_at_caudal_apex),
        },
    ),
    value_model(
        "oblique-width",
        "marking",
        Number(
            lambda plan: plan.outline.width,
            mistakes=("oblique-misread",),
            slips={
                "cosine-multiplied": lambda plan: plan.outline.width * _SEEN**2,
                "sine-divided": lambda plan: (
                    plan.outline.width * _SEEN / math.sin(math.radians(PHOTOGRAPH_TILT_DEG))
                ),
            },
            scale=_MILLIMETRES,
        ),
        rule=rules.SYMMETRIC_WIDTH,
        given=lambda plan: {
            "seen": amounts.millimetres(plan.outline.width * _SEEN),
            "tilt": amounts.degrees(PHOTOGRAPH_TILT_DEG),
            "cosine": amounts.rounded(_SEEN, _COSINE_DECIMALS),
        },
    ),
)
