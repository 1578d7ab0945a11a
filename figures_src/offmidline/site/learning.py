"""Learning points of a case: sentences computed from plan and verdicts, then the author's own."""

from __future__ import annotations

from collections.abc import Iterator

from offmidline import amounts, messages
from offmidline.infeasible import Conflict
from offmidline.markup import joined
from offmidline.plan import CasePlan, Plan
from offmidline.rules import NOISE, Verdict
from offmidline.site import escape
from offmidline.site.case_words import count


def learning_points(planned: CasePlan, verdicts: tuple[Verdict, ...]) -> list[str]:
    """What a case shows, as sentences that are safe on a page."""
    points = list(_conflict_points(planned))
    if planned.shown is not None:
        points += _plan_points(planned, planned.shown, verdicts)
    return [*points, *(escape.text(text) for text in planned.case.learning)]


def tags(planned: CasePlan, verdicts: tuple[Verdict, ...]) -> list[str]:
    """The same in a few words, for the list of cases."""
    plan, found = planned.shown, []
    if planned.right is None:
        found.append(_tag("no_marking"))
    if planned.case.marking is not None:
        found.append(_tag("prescribed"))
    broken = sum(verdict.verdict == "not met" for verdict in verdicts)
    if broken:
        found.append(_tag("broken_one" if broken == 1 else "broken", count=count(broken)))
    if len({opening.side for opening in planned.case.findings.openings}) > 1:
        found.append(_tag("both_sides"))
    if plan is not None:
        if any(opening.decision == "leave" for opening in plan.openings):
            found.append(_tag("left"))
        if plan.ends_on_fascia:
            found.append(_tag("fascia"))
        if plan.dose is not None and plan.dose.limited_by == "per_kg":
            found.append(_tag("by_weight"))
    return found or [_tag("plain")]


def conflict_sentence(conflict: Conflict) -> str:
    """A constraint of a conflict: what is asked, and the nearest that can be had."""
    name = messages.text(
        f"conflicts.{conflict.constraint}",
        at="" if conflict.at is None else amounts.rounded(conflict.at),
    )
    unit = "" if conflict.constraint == "length_to_width" else "mm"
    required = amounts.with_unit(conflict.required, unit)
    if conflict.nearest is None:
        return messages.text("conflicts.hopeless", constraint=name, required=required)
    nearest = amounts.with_unit(conflict.nearest, unit)
    return messages.text("conflicts.nearest", constraint=name, required=required, nearest=nearest)


def _conflict_points(planned: CasePlan) -> Iterator[str]:
    if planned.right is not None:
        return
    lowest = min(pit.at for pit in planned.case.findings.pits)
    yield _say("no_marking", lowest=amounts.millimetres(lowest))
    yield _say("no_marking_what_then")


def _plan_points(planned: CasePlan, plan: Plan, verdicts: tuple[Verdict, ...]) -> Iterator[str]:
    yield from _verdict_points(planned, verdicts)
    yield from _opening_points(planned, plan)
    covered = plan.midline_covered
    if covered is not None:
        yield _say(
            "covered",
            length=amounts.millimetres(plan.outline.length),
            stretch=amounts.span(*covered),
            covered=amounts.millimetres(covered[1] - covered[0]),
        )
    if plan.outline.reach > planned.technique.settings.reach + NOISE:
        yield _say(
            "wider",
            reach=amounts.millimetres(plan.outline.reach),
            least=amounts.millimetres(planned.technique.settings.reach),
        )
    if plan.ends_on_fascia:
        yield _say(
            "fascia",
            cavity=amounts.millimetres(plan.case.findings.cavity_depth),
            fascia=amounts.millimetres(plan.case.findings.fascia_depth),
            clearance=amounts.millimetres(planned.technique.settings.clearance_below_cavity),
        )
    if plan.dose is not None:
        key = "limit_by_weight" if plan.dose.limited_by == "per_kg" else "limit_fixed"
        yield _say(key, limit=amounts.with_unit(plan.dose.limit_mg, "mg"))


def _verdict_points(planned: CasePlan, verdicts: tuple[Verdict, ...]) -> Iterator[str]:
    broken = [verdict for verdict in verdicts if verdict.verdict == "not met"]
    if planned.case.marking is not None:
        yield _say("prescribed")
    if broken:
        key = "broken_one" if len(broken) == 1 else "broken"
        titles = joined([verdict.title for verdict in broken], messages.text("site.and"))
        yield _say(key, count=count(len(broken)), titles=titles)


def _opening_points(planned: CasePlan, plan: Plan) -> Iterator[str]:
    near = amounts.millimetres(planned.technique.settings.near_opening)
    for opening in plan.openings:
        cut_through = opening.decision == "leave" and opening.gap <= 0
        yield _say(
            "leave_reached" if cut_through else opening.decision,
            at=amounts.millimetres(opening.at),
            lateral=amounts.millimetres(opening.lateral),
            side=messages.text(f"site.case.{opening.side}"),
            gap=amounts.millimetres(opening.gap),
            near=near,
        )
    sides = [opening.side for opening in plan.openings]
    if len(set(sides)) > 1:
        side = messages.text(f"site.case.{planned.case.flap_side}")
        given = planned.case.side is not None
        yield _say("side_given" if given else "side_counted", side=side)


def _say(name: str, /, **values: object) -> str:
    sentence = messages.text(f"site.learning.{name}", **values)
    return sentence[:1].upper() + sentence[1:]


def _tag(name: str, /, **values: object) -> str:
    return messages.text(f"site.tags.{name}", **values)
