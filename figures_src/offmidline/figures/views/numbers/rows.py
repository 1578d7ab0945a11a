"""The rows of the sheet of numbers: what a case and its plan come to, rounded, two to a line where
they belong together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from offmidline import amounts, rule_words
from offmidline.amounts import millimetres, rounded
from offmidline.figures.page.table import Row, RowGroup
from offmidline.figures.scene.dose_words import arithmetic, limit_lines
from offmidline.figures.words import fate, isolated, say
from offmidline.geometry.closure import StitchRow
from offmidline.measure_words import measure_groups
from offmidline.patient_words import patient_words
from offmidline.plan import Plan
from offmidline.rules import Verdict, judge


def number_groups(plan: Plan) -> list[RowGroup]:
    """All groups of rows of a plan, in the order of reading."""
    groups: list[tuple[str, Callable[[Plan], list[Row]]]] = [
        ("findings", _findings),
        ("marking", _marking),
        ("trough", _trough),
        ("closure", _closure),
        ("dose", _dose),
        ("rules", _rules),
    ]
    found = [(name, rows(plan)) for name, rows in groups]
    return [
        RowGroup(name, say(f"numbers.group_{name}"), tuple(rows)) for name, rows in found if rows
    ]


def patient(plan: Plan) -> str:
    """Who is operated on, in a sentence without a name."""
    occupation = plan.case.patient.occupation
    return patient_words(plan.case.patient, None if occupation is None else isolated(occupation))


def number_sentences(plan: Plan) -> str:
    """All that the sheet says as sentences, the measures one by one under their full names."""
    rows = {
        group.gid: _sentences(group.title, ((row.name, row.value) for row in group.rows))
        for group in number_groups(plan)
    }
    measures = (_sentences(group.title, group.measures) for group in measure_groups(plan))
    dose = (rows["dose"], dose_source(plan)) if "dose" in rows else ()
    return " ".join([patient(plan), rows["findings"], *measures, *dose, rows["rules"]])


def _sentences(title: str, rows: Iterable[tuple[str, str]]) -> str:
    told = (f"{name}: {value}" if name else value for name, value in rows)
    return " ".join([f"{title}.", *(f"{text.rstrip('.')}." for text in told)])


def dose_source(plan: Plan) -> str:
    """Whose limits the dose is held against and which counts, in sentences; empty without a
    dose.
    """
    lines = list(limit_lines(plan))
    return " ".join([*lines, say("numbers.exercise")]) if lines else ""


def _row(key: str, value: str) -> Row:
    return Row(f"row-{key}", say(f"numbers.{key}"), value)


def _pair(one: float, other: float) -> str:
    return f"{rounded(one)}, {millimetres(other)}"


def _findings(plan: Plan) -> list[Row]:
    """The pits and their least margin, the openings with what becomes of them, the depths."""
    found = plan.case.findings
    left = [rounded(pit.at) for pit in plan.pits if not pit.excised]
    rows = [
        _row(
            "only_pit" if len(plan.pits) == 1 else "pits",
            f"{', '.join(rounded(pit.at) for pit in plan.pits)} mm",
        ),
        _row("pit_margin", millimetres(min(pit.margin for pit in plan.pits))),
    ]
    if left:
        rows.append(_row("pits_left", f"{', '.join(left)} mm"))
    for count, opening in enumerate(plan.openings, 1):
        place = say(
            "numbers.opening",
            at=rounded(opening.at),
            lateral=rounded(opening.lateral),
            side=say(opening.side),
        )
        rows.append(Row(f"row-opening-{count}", place, say(f"numbers.{fate(opening)}")))
    return [*rows, _row("depths", _pair(found.cavity_depth, found.fascia_depth))]


def _marking(plan: Plan) -> list[Row]:
    """The outline and the scar predicted from it."""
    outline, covered = plan.outline, plan.midline_covered
    angles = f"{rounded(outline.cranial_angle_deg)}, {amounts.degrees(outline.caudal_angle_deg)}"
    return [
        _row("offset", millimetres(outline.offset)),
        _row("caudal_shift", millimetres(outline.caudal_shift)),
        _row("reach", millimetres(outline.reach)),
        _row("size", _pair(outline.length, outline.width)),
        _row("length_to_width", amounts.ratio(outline.length_to_width)),
        _row("covered", say("numbers.nowhere") if covered is None else amounts.span(*covered)),
        _row("area", amounts.square_centimetres(outline.area_mm2)),
        _row("edges", _pair(outline.medial_edge, outline.lateral_edge)),
        _row("mismatch", amounts.percent(outline.edge_mismatch_percent)),
        _row("angles", angles),
        _row("scar_length", millimetres(outline.scar_length)),
        _row("passes_verge", millimetres(outline.passes_verge_at)),
        _row("clearance", millimetres(plan.verge_clearance)),
    ]


def _trough(plan: Plan) -> list[Row]:
    marking = plan.marking
    cuts = f"{rounded(marking.medial_cut_deg)}, {amounts.degrees(marking.lateral_cut_deg)}"
    return [
        _row("depth", _pair(marking.depth, plan.base_width)),
        _row("cuts", cuts),
        _row("section_area", amounts.square_centimetres(plan.trough_area_mm2)),
        _row("volume", amounts.with_unit(plan.volume_ml, "ml")),
    ]


def _closure(plan: Plan) -> list[Row]:
    return [
        _row("flap", _pair(plan.marking.flap_thickness, plan.marking.undermining)),
        _row("gaps", _pair(plan.skin_gap, plan.deep_gap)),
        _row("deep_row", _stitches(plan.deep_row)),
        _row("superficial_row", _stitches(plan.superficial_row)),
    ]


def _stitches(row: StitchRow) -> str:
    return say("numbers.stitches", count=row.stitches, spacing=millimetres(row.spacing))


def _dose(plan: Plan) -> list[Row]:
    """The dose, the limit that counts, and what part of it the dose is."""
    dose, given = plan.dose, plan.marking.infiltrate
    if dose is None or given is None:
        return []
    return [
        Row("row-dose", next(arithmetic(plan)), amounts.with_unit(dose.dose_mg, "mg")),
        Row(
            "row-limit",
            say("numbers.limit", which=say(f"numbers.{dose.limited_by}_limit")),
            amounts.with_unit(dose.limit_mg, "mg"),
        ),
        _row("percent", amounts.percent(dose.percent_of_limit)),
    ]


def _rules(plan: Plan) -> list[Row]:
    """How many rules are met, and each that is not with what it measured and asks."""
    verdicts = judge(plan)
    outcomes = [verdict.verdict for verdict in verdicts]
    counts = say(
        "numbers.verdicts",
        met=outcomes.count("met"),
        broken=outcomes.count("not met"),
        idle=outcomes.count("not applicable"),
    )
    return [Row("row-rules", "", counts), *map(_broken, filter(_is_broken, verdicts))]


def _is_broken(verdict: Verdict) -> bool:
    return verdict.verdict == "not met"


def _broken(verdict: Verdict) -> Row:
    if verdict.measured is None or verdict.required is None:
        return Row(f"row-rule-{verdict.rule}", "", verdict.title)
    told = say(
        "numbers.measured",
        measured=rule_words.value(verdict.measured, verdict.unit),
        required=rule_words.asked(verdict.required, verdict.unit),
    )
    return Row(f"row-rule-{verdict.rule}", verdict.title, told)
