"""Plans beside the right one and the mistakes: the marking without its caudal shift, and what a
shift alone does.

Like the mistakes they are measured as any plan is; unlike them they are shown side by side to
explain, and break rules only by the way.
"""

from __future__ import annotations

from dataclasses import replace
from operator import attrgetter
from typing import Final, Literal

from offmidline.geometry.fit import fit
from offmidline.geometry.margin import disc_margin
from offmidline.geometry.outline import Outline
from offmidline.marking import Marking, demands, opening_discs, pit_discs
from offmidline.once import once
from offmidline.plan import CasePlan, Plan, measure

Picture = Literal["surface", "section", "closure", "dose"]

# Which decisions a picture shows. The first picture that shows a difference counts: an outline that
# is redrawn is also stitched anew.
_SHOWN_IN: Final[dict[Picture, tuple[str, ...]]] = {
    "surface": ("side", "outline", "excised_openings"),
    "section": (
        "depth",
        "lateral_cut_deg",
        "medial_cut_deg",
        "flap_thickness",
        "undermining",
    ),
    "closure": ("deep_stitches", "superficial_stitches"),
    "dose": ("infiltrate",),
}


def with_caudal_shift(planned: CasePlan, plan: Plan, shift: float) -> Plan:
    """A plan of the case with another caudal shift (mm): nothing else moved, but stitched and
    measured anew.
    """
    return _redrawn(planned, plan, replace(plan.outline, caudal_shift=shift))


def without_shift(planned: CasePlan) -> Plan | None:
    """What would be laid out if there were no caudal shift.

    A fitted marking is fitted again without one, to take the same openings; a prescribed one only
    loses it. None where the case shows no marking, or where none can be fitted.
    """
    shown = planned.shown
    if shown is None:
        return None
    if planned.case.marking is not None:
        return with_caudal_shift(planned, shown, 0.0)
    outline = _fitted_without_shift(planned, shown.marking)
    return None if outline is None else _redrawn(planned, shown, outline)


@once
def without_and_with_shift(planned: CasePlan) -> tuple[Plan, Plan] | None:
    """``without_shift``, and the same with its caudal apex moved aside by the shown shift; None
    where there is none.

    The bend takes midline away from the outline, so a caudal pit may be left behind: the reason why
    a marking is fitted with its shift and not shifted afterwards.
    """
    straight = without_shift(planned)
    if straight is None or planned.shown is None:
        return None
    shift = planned.shown.outline.caudal_shift
    return straight, with_caudal_shift(planned, straight, shift)


def what_changes(right: Marking, wrong: Marking) -> Picture:
    """The kind of picture that shows how a wrong marking differs from the right one.

    Raises:
        ValueError: where the two are the same.
    """
    for picture, decisions in _SHOWN_IN.items():
        decided = attrgetter(*decisions)
        if decided(right) != decided(wrong):
            return picture
    raise ValueError("the two markings are the same: no picture shows a difference")


def _redrawn(planned: CasePlan, plan: Plan, outline: Outline) -> Plan:
    marking = plan.marking.redrawn(outline, planned.technique)
    return measure(planned.case, planned.technique, marking)


def _fitted_without_shift(planned: CasePlan, marking: Marking) -> Outline | None:
    """The straight outline fitted as the shown one was: the one for the pits alone where that
    already takes the openings.
    """
    case, technique = planned.case, planned.technique
    asked = replace(demands(technique), caudal_shift=0.0)
    pits = pit_discs(case, technique)
    openings = opening_discs(case, technique, marking.side, marking.excised_openings)
    pits_only = fit(pits, asked)
    if pits_only is None:
        return None
    taken = (disc_margin(pits_only, disc.x, disc.y, 2 * disc.radius) >= 0 for disc in openings)
    return pits_only if all(taken) else fit([*pits, *openings], asked)
