"""The closure seen from above: which points of the two edges belong together, what each level has
to bridge, and where the rows of stitches go.

Unstretched geometry: lengths and gaps are those of the marked outline.
"""

from __future__ import annotations

from typing import Final

from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.sheet import sheet
from offmidline.figures.scene.ground import label_landmarks
from offmidline.figures.scene.stitches import (
    ROWS,
    PlannedRow,
    RowName,
    draw_deep_rows,
    draw_row,
    draw_wound,
    planned_row,
    stitches,
    wound_content,
)
from offmidline.figures.scene.surface import Panel, open_surface, open_surfaces
from offmidline.figures.view import View, right, shown
from offmidline.figures.views.closure.pairing import draw_gaps, draw_pairs, gap_at_apexes, pairs
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.closure import stitch_row
from offmidline.mistakes import MISTAKES
from offmidline.once import once
from offmidline.plan import CasePlan, Plan

PAIRING: Final = "pairing"
TOO_FEW: Final = "too-few"
_MISTAKE: Final = next(one for one in MISTAKES if one.mistake == "too-few-deep-stitches")


@once
def _too_few(planned: CasePlan) -> Plan | None:
    """The right plan with too few deep stitches; None where the mistake has no room."""
    return _MISTAKE.apply(planned)


def _parts(planned: CasePlan) -> tuple[str, ...]:
    """The pictures of a case; too few stitches only where there is room for that mistake."""
    parts = (PAIRING, *ROWS)
    return parts if _too_few(planned) is None else (*parts, TOO_FEW)


def _draw(planned: CasePlan, part: str) -> Drawing:
    if part == PAIRING:
        return _draw_pairing(planned)
    if part == TOO_FEW:
        return _draw_too_few(planned)
    plan = shown(planned)
    page = sheet(planned, say(f"closure.subtitle_{part}"))
    surface = open_surface(page, wound_content(plan.outline), plan.marking.side)
    draw_wound(surface, plan.outline)
    draw_row(surface, plan.outline, planned_row(plan, _row_name(part)))
    label_landmarks(surface, coccyx=False)
    return surface.finish()


def _draw_pairing(planned: CasePlan) -> Drawing:
    """The pairs of points, and beside them the gap on the same levels."""
    plan = shown(planned)
    content, side = wound_content(plan.outline), plan.marking.side
    values = _outline_values(plan)
    panels = [
        Panel("outline", say("closure.panel_outline", **values), content, side),
        Panel("gap", say("closure.panel_gap"), content, side, empty=True),
    ]
    surface, beside = open_surfaces(sheet(planned, say("closure.subtitle_pairing")), panels)
    draw_wound(surface, plan.outline)
    draw_pairs(surface, plan.outline)
    draw_gaps(beside, plan)
    return surface.finish()


def _draw_too_few(planned: CasePlan) -> Drawing:
    """As many deep stitches as the technique asks for, beside too few."""
    panels = [
        (gid, say(f"closure.panel_{gid}", stitches=stitches(plan.deep_row.stitches)), plan)
        for gid, plan in zip(("enough", "too-few"), _enough_and_few(planned), strict=True)
    ]
    page = sheet(planned, say("closure.subtitle_too-few"))
    return draw_deep_rows(page, panels, counted=False)


def _row_name(part: str) -> RowName:
    return next(name for name in ROWS if name == part)


def _enough_and_few(planned: CasePlan) -> tuple[Plan, Plan]:
    """The right plan, and the same with too few deep stitches."""
    few = _too_few(planned)
    if few is None:
        raise LookupError(f"{_MISTAKE.mistake} does not apply to {planned.case.case}")
    return right(planned), few


def _words(planned: CasePlan, part: str) -> Words:
    """Title, description and caption of a picture."""
    name = say(f"closure.parts.{part}")
    description = part
    if part == TOO_FEW:
        values = _few_values(planned)
    else:
        plan = shown(planned)
        values = _outline_values(plan)
        if part == PAIRING:
            values |= _pairing_values(plan)
        else:
            description = "row"
            values |= _row_values(plan, planned_row(plan, _row_name(part)))
    return Words(
        title=say("closure.title", part=name, case=isolated(planned.case.title)),
        description=say(f"closure.description_{description}", part=name, **values),
        caption=say(f"closure.caption_{description}", part=name, **values),
    )


def _outline_values(plan: Plan) -> dict[str, str]:
    outline = plan.outline
    return {
        "side": say(plan.marking.side),
        "low": number(outline.caudal_apex),
        "high": number(outline.cranial_apex),
        "medial": number(outline.medial_edge),
        "lateral": number(outline.lateral_edge),
        "mismatch": number(outline.edge_mismatch_percent),
    }


def _pairing_values(plan: Plan) -> dict[str, str]:
    outline = plan.outline
    ((medial_half, lateral_half),) = pairs(outline)[0][:, :, 1]
    return {
        "medial_half": number(medial_half),
        "lateral_half": number(lateral_half),
        "widest": number(outline.widest_level),
        "skin": number(plan.skin_gap),
        "deep": number(plan.deep_gap),
        "deep_apex": number(gap_at_apexes(plan)),
    }


def _row_values(plan: Plan, planned: PlannedRow) -> dict[str, str]:
    row = planned.row
    lateral = stitch_row(plan.outline.lateral_edge, row.stitches)
    return {
        "stitches": stitches(row.stitches),
        "spacing": number(row.spacing),
        "lateral_spacing": number(lateral.spacing),
        "asked": number(planned.asked),
        "verdict": _verdict(planned),
    }


def _few_values(planned: CasePlan) -> dict[str, str]:
    plans = _enough_and_few(planned)
    enough, few = (planned_row(plan, "deep-row") for plan in plans)
    return {
        "side": say(plans[0].marking.side),
        "enough": stitches(enough.row.stitches),
        "enough_spacing": number(enough.row.spacing),
        "few": stitches(few.row.stitches),
        "few_spacing": number(few.row.spacing),
        "asked": number(few.asked),
        "verdict": _verdict(few),
    }


def _verdict(planned: PlannedRow) -> str:
    return say("closure.met" if planned.close_enough else "closure.not_met")


VIEW: Final = View(
    "closure",
    _parts,
    _words,
    _draw,
    reads=(
        "case:findings",
        "case:side",
        "case:marking",
        "case:closure",
        "technique:deep_spacing",
        "technique:superficial_spacing",
    ),
)
