"""What several parts of a file, or several files, have to agree on.

The checks work on the tree as written, not on finished records, so that they also speak where
another part of the same file is at fault; a part that is missing or at fault is left out.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from offmidline import messages, quantities
from offmidline.records.document import START, Document, Tree, Way
from offmidline.records.faults import shown
from offmidline.records.fields import ID_PATTERN, did_you_mean

# Decimals of a mm to which lengths are compared.
_DECIMALS = 6

SAME_PLACE = 1e-6  # mm


@dataclass(frozen=True)
class Draft:
    """A file as far as it could be read: its document and the ways to the parts at fault."""

    document: Document
    at_fault: Collection[Way] = field(default_factory=frozenset)

    def part(self, *way: str | int) -> Tree:
        """A part of the tree; None where it is missing or at fault."""
        if any(way[:n] in self.at_fault for n in range(len(way) + 1)):
            return None
        found = self.document.tree
        for step in way:
            if isinstance(found, dict) and isinstance(step, str):
                found = found.get(step)
            elif isinstance(found, list) and isinstance(step, int) and step < len(found):
                found = found[step]
            else:
                return None
        return found

    def text(self, *way: str | int) -> str | None:
        """A scalar's text."""
        found = self.part(*way)
        return found if isinstance(found, str) else None

    def length(self, *way: str | int) -> float | None:
        """A length in mm."""
        return self._quantity("length", way)

    def _quantity(self, kind: quantities.Kind, way: Way) -> float | None:
        text = self.text(*way)
        try:
            return None if text is None else quantities.parse(text, kind)
        except quantities.QuantityError:
            return None

    def items(self, *way: str | int) -> range:
        """The numbers of a list's items."""
        found = self.part(*way)
        return range(len(found) if isinstance(found, list) else 0)

    def keys(self, *way: str | int) -> list[str]:
        """The keys of a mapping."""
        found = self.part(*way)
        return list(found) if isinstance(found, dict) else []

    def fault(self, way: Way, name: str, /, **values: object) -> None:
        """Note a fault at a value."""
        self.document.fault(self.document.value_mark(way), name, **values)


def check_id(draft: Draft, key: str) -> None:
    """A file is called by its id, so its name must be one."""
    found, stem = draft.text(key), draft.document.path.stem
    if not re.fullmatch(ID_PATTERN, stem):
        draft.document.fault(START, "stem_no_id", stem=shown(stem))
    elif found is not None and found != stem:
        draft.fault((key,), "id_not_stem", key=key, value=shown(found), stem=shown(stem))


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
    case.fault(("technique",), "unknown_technique", **_known(found, known))
    return False


def check_technique(technique: Draft, sources: Collection[str] | None) -> None:
    """Everything about a technique that no single field can tell; None skips the sources."""
    check_id(technique, "technique")
    for way in _with_standing(technique):
        _check_standing(technique, way, sources)
    _check_lateral_edge(technique)
    _check_unique(technique, [("steps", n, "phase") for n in technique.items("steps")])
    _check_unique(
        technique,
        [
            ("steps", n, "steps", m, "step")
            for n in technique.items("steps")
            for m in technique.items("steps", n, "steps")
        ],
    )


def check_sources(sources: Draft) -> None:
    """Each source once, and each author with a name."""
    _check_unique(sources, [(n, "id") for n in sources.items()])
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


def _known(word: str, known: Collection[str]) -> dict[str, str]:
    """The values of a message that lists what there is and suggests what may have been meant."""
    words = messages.either(sorted(known)) if known else messages.text("faults.none_known")
    return {"value": shown(word), "known": words, "hint": did_you_mean(word, known)}


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
        case.fault(("infiltration", "agent"), "unknown_agent", **_known(agent, known))


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


def _check_standing(technique: Draft, way: Way, sources: Collection[str] | None) -> None:
    """What is sourced names a source, and every source named exists."""
    at_fault = (*way, "source") in technique.at_fault
    sourced = technique.text(*way, "status") == "sourced"
    if sourced and not at_fault and not technique.part(*way, "source"):
        mark = technique.document.key_mark(way)
        technique.document.fault(mark, "source_missing", key=way[-1])
    for n in technique.items(*way, "source"):
        name = technique.text(*way, "source", n)
        if sources is not None and name is not None and name not in sources:
            technique.fault(
                (*way, "source", n),
                "unknown_source",
                value=shown(name),
                hint=did_you_mean(name, sources),
            )


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


def _check_unique(draft: Draft, ways: list[Way]) -> None:
    """An id only once in its list."""
    seen: set[str] = set()
    for way in ways:
        name = draft.text(*way)
        if name is not None and name in seen:
            draft.fault(way, "id_twice", key=way[-1], value=shown(name))
        elif name is not None:
            seen.add(name)
