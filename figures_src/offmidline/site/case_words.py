"""A case in words: the patient, the history, the findings. Everything returned is safe to stand on
a page.
"""

from __future__ import annotations

from collections.abc import Sequence

from offmidline import amounts, messages
from offmidline.markup import joined
from offmidline.patient_words import patient_words
from offmidline.quantities import MONTHS_A_YEAR, plain
from offmidline.records import Case, History
from offmidline.site import escape


def words(name: str, /, **values: object) -> str:
    """A text of the section ``site.case`` with its values put in."""
    return messages.text(f"site.case.{name}", **values)


def patient(case: Case) -> str:
    """One sentence: age, sex, occupation, and what matters for the operation."""
    occupation = case.patient.occupation
    return patient_words(case.patient, None if occupation is None else escape.text(occupation))


def history(record: History | None) -> str:
    """One sentence about symptoms and earlier operations; empty where nothing is known."""
    if record is None:
        return ""
    parts = [
        words("symptoms", duration=_duration(record.symptoms_months))
        if record.symptoms_months is not None
        else "",
        _times("drained", record.drained),
        _times("excised", record.excised),
    ]
    sentence = "; ".join(filter(None, parts))
    return f"{sentence[:1].upper()}{sentence[1:]}." if sentence else ""


def findings(case: Case) -> str:
    """Two or three sentences: pits, openings, depths."""
    found = case.findings
    pits = joined([words("pit", at=amounts.millimetres(pit.at)) for pit in found.pits], _and())
    sentences = [
        words(
            "pits_one" if len(found.pits) == 1 else "pits", count=count(len(found.pits)), pits=pits
        )
    ]
    sentences.append(_openings(case))
    sentences.append(
        words(
            "depths",
            cavity=amounts.millimetres(found.cavity_depth),
            fascia=amounts.millimetres(found.fascia_depth),
        )
    )
    return " ".join(sentences)


def count(number: int) -> str:
    """A small number as a word, a larger one in digits."""
    names: Sequence[str] = words("counts").split()
    return names[number] if number < len(names) else str(number)


def _openings(case: Case) -> str:
    openings = case.findings.openings
    if not openings:
        return words("no_opening")
    listed = joined(
        [
            words(
                "opening",
                at=amounts.millimetres(opening.at),
                lateral=amounts.millimetres(opening.lateral),
                side=words(opening.side),
            )
            for opening in openings
        ],
        _and(),
    )
    key = "openings_one" if len(openings) == 1 else "openings"
    return words(key, count=count(len(openings)), openings=listed)


def _and() -> str:
    return messages.text("site.and")


def _duration(months: float) -> str:
    if months >= 2 * MONTHS_A_YEAR and months % MONTHS_A_YEAR == 0:
        return words("years", years=plain(months / MONTHS_A_YEAR))
    return words("months", months=amounts.rounded(months, 0))


def _times(name: str, number: int | None) -> str:
    if number is None:
        return ""
    return words(f"{name}_{ {0: 'never', 1: 'once'}.get(number, 'often') }", count=count(number))
