"""What follows from a marking, in words: each measure with its name, rounded and with its unit."""

from __future__ import annotations

from typing import NamedTuple

from offmidline import amounts, messages
from offmidline.plan import Plan


class Measured(NamedTuple):
    """A measure: its name, and its value as it is shown."""

    name: str
    value: str


class MeasureGroup(NamedTuple):
    """Measures that belong together, under a title."""

    title: str
    measures: tuple[Measured, ...]


def measure_groups(plan: Plan) -> tuple[MeasureGroup, ...]:
    """All measures of a plan: of its marking, its scar, its excision and its closure."""
    groups = (
        ("marking", _marking(plan)),
        ("scar", _scar(plan)),
        ("trough", _trough(plan)),
        ("closure", _closure(plan)),
    )
    return tuple(
        MeasureGroup(_say(group), tuple(Measured(_say(key), value) for key, value in rows))
        for group, rows in groups
    )


def _marking(plan: Plan) -> list[tuple[str, str]]:
    outline, covered = plan.outline, plan.midline_covered
    return [
        ("side", messages.text(f"rule_words.{plan.marking.side}")),
        ("cranial_apex", _point(outline.cranial_point)),
        ("caudal_apex", _point(outline.caudal_point)),
        ("offset", amounts.millimetres(outline.offset)),
        ("caudal_shift", amounts.millimetres(outline.caudal_shift)),
        ("reach", amounts.millimetres(outline.reach)),
        ("length", amounts.millimetres(outline.length)),
        ("width", amounts.millimetres(outline.width)),
        ("length_to_width", amounts.ratio(outline.length_to_width)),
        ("midline_covered", _say("nowhere") if covered is None else amounts.span(*covered)),
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
    return _say(
        "point",
        at=amounts.millimetres(point[1]),
        lateral=amounts.millimetres(point[0]),
    )


def _row(stitches: int, spacing: float) -> str:
    return _say("row", stitches=stitches, spacing=amounts.millimetres(spacing))


def _say(key: str, /, **values: object) -> str:
    return messages.text(f"measures.{key}", **values)
