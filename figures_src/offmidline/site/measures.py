"""The table of what follows from a marking: every length, area, volume and number of stitches."""

from __future__ import annotations

from offmidline import amounts, messages
from offmidline.markup import Group, table
from offmidline.measure_words import measure_groups
from offmidline.plan import Plan


def measures_table(plan: Plan) -> str:
    """The dimensions of a plan with their units, in groups."""
    return table(
        "measures-table",
        messages.text("site.measures.caption"),
        [messages.text("site.measures.quantity"), messages.text("site.measures.value")],
        [Group(group.title, list(group.measures)) for group in measure_groups(plan)],
        "om-values",
    )


def findings_table(plan: Plan) -> str:
    """Pits and openings against the outline: where they are, their margin, what becomes of them."""
    say = "site.findings."
    pits = [
        (
            messages.text(f"{say}pit"),
            amounts.millimetres(pit.at),
            messages.text(f"{say}midline"),
            amounts.millimetres(pit.diameter),
            amounts.millimetres(pit.margin),
            messages.text(f"{say}{'excised' if pit.excised else 'left_behind'}"),
        )
        for pit in plan.pits
    ]
    openings = [
        (
            messages.text(f"{say}opening"),
            amounts.millimetres(opening.at),
            messages.text(
                f"{say}beside",
                lateral=amounts.millimetres(opening.lateral),
                side=messages.text(f"site.case.{opening.side}"),
            ),
            amounts.millimetres(opening.diameter),
            amounts.millimetres(opening.margin),
            messages.text(f"{say}{opening.decision}"),
        )
        for opening in plan.openings
    ]
    heads = [
        messages.text(f"{say}{head}")
        for head in ("what", "at", "where", "diameter", "margin", "decision")
    ]
    return table(
        "findings-table", messages.text(f"{say}caption"), heads, [Group("", pits + openings)]
    )
