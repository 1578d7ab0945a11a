"""A patient in words: no name, only what matters for the operation."""

from __future__ import annotations

from offmidline import amounts, messages
from offmidline.quantities import plain
from offmidline.records import Patient


def patient_words(person: Patient, occupation: str | None) -> str:
    """One sentence: age, sex, occupation, weight, height, risk class, smoking, as far as known.

    The occupation is given apart, so that a page can make it safe to stand there.
    """
    who = _say(
        "who",
        age=_say("age", years=amounts.rounded(person.age_years, 0)),
        sex=_say(person.sex),
        occupation="" if occupation is None else _say("occupation", occupation=occupation),
    )
    details = [
        _say("weight", weight=plain(person.weight_kg)) if person.weight_kg is not None else "",
        _say("height", height=plain(person.height / 10)) if person.height is not None else "",
        _say("asa", asa=person.asa) if person.asa is not None else "",
        "" if person.smoker is None else _say("smoker" if person.smoker else "no_smoker"),
    ]
    return ", ".join([who, *filter(None, details)]) + "."


def _say(key: str, /, **values: object) -> str:
    return messages.text(f"patient.{key}", **values)
