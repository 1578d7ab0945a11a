"""What is said about a marking that a learner is to judge: every length, and no judgement.

Whoever does not see the picture can judge the marking by these words alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from offmidline.figures.scene.marking_dimensions import LEAST
from offmidline.figures.words import number, say
from offmidline.geometry.outline import Outline
from offmidline.marking import OTHER_SIDE
from offmidline.plan import OpeningMeasure, Plan
from offmidline.records.base import Side


def unjudged(plan: Plan) -> dict[str, str]:
    """The values and sentences about a marking and what was found, by the names that the messages
    have for them, mm.
    """
    outline, side = plan.outline, plan.marking.side
    return {
        "side": say(side),
        "pits": " ".join(
            say("findings.pit", at=number(pit.at), diameter=number(pit.diameter))
            for pit in plan.pits
        ),
        "openings": " ".join(map(_found, plan.openings)) or say("marking.no_openings"),
        "cranial_level": number(outline.cranial_apex),
        "cranial_place": _place(outline.offset, side),
        "caudal_level": number(outline.caudal_apex),
        "caudal_place": _place(outline.caudal_point[0], side),
        "length": number(outline.length),
        "width": number(outline.width),
        "widest_level": number(outline.widest_level),
        "reach": _reach(outline),
        "covered": _covered(plan),
        "beside_openings": " ".join(_beside_openings(plan)),
    }


def found_in_short(plan: Plan) -> str:
    """The symbols of what was found, with levels and distances from the midline, mm: a key that
    tells nothing of the marking.
    """
    levels = [number(pit.at) for pit in plan.pits]
    pits = say("question.key_pits" if len(levels) > 1 else "question.key_pit", at=", ".join(levels))
    places = [
        say(
            "question.key_place",
            at=number(opening.at),
            lateral=number(opening.lateral),
            side=say(opening.side),
        )
        for opening in plan.openings
    ]
    if not places:
        return pits
    key = "question.key_openings" if len(places) > 1 else "question.key_opening"
    return f"{pits} {say(key, at=', '.join(places))}"


def _found(opening: OpeningMeasure) -> str:
    return say(
        "findings.opening",
        at=number(opening.at),
        lateral=number(opening.lateral),
        side=say(opening.side),
        diameter=number(opening.diameter),
    )


def _place(x: float, side: Side) -> str:
    """Where a point lies that is so far from the midline towards a side."""
    if abs(x) <= LEAST:
        return say("on_midline")
    return say(
        "beside_midline", value=number(abs(x)), side=say(side if x > 0 else OTHER_SIDE[side])
    )


def _reach(outline: Outline) -> str:
    if abs(outline.reach) <= LEAST:
        return say("question.reach_none")
    key = "marking.reach" if outline.reach > 0 else "marking.reach_short"
    return say(key, value=number(abs(outline.reach)))


def _covered(plan: Plan) -> str:
    if plan.midline_covered is None:
        return say("question.crosses_none")
    low, high = plan.midline_covered
    return say("question.crosses", low=number(low), high=number(high))


def _beside_openings(plan: Plan) -> Iterator[str]:
    """Where the two edges run at the level of each opening."""
    outline, side = plan.outline, plan.marking.side
    for level in sorted({opening.at for opening in plan.openings}):
        if not outline.caudal_apex < level < outline.cranial_apex:
            yield say("question.beyond", level=number(level))
            continue
        medial, lateral = (float(outline.edge_x(edge, level)) for edge in ("medial", "lateral"))
        yield say(
            "question.edges",
            level=number(level),
            medial=_place(medial, side),
            lateral=_place(lateral, side),
        )
