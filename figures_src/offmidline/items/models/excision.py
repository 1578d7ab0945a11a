"""What is excised in depth: how deep, how wide at the base, and how much."""

from __future__ import annotations

from typing import Final

from offmidline import amounts, rules
from offmidline.geometry.section import MM3_PER_ML
from offmidline.items.model import ItemModel, Scale
from offmidline.items.value import Number, value_model
from offmidline.items.worded import TOLD, lengths
from offmidline.plan import Plan

# Depths of cavity and fascia may lie close together, and are told to a tenth of a mm.
_DEPTHS: Final = Scale(decimals=1, share=0.03)
_AREAS: Final = Scale("cm²", decimals=1, reading=0.05)
_TENFOLD: Final = 10.0


def _base_narrowing(plan: Plan) -> float:
    """What both walls take off the width on the way down, mm; negative where the base widens."""
    return plan.trough.taper * plan.marking.depth


def _section_cm2(plan: Plan) -> float | None:
    """Area of the section at the widest level; None where its walls meet above the floor."""
    if plan.base_width <= 0:
        return None
    return plan.trough_area_mm2 / amounts.MM2_A_CM2


def _kept_cm2(plan: Plan) -> float | None:
    """Section that the sloping lateral wall leaves; None where it leaves none."""
    kept = plan.trough.kept_lateral_mm2(plan.outline.width)
    return kept / amounts.MM2_A_CM2 if kept > 0 and plan.base_width > 0 else None


def _product_cm2(one: float, other: float) -> float:
    return one * other / amounts.MM2_A_CM2


def _through_the_fascia(plan: Plan) -> float | None:
    if not plan.ends_on_fascia:
        return None
    return plan.case.findings.cavity_depth + plan.technique.settings.clearance_below_cavity


def _upright_ml(plan: Plan) -> float:
    return plan.outline.area_mm2 * plan.marking.depth / MM3_PER_ML


def _depths(plan: Plan) -> dict[str, str]:
    findings, settings = plan.case.findings, plan.technique.settings
    return {
        **lengths(findings, "cavity_depth", "fascia_depth"),
        **lengths(settings, "clearance_below_cavity"),
    }


def _section(plan: Plan) -> dict[str, str]:
    return {
        **lengths(plan.outline, "width"),
        **lengths(plan.marking, "depth"),
        **lengths(plan, "base_width"),
        "lateral": amounts.degrees(plan.marking.lateral_cut_deg),
        "medial": amounts.degrees(plan.marking.medial_cut_deg),
        "narrowing": amounts.millimetres(_base_narrowing(plan)),
    }


MODELS: Final[tuple[ItemModel, ...]] = (
    value_model(
        "excision-depth",
        "excision",
        Number(
            lambda plan: plan.marking.depth,
            slips={
                "depth-of-cavity": lambda plan: plan.case.findings.cavity_depth,
                "depth-of-fascia": lambda plan: plan.case.findings.fascia_depth,
                "through-the-fascia": _through_the_fascia,
                "clearance-above-fascia": lambda plan: (
                    plan.case.findings.fascia_depth - plan.technique.settings.clearance_below_cavity
                ),
            },
            scale=_DEPTHS,
        ),
        rule=rules.DEPTH,
        given=_depths,
    ),
    value_model(
        "base-width",
        "excision",
        Number(
            lambda plan: plan.base_width if plan.base_width > 0 else None,
            mistakes=("lateral-wall-vertical", "medial-wall-bevelled"),
            slips={
                "both-walls-sloped": lambda plan: (
                    plan.outline.width - 2 * _base_narrowing(plan)
                    if plan.outline.width > 2 * _base_narrowing(plan)
                    else None
                ),
                "slope-outwards": lambda plan: plan.outline.width + _base_narrowing(plan),
            },
            scale=Scale(reading=TOLD),
        ),
        rule=rules.LATERAL_CUT,
        given=_section,
    ),
    value_model(
        "section-area",
        "excision",
        Number(
            _section_cm2,
            slips={
                "skin-width-down": lambda plan: _product_cm2(
                    plan.outline.width, plan.marking.depth
                ),
                "base-width-up": lambda plan: _product_cm2(plan.base_width, plan.marking.depth),
                "section-halved": lambda plan: _product_cm2(
                    plan.outline.width, plan.marking.depth / 2
                ),
                "area-tenfold": lambda plan: plan.trough_area_mm2 * _TENFOLD / amounts.MM2_A_CM2,
            },
            scale=_AREAS,
        ),
        rule=rules.LATERAL_CUT,
        given=_section,
    ),
    value_model(
        "fat-kept",
        "excision",
        Number(
            _kept_cm2,
            slips={
                "wedge-not-halved": lambda plan: 2 * (_kept_cm2(plan) or 0.0),
                "section-taken": _section_cm2,
                "area-tenfold": lambda plan: _TENFOLD * (_kept_cm2(plan) or 0.0),
            },
            scale=_AREAS,
        ),
        rule=rules.LATERAL_CUT,
        given=_section,
    ),
    value_model(
        "upright-volume",
        "excision",
        Number(
            _upright_ml,
            slips={
                "volume-halved": lambda plan: _upright_ml(plan) / 2,
                "volume-tenfold": lambda plan: _TENFOLD * _upright_ml(plan),
                "box-taken": lambda plan: (
                    plan.outline.length * plan.outline.width * plan.marking.depth / MM3_PER_ML
                ),
            },
            scale=Scale("ml", reading=0.2),
        ),
        rule=rules.LATERAL_CUT,
        given=lambda plan: {
            **lengths(plan.outline, "length", "width"),
            **lengths(plan.marking, "depth"),
            "area": amounts.square_centimetres(plan.outline.area_mm2),
            "lateral": amounts.degrees(plan.marking.lateral_cut_deg),
            "sloped": amounts.with_unit(round(plan.volume_ml), "ml"),
        },
    ),
)
