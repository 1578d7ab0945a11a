"""The table of what follows from a marking: every length, area, volume and number of stitches."""

from __future__ import annotations

from offmidline import messages
from offmidline.plan import Plan
from offmidline.site import amounts
from offmidline.site.markup import Group, table


def measures_table(plan: Plan) -> str:
    """The dimensions of a plan with their units, in groups."""
    groups = (
        ("marking", _marking(plan)),
        ("scar", _scar(plan)),
        ("trough", _trough(plan)),
        ("closure", _closure(plan)),
    )
    return table(
        "measures-table",
        messages.text("site.measures.caption"),
        [messages.text("site.measures.quantity"), messages.text("site.measures.value")],
        [
            Group(
                messages.text(f"site.measures.{group}"),
                [(messages.text(f"site.measures.{name}"), value) for name, value in rows],
            )
            for group, rows in groups
        ],
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


def _marking(plan: Plan) -> list[tuple[str, str]]:
    outline, covered = plan.outline, plan.midline_covered
    return [
        ("side", messages.text(f"site.case.{plan.marking.side}")),
        ("cranial_apex", _point(outline.cranial_point)),
        ("caudal_apex", _point(outline.caudal_point)),
        ("offset", amounts.millimetres(outline.offset)),
        ("caudal_shift", amounts.millimetres(outline.caudal_shift)),
        ("reach", amounts.millimetres(outline.reach)),
        ("length", amounts.millimetres(outline.length)),
        ("width", amounts.millimetres(outline.width)),
        ("length_to_width", amounts.ratio(outline.length_to_width)),
        (
            "midline_covered",
            messages.text("site.measures.nowhere") if covered is None else amounts.span(*covered),
        ),
        ("area", amounts.square_centimetres(outline.area_mm2)),
        ("medial_edge", amounts.millimetres(outline.medial_edge)),
        ("lateral_edge", amounts.millimetres(outline.lateral_edge)),
        ("edge_mismatch", amounts.percent(outline.edge_mismatch_percent)),
        ("cranial_angle", amounts.degrees(outline.cranial_angle_deg)),
        ("caudal_angle", amounts.degrees(outline.caudal_angle_deg)),
    ]


def _scar(plan: Plan) -> list[tuple[str, str]]:
    outline = plan.outline
    return [
        ("scar_length", amounts.millimetres(outline.scar_length)),
        ("passes_verge_at", amounts.millimetres(outline.passes_verge_at)),
        ("verge_clearance", amounts.millimetres(plan.verge_clearance)),
    ]


def _trough(plan: Plan) -> list[tuple[str, str]]:
    marking = plan.marking
    return [
        ("depth", amounts.millimetres(marking.depth)),
        ("medial_cut", amounts.degrees(marking.medial_cut_deg)),
        ("lateral_cut", amounts.degrees(marking.lateral_cut_deg)),
        ("base_width", amounts.millimetres(plan.base_width)),
        ("section_area", amounts.square_centimetres(plan.trough_area_mm2)),
        ("volume", amounts.with_unit(plan.volume_ml, "ml")),
    ]


def _closure(plan: Plan) -> list[tuple[str, str]]:
    marking = plan.marking
    return [
        ("flap_thickness", amounts.millimetres(marking.flap_thickness)),
        ("undermining", amounts.millimetres(marking.undermining)),
        ("skin_gap", amounts.millimetres(plan.skin_gap)),
        ("deep_gap", amounts.millimetres(plan.deep_gap)),
        ("deep_row", _row(plan.deep_row.stitches, plan.deep_row.spacing)),
        ("superficial_row", _row(plan.superficial_row.stitches, plan.superficial_row.spacing)),
    ]


def _point(point: tuple[float, float]) -> str:
    return messages.text(
        "site.measures.point",
        at=amounts.millimetres(point[1]),
        lateral=amounts.millimetres(point[0]),
    )


def _row(stitches: int, spacing: float) -> str:
    return messages.text(
        "site.measures.row", stitches=stitches, spacing=amounts.millimetres(spacing)
    )
