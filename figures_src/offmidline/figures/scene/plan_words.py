"""What a marking measures, put into words for the descriptions of the views that show it."""

from __future__ import annotations

from offmidline.figures.words import fate, number, say
from offmidline.plan import OpeningMeasure, Plan


def told(plan: Plan) -> dict[str, str]:
    """The values and sentences about a marking by the names that the messages have for them, mm."""
    outline, covered = plan.outline, plan.midline_covered
    reach = "marking.reach" if outline.reach >= 0 else "marking.reach_short"
    return {
        "side": say(plan.marking.side),
        "cranial_level": number(outline.cranial_apex),
        "caudal_level": number(outline.caudal_apex),
        "offset": number(outline.offset),
        "shift": number(outline.caudal_shift),
        "caudal": number(outline.caudal_point[0]),
        "length": number(outline.length),
        "width": number(outline.width),
        "reach": say(reach, value=number(abs(outline.reach))),
        "covered": say("marking.not_covered")
        if covered is None
        else say("marking.covered", low=number(covered[0]), high=number(covered[1])),
        "pits": " ".join(
            say(
                "marking.pit_excised" if pit.excised else "marking.pit_left",
                at=number(pit.at),
                margin=number(pit.margin),
            )
            for pit in plan.pits
        ),
        "openings": " ".join(map(_opening, plan.openings)) or say("marking.no_openings"),
        "scar": number(outline.scar_length),
        "passes": say(
            "marking.passes" if outline.caudal_apex >= 0 else "marking.crosses",
            value=number(outline.crosses_verge_at),
        ),
        "clearance": number(plan.verge_clearance),
        "undermined": say("marking.undermined", value=number(plan.marking.undermining))
        if plan.marking.undermining > 0
        else say("marking.not_undermined"),
    }


def new_midline_place(plan: Plan, unit: str = "") -> str:
    """Where the new midline lies: how far to which side of the midline, mm, or on it."""
    offset, side = plan.outline.offset, plan.marking.side
    if not offset:
        return say("on_midline")
    if offset < 0:
        side = "left" if side == "right" else "right"
    return say("beside_midline", value=f"{number(abs(offset))}{unit}", side=say(side))


def _opening(opening: OpeningMeasure) -> str:
    return say(
        f"marking.opening_{fate(opening)}",
        at=number(opening.at),
        lateral=number(opening.lateral),
        side=say(opening.side),
        margin=number(opening.margin),
    )
