"""What several parts of a case, a technique or the sources, or several files, have to agree on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from offmidline import quantities
from offmidline.records.document import Way
from offmidline.records.draft import Draft, check_id, check_standing, check_unique, known_values

# Decimals of a mm to which lengths are compared.
_DECIMALS = 6

SAME_PLACE = 1e-6  # mm


def check_case(case: Draft, technique: Draft | None) -> None:
    """Everything about a case that no single field can tell."""
    check_id(case, "case")
    _check_depths(case)
    _check_places(case)
    _check_side(case)
    _check_weight(case)
    if technique is not None:
        _check_agent(case, technique)
    _check_marking(case, technique)


def check_technique_id(case: Draft, known: list[str]) -> bool:
    """Whether the technique that a case names exists; notes it if not."""
    found = case.text("technique")
    if found is None or found in known:
        return found is not None
    case.fault(("technique",), "unknown_technique", **known_values(found, known))
    return False


def check_technique(technique: Draft, sources: Collection[str] | None) -> None:
    """Everything about a technique that no single field can tell; None skips the sources."""
    check_id(technique, "technique")
    for way in _with_standing(technique):
        check_standing(technique, way, sources)
    _check_lateral_edge(technique)
    check_unique(technique, [("steps", n, "phase") for n in technique.items("steps")])
    check_unique(
        technique,
        [
            ("steps", n, "steps", m, "step")
            for n in technique.items("steps")
            for m in technique.items("steps", n, "steps")
        ],
    )


def check_sources(sources: Draft) -> None:
    """Each source once, and each author with a name."""
    check_unique(sources, [(n, "id") for n in sources.items()])
    for n in sources.items():
        for role in ("author", "editor"):
            for m in sources.items(n, role):
                keys = sources.keys(n, role, m)
                if keys and ("literal" in keys) == ("family" in keys):
                    sources.fault((n, role, m), "name_of_author")


def source_ids(sources: Draft) -> frozenset[str]:
    """The ids in a file of sources, also of entries that have other faults."""
    found = (sources.text(n, "id") for n in sources.items())
    return frozenset(name for name in found if name is not None)


def _check_depths(case: Draft) -> None:
    cavity = case.length("findings", "cavity_depth")
    fascia = case.length("findings", "fascia_depth")
    if cavity is not None and fascia is not None and cavity > fascia:
        case.fault(
            ("findings", "cavity_depth"),
            "cavity_below_fascia",
            cavity=quantities.written(cavity, "length"),
            fascia=quantities.written(fascia, "length"),
        )


def _check_places(case: Draft) -> None:
    """No pit and no opening twice."""
    for name in ("pits", "openings"):
        seen: list[tuple[float, float, str]] = []
        for n in case.items("findings", name):
            at = case.length("findings", name, n, "at")
            lateral = 0.0 if name == "pits" else case.length("findings", name, n, "lateral")
            side = "" if name == "pits" else case.text("findings", name, n, "side")
            if at is None or lateral is None or side is None:
                continue
            if any(
                abs(at - a) < SAME_PLACE and abs(lateral - b) < SAME_PLACE and side == c
                for a, b, c in seen
            ):
                case.fault(("findings", name, n), f"{name}_twice")
            seen.append((at, lateral, side))


def _check_side(case: Draft) -> None:
    """The openings decide the side, or the writer does."""
    if "side" in case.keys() or case.part("findings") is None:  # noqa: SIM118 - Draft.keys
        return
    way: Way = ("findings", "openings")
    if "openings" not in case.keys("findings"):
        case.document.fault(case.document.key_mark(()), "side_missing")
        return
    if case.part(*way) is None:
        return
    sides = [case.text(*way, n, "side") for n in case.items(*way)]
    if None not in sides and 2 * Counter(sides)["left"] == len(sides):
        case.fault(way, "side_tie" if sides else "side_missing")


def _check_weight(case: Draft) -> None:
    given = "infiltration" in case.keys() and isinstance(case.part("patient"), dict)  # noqa: SIM118
    if given and "weight" not in case.keys("patient"):
        case.document.fault(case.document.key_mark(("patient",)), "weight_missing")


def _check_agent(case: Draft, technique: Draft) -> None:
    agent, known = case.text("infiltration", "agent"), technique.keys("infiltration")
    if agent is not None and technique.part("infiltration") is not None and agent not in known:
        case.fault(("infiltration", "agent"), "unknown_agent", **known_values(agent, known))


def _check_marking(case: Draft, technique: Draft | None) -> None:
    """A prescribed marking may be wrong, but it must be a closed outline of two arcs."""
    cranial, caudal = case.length("marking", "cranial_apex"), case.length("marking", "caudal_apex")
    if cranial is not None and caudal is not None and cranial <= caudal:
        case.fault(("marking", "cranial_apex"), "apexes_reversed")
    half_width = _half_width(case, technique)
    if half_width is None:
        return
    if half_width <= 0:
        case.fault(("marking", "reach"), "no_width", width=quantities.plain(2 * half_width))
    elif cranial is not None and caudal is not None:
        # Rounded, so that 110.1 mm less 60.1 mm is as long as 50 mm is wide.
        length, width = (round(value, _DECIMALS) for value in (cranial - caudal, 2 * half_width))
        if 0 < length < width:
            case.fault(
                ("marking", "cranial_apex"),
                "wider_than_long",
                length=quantities.written(length, "length"),
                width=quantities.written(width, "length"),
            )


def _half_width(case: Draft, technique: Draft | None) -> float | None:
    """Offset and reach together, the offset from the marking or else from the technique."""
    if "offset" in case.keys("marking"):
        offset = case.length("marking", "offset")
    elif technique is not None:
        offset = technique.length("dimensions", "offset", "value")
    else:
        return None
    reach = case.length("marking", "reach")
    return None if offset is None or reach is None else offset + reach


def _with_standing(technique: Draft) -> Iterator[Way]:
    """The ways to everything that has a status and sources."""
    for section in ("dimensions", "infiltration"):
        for name in technique.keys(section):
            yield section, name


def _check_lateral_edge(technique: Draft) -> None:
    """The lateral edge stays convex.

    At mid-length the bent axis has the curvature 2k/a^2 and the arc 1/R, so that the edge dents
    inwards unless k < h / (1 + (h/a)^2); with the shortest length allowed, a/h is length_to_width.
    """
    shift = technique.length("dimensions", "caudal_shift", "value")
    offset = technique.length("dimensions", "offset", "value")
    reach = technique.length("dimensions", "reach", "value")
    ratio = _ratio(technique.text("dimensions", "length_to_width", "value"))
    if shift is None or offset is None or reach is None or ratio is None:
        return
    limit = (offset + reach) / (1 + 1 / ratio**2)
    if shift >= limit:
        technique.fault(
            ("dimensions", "caudal_shift", "value"),
            "edge_dents",
            shift=quantities.written(shift, "length"),
            limit=quantities.written(limit, "length"),
        )


def _ratio(text: str | None) -> float | None:
    try:
        return None if text is None else float(text)
    except ValueError:
        return None
