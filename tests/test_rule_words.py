"""What rules measured and ask, in words."""

from __future__ import annotations

import pytest

from offmidline.rule_words import asked, value
from offmidline.rules import Requirement


@pytest.mark.parametrize(
    ("measured", "unit", "words"),
    [(20.04, "mm", "20 mm"), (45.0, "deg", "45°"), (1.504, "", "1.5"), ("left", "", "left")],
)
def test_measured_values(measured: float | str, unit: str, words: str):
    """Lengths and doses to a tenth with their unit, angles with a sign, ratios to a hundredth."""
    assert value(measured, unit) == words


@pytest.mark.parametrize(
    ("required", "unit", "words"),
    [
        (Requirement("is", 20.0, tolerance=1.0), "mm", "20 mm ± 1 mm"),
        (Requirement("is", 20.0), "mm", "20 mm"),
        (Requirement("is", "right"), "", "right"),
        (Requirement("at least", 3.0), "mm", "at least 3 mm"),
        (Requirement("at most", 187.5), "mg", "at most 187.5 mg"),
        (Requirement("above", 0.0), "mm", "more than 0 mm"),
        (Requirement("between", 16.0, 24.0), "mm", "16 to 24 mm"),
    ],
)
def test_requirements(required: Requirement, unit: str, words: str):
    """A requirement is told by its comparison, and a tolerance only where it is more than noise."""
    assert asked(required, unit) == words
