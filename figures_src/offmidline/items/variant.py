"""Variants of a case: other patients with the same disease, their numbers drawn from a stream.

A variant is drawn anew until it is a case that could stand in a file: everything in its range, and
a marking wherever the case itself has one. Lengths move by whole millimetres, so that no variant
hangs on a rounding.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from offmidline import messages
from offmidline.items.stream import Stream
from offmidline.marking import OTHER_SIDE
from offmidline.plan import CasePlan, plan_case
from offmidline.records import Case, Findings, Infiltration, Opening, Patient, Pit
from offmidline.records.ranges import (
    CAVITY_DEPTH,
    INFILTRATION_VOLUME,
    OPENING_AT,
    OPENING_LATERAL,
    PIT_AT,
    WEIGHT,
    Range,
)

# How far numbers move, either way: mm, kg, years, ml. Invented patients: our choice.
_LEVELS: Final = 8
_SPREAD: Final = 2
_LATERAL: Final = 4
_DEPTH: Final = 3
_WEIGHT_KG: Final = 12
_AGE_YEARS: Final = 8
_ADULT_YEARS: Final = 18
_VOLUME_ML: Final = 10
_VOLUME_STEP_ML: Final = 5
# Draws after which a case counts as one that cannot be varied.
_DRAWS: Final = 50


class NoVariantError(ValueError):
    """No variant of a case was found that keeps to the ranges and has a marking."""


def variant(planned: CasePlan, stream: Stream) -> CasePlan:
    """A variant of a planned case, planned. Raises NoVariantError."""
    for draw in range(_DRAWS):
        case = _varied(planned.case, stream.fork("variant", draw))
        if case is not None:
            found = plan_case(case, planned.technique)
            if (found.right is None) == (planned.right is None):
                return found
    raise NoVariantError(planned.case.case)


def _varied(case: Case, stream: Stream) -> Case | None:
    """One draw; None where a number leaves its range. What a case prescribes is left out: it
    belongs to the numbers as written.
    """
    mirrored = stream.below(2) == 1
    findings = _findings(case.findings, stream, mirrored)
    if findings is None:
        return None
    side = case.side if case.side is None or not mirrored else OTHER_SIDE[case.side]
    return case.model_copy(
        update={
            "title": messages.text("items.variant_title"),
            "patient": _patient(case.patient, stream),
            "findings": findings,
            "side": side,
            "infiltration": _infiltration(case.infiltration, stream),
            "marking": None,
            "section": None,
            "closure": None,
            "learning": (),
            "teaching_notes": None,
        }
    )


def _findings(found: Findings, stream: Stream, mirrored: bool) -> Findings | None:
    shift = _moved(stream, _LEVELS)
    pits = [
        pit.model_copy(update={"at": round(pit.at) + shift + _moved(stream, _SPREAD)})
        for pit in found.pits
    ]
    openings = [_opening(opening, stream, shift, mirrored) for opening in found.openings]
    deeper = _moved(stream, _DEPTH)
    cavity = round(found.cavity_depth) + deeper
    if not _sound(pits, openings) or not CAVITY_DEPTH.holds(cavity):
        return None
    return found.model_copy(
        update={
            "pits": tuple(pits),
            "openings": tuple(openings),
            "cavity_depth": float(cavity),
            # Cavity and fascia move together: how they stand to each other is what the case shows.
            "fascia_depth": found.fascia_depth + deeper,
        }
    )


def _opening(opening: Opening, stream: Stream, shift: int, mirrored: bool) -> Opening:
    return opening.model_copy(
        update={
            "at": float(round(opening.at) + shift + _moved(stream, _SPREAD)),
            "lateral": float(round(opening.lateral) + _moved(stream, _LATERAL)),
            "side": OTHER_SIDE[opening.side] if mirrored else opening.side,
        }
    )


def _sound(pits: Sequence[Pit], openings: Sequence[Opening]) -> bool:
    """Everything in its range, and skin between the pits."""
    levels = sorted(pits, key=lambda pit: pit.at)
    apart = all(
        lower.at + lower.diameter / 2 < upper.at - upper.diameter / 2
        for lower, upper in pairwise(levels)
    )
    places = all(
        OPENING_AT.holds(one.at) and OPENING_LATERAL.holds(one.lateral) for one in openings
    )
    return apart and places and all(PIT_AT.holds(pit.at) for pit in pits)


def _patient(patient: Patient, stream: Stream) -> Patient:
    age = patient.age_years + _moved(stream, _AGE_YEARS)
    adult = patient.age_years >= _ADULT_YEARS
    weight = patient.weight_kg
    if weight is not None:
        weight = _within(WEIGHT, round(weight) + _moved(stream, _WEIGHT_KG), weight)
    return patient.model_copy(
        update={
            # A child belongs to others: a variant does not make one of an adult.
            "age_years": max(age, _ADULT_YEARS) if adult else patient.age_years,
            "weight_kg": weight,
            "occupation": None,
        }
    )


def _infiltration(given: Infiltration | None, stream: Stream) -> Infiltration | None:
    if given is None:
        return None
    steps = _moved(stream, _VOLUME_ML // _VOLUME_STEP_ML)
    volume = given.volume_ml + steps * _VOLUME_STEP_ML
    return given.model_copy(
        update={"volume_ml": _within(INFILTRATION_VOLUME, volume, given.volume_ml)}
    )


def _within(allowed: Range, value: float, otherwise: float) -> float:
    return float(value) if allowed.holds(value) else otherwise


def _moved(stream: Stream, most: int) -> int:
    """A whole number from -most to most."""
    return stream.below(2 * most + 1) - most
