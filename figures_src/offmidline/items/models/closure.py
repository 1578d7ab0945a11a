"""What the rows of the closure bring together, and with how many stitches."""

from __future__ import annotations

from typing import Final

from offmidline import amounts, messages, rules
from offmidline.geometry.closure import halves, stitches_needed
from offmidline.items.counted import Counted
from offmidline.items.item import Standing
from offmidline.items.model import (
    Candidate,
    ItemModel,
    Material,
    Question,
    Scale,
    slip,
    standing_of_rule,
)
from offmidline.items.value import Number, value_model
from offmidline.items.worded import TOLD, lengths, option, worded
from offmidline.plan import Plan

_EDGES: Final = Scale(reading=TOLD, share=0.04)
_PERCENT: Final = 100.0
# The stitch of the second round that lies nearest the cranial apex.
_UPPER_STITCH: Final = max(halves(2)[-1])
# Where the pairing of unequal edges is described.
_PAIRING_SOURCE: Final = ("mcgraw-dogear",)


def _stitches(plan: Plan, length: float) -> int:
    return stitches_needed(length, plan.technique.settings.deep_spacing)


def _difference(plan: Plan) -> float:
    return abs(plan.outline.medial_edge - plan.outline.lateral_edge)


def _mismatch(plan: Plan) -> float | None:
    """Where the edges differ at all."""
    return plan.outline.edge_mismatch_percent if _difference(plan) >= 1 else None


def _edges(plan: Plan) -> dict[str, str]:
    edges = lengths(plan.outline, "medial_edge", "lateral_edge", "length")
    return {**edges, "difference": amounts.millimetres(_difference(plan))}


def _sides(plan: Plan) -> dict[str, str]:
    lateral = plan.outline.offset + plan.outline.half_width
    return {**lengths(plan.outline, "reach"), "lateral": amounts.millimetres(lateral)}


def _stitch_spacing(material: Material) -> Question | None:
    """Of a deep row with too few stitches."""
    plan = material.wrong.get("too-few-deep-stitches")
    if plan is None or plan.deep_row.stitches <= 1:
        return None
    row, edge, asked = plan.deep_row, plan.outline.medial_edge, plan.technique.settings
    words = {
        **_edges(plan),
        "stitches": row.stitches,
        "spaces": row.stitches + 1,
        "asked": amounts.millimetres(asked.deep_spacing),
        "answer": amounts.millimetres(round(row.spacing)),
    }
    return worded(
        "stitch-spacing",
        words,
        standing_of_rule(rules.DEEP_SPACING, plan),
        key=Candidate(value=row.spacing),
        wrong=(
            slip("shared-by-stitches", edge / row.stitches, **words),
            slip("shared-between-stitches", edge / (row.stitches - 1), **words),
            slip("apex-distance-shared", plan.outline.length / (row.stitches + 1), **words),
        ),
        scale=Scale(),
    )


def _row_at_fault(material: Material) -> Question | None:
    """Which row closes the space under the flap."""
    plan, model = material.wrong.get("too-few-deep-stitches"), "row-at-fault"
    if plan is None:
        return None
    words = {"spacing": amounts.millimetres(round(plan.deep_row.spacing))}
    return worded(
        model,
        words,
        standing_of_rule(rules.DEEP_SPACING, plan),
        key=Candidate(text=option(model, "deep")),
        wrong=(
            slip("superficial-row-blamed", None, option(model, "superficial")),
            slip("skin-row-blamed", None, option(model, "skin")),
        ),
    )


def _pairing(model: str) -> Standing:
    words = messages.section(f"items.models.{model}.standing")
    return Standing(str(words["title"]), str(words["why"]), "sourced", _PAIRING_SOURCE)


def _next_stitches(material: Material) -> Question | None:
    """After the first stitch of the rule of halves."""
    plan, model = material.right, "next-stitches"
    if plan is None or _mismatch(plan) is None:
        return None
    words = _edges(plan)
    slips = ("stitched-from-the-end", "stitched-by-level", "apexes-stitched-next")
    return worded(
        model,
        words,
        _pairing(model),
        key=Candidate(text=option(model, "halves")),
        wrong=[slip(name, None, option(model, name), **words) for name in slips],
    )


def _paired_place(material: Material) -> Question | None:
    """Of a stitch on the longer edge, its place on the shorter one."""
    plan, model = material.right, "paired-place"
    if plan is None or _mismatch(plan) is None:
        return None
    medial, lateral = plan.outline.medial_edge, plan.outline.lateral_edge
    place = _UPPER_STITCH * lateral
    words = {
        **_edges(plan),
        "place": amounts.millimetres(_UPPER_STITCH * medial),
        "share": amounts.ratio(_UPPER_STITCH),
        "answer": amounts.millimetres(round(place)),
    }
    return worded(
        model,
        words,
        _pairing(model),
        key=Candidate(value=place),
        wrong=(
            slip("same-length-on-both", _UPPER_STITCH * medial, **words),
            slip("difference-taken-off", _UPPER_STITCH * medial - (medial - lateral), **words),
            slip("share-from-other-end", (1 - _UPPER_STITCH) * lateral, **words),
        ),
        scale=Scale(reading=TOLD, share=0.02),
    )


MODELS: Final[tuple[ItemModel, ...]] = (
    value_model(
        "skin-gap",
        "closure",
        Number(
            lambda plan: plan.skin_gap,
            slips={
                "sides-subtracted": lambda plan: 2 * plan.outline.offset,
                "half-gap": lambda plan: plan.outline.half_width,
                "lateral-distance-alone": lambda plan: (
                    plan.outline.offset + plan.outline.half_width
                ),
            },
            scale=Scale(reading=TOLD, share=0.08),
        ),
        rule=rules.SYMMETRIC_WIDTH,
        given=_sides,
    ),
    ItemModel("row-at-fault", "closure", _row_at_fault),
    value_model(
        "deep-stitches",
        "closure",
        Number(
            lambda plan: float(_stitches(plan, plan.outline.medial_edge)),
            slips={
                "spaces-counted": lambda plan: _stitches(plan, plan.outline.medial_edge) + 1.0,
                "apexes-stitched": lambda plan: _stitches(plan, plan.outline.medial_edge) + 2.0,
                "apex-distance-stitched": lambda plan: float(_stitches(plan, plan.outline.length)),
            },
            scale=Counted(share=0.05),
        ),
        rule=rules.DEEP_SPACING,
        given=lambda plan: {
            **_edges(plan),
            "spacing": amounts.millimetres(plan.technique.settings.deep_spacing),
            "spaces": _stitches(plan, plan.outline.medial_edge) + 1,
        },
    ),
    ItemModel("stitch-spacing", "closure", _stitch_spacing),
    value_model(
        "scar-length",
        "closure",
        Number(
            lambda plan: plan.outline.scar_length,
            slips={
                "apex-distance-as-scar": lambda plan: plan.outline.length,
                "longer-edge-as-scar": lambda plan: (
                    plan.outline.medial_edge if _mismatch(plan) is not None else None
                ),
                "edges-added": lambda plan: plan.outline.perimeter,
            },
            scale=_EDGES,
        ),
        rule=rules.SCAR_OFF_MIDLINE,
        given=_edges,
    ),
    value_model(
        "edge-mismatch",
        "closure",
        Number(
            _mismatch,
            slips={
                "millimetres-as-percent": _difference,
                "share-of-both-edges": lambda plan: (
                    _PERCENT * _difference(plan) / plan.outline.perimeter
                ),
                "share-that-is-left": lambda plan: _PERCENT - plan.outline.edge_mismatch_percent,
            },
            scale=Scale("percent", reading=TOLD),
        ),
        rule=rules.CAUDAL_SHIFT,
        given=_edges,
    ),
    ItemModel("next-stitches", "closure", _next_stitches),
    ItemModel("paired-place", "closure", _paired_place),
)
