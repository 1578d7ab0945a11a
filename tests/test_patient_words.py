"""A patient in one sentence."""

from __future__ import annotations

import pytest

from offmidline.patient_words import patient_words
from offmidline.records import Patient

_KNOWN = {"age": "42 years", "sex": "female", "weight": "61.5 kg", "height": "172 cm", "asa": "2"}


@pytest.mark.parametrize(
    ("smoker", "words"), [("true", "smokes"), ("false", "does not smoke"), (None, None)]
)
def test_all_that_is_known_is_told(smoker: str | None, words: str | None):
    """Height in centimetres, weight in kilograms, and smoking only where it was asked about."""
    known = _KNOWN if smoker is None else {**_KNOWN, "smoker": smoker}
    sentence = "A woman of 42 years, bookbinder, 61.5 kg, 172 cm, ASA 2"
    asked = sentence if words is None else f"{sentence}, {words}"
    assert patient_words(Patient.model_validate(known), "bookbinder") == f"{asked}."


def test_what_is_not_known_is_left_out():
    """Age and sex alone make the sentence."""
    person = Patient.model_validate({"age": "30 years", "sex": "male"})
    assert patient_words(person, None) == "A man of 30 years."
