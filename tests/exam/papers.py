"""Small papers of the shipped examiner's cases, for the tests of what is made of them."""

from __future__ import annotations

from functools import cache

from tests.strategies import library

from offmidline.exam.assemble import forms_of
from offmidline.exam.form import Form
from offmidline.records import BlueprintRow, Paper

CASES = ("ceramics-student", "orchard-hand")
# One question of every kind, and the first of them with a figure.
EVERY_KIND = (
    ("choosing", "choice", 1),
    ("recovery", "order", 1),
    ("marking", "drawing", 1),
    ("marking", "fault", 1),
    ("flap", "numeric", 1),
)
SECRET = b"a secret of the tests, long enough"

Row = tuple[str, str, int]


def paper(*rows: Row, **other: object) -> Paper:
    """A paper of these rows of topic, kind and number."""
    blueprint = tuple(
        BlueprintRow.model_validate({"topic": topic, "kind": kind, "number": str(number)})
        for topic, kind, number in rows
    )
    shipped = library().papers["specimen"]
    return shipped.model_copy(update={"cases": CASES, "blueprint": blueprint, **other})


@cache
def every_kind() -> Form:
    """A specimen with one question of every kind."""
    return forms_of(paper(*EVERY_KIND, forms=("A",)), library(), None)[0]
