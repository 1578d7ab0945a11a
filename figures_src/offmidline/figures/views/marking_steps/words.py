"""The steps of a marking and what is said about each."""

from __future__ import annotations

from typing import Final

from offmidline.figures.scene.plan_words import told
from offmidline.figures.view import shown
from offmidline.figures.views.marking_steps.near_openings import NearOpenings, near_openings
from offmidline.figures.words import Words, isolated, number, say
from offmidline.plan import CasePlan, Plan

STEPS: Final = ("midline", "new-midline", "reach", "openings", "caudal-shift", "finished")


def step_name(step: str) -> str:
    """A step's number among the steps, and its name."""
    return say("marking-steps.step", **_place(step))


def _place(step: str) -> dict[str, str]:
    return {
        "number": str(STEPS.index(step) + 1),
        "count": str(len(STEPS)),
        "name": say(f"marking-steps.parts.{step}"),
    }


def describe(planned: CasePlan, step: str) -> Words:
    """Title, description and caption of a step."""
    plan = shown(planned)
    near, distance = near_openings(planned, plan), number(planned.technique.settings.near_opening)
    low, high = planned.case.findings.midline_extent
    values = {
        **told(plan),
        "low": number(low),
        "high": number(high),
        "disease": _disease(plan, low, high),
        "found": say(f"marking-steps.found.{'some' if plan.openings else 'none'}"),
        "decided": _decided(near, distance),
        "taken": _levels(plan, "excise"),
        "left": _levels(plan, "leave"),
        "near": distance,
        "shifted": _shifted(plan),
        "moved": _moved(plan),
        "reached": _reached(plan),
        "step": step_name(step),
    }
    none = "-none" if step == "openings" and not plan.openings else ""
    text = say(f"marking-steps.captions.{step}{none}", **values)
    return Words(
        title=say("marking-steps.title", case=isolated(planned.case.title), **_place(step)),
        description=say(
            "marking-steps.description",
            what=say(f"marking-steps.descriptions.{step}", **values),
            side=values["side"],
            step=values["step"],
        ),
        caption=say("marking-steps.caption", step=values["step"], text=text),
    )


def _reached(plan: Plan) -> str:
    reach = plan.outline.reach
    key = "beyond" if reach >= 0 else "short"
    return say(f"marking-steps.reached.{key}", value=number(abs(reach)))


def _shifted(plan: Plan) -> str:
    shift = plan.outline.caudal_shift
    key = "away" if shift > 0 else "towards" if shift < 0 else "none"
    return say(
        f"marking-steps.shifted.{key}",
        shift=number(abs(shift)),
        caudal=number(plan.outline.caudal_point[0]),
    )


def _moved(plan: Plan) -> str:
    """What the drawing shows of the shift."""
    key = "moved" if plan.outline.caudal_shift else "stays"
    return say(f"marking-steps.moved.{key}", shifted=_shifted(plan))


def _disease(plan: Plan, low: float, high: float) -> str:
    """Where the pits lie, and how much of the midline they take up between two levels."""
    return say(
        "marking-steps.disease.one" if len(plan.pits) == 1 else "marking-steps.disease.several",
        pits_at=", ".join(number(pit.at) for pit in plan.pits),
        extent=number(high - low),
        low=number(low),
        high=number(high),
    )


def _levels(plan: Plan, decision: str) -> str:
    """The levels of the openings about which that is decided."""
    levels = [number(one.at) for one in plan.openings if one.decision == decision]
    return ", ".join(levels) or say("marking-steps.nothing")


def _decided(near: NearOpenings, distance: str) -> str:
    """What is decided about each opening, and by which distance."""
    if not near.openings:
        return say("marking.no_openings")
    sentences = [
        say(
            f"marking-steps.decided.{one.standing}",
            at=number(one.opening.at),
            lateral=number(one.opening.lateral),
            side=say(one.opening.side),
            gap=number(one.gap),
        )
        for one in near.openings
    ]
    rule = "rule" if near.for_pits else "rule_marked"
    return " ".join([say(f"marking-steps.decided.{rule}", near=distance), *sentences])
