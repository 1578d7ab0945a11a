from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from offmidline import messages, quantities
from offmidline.quantities import KINDS, UNITS, QuantityError, parse, written

ACCEPTED = [
    ("20 mm", "length", 20.0),
    ("20mm", "length", 20.0),
    ("2 cm", "length", 20.0),
    ("0.02 m", "length", 20.0),
    ("1.1 cm", "length", 11.0),
    ("-5 mm", "length", -5.0),
    ("+5 mm", "length", 5.0),
    ("010 mm", "length", 10.0),
    ("  20   mm ", "length", 20.0),
    ("20\u00a0mm", "length", 20.0),
    ("45 deg", "angle", 45.0),
    ("45°", "angle", 45.0),
    ("60 ml", "volume", 60.0),
    ("0.06 l", "volume", 60.0),
    ("60 mL", "volume", 60.0),
    ("200 mg", "drug mass", 200.0),
    ("0.2 g", "drug mass", 200.0),
    ("82 kg", "body mass", 82.0),
    ("2.5 mg/ml", "concentration", 2.5),
    ("2 g/l", "concentration", 2.0),
    ("3 mg/kg", "dose per body mass", 3.0),
    ("24 years", "age", 24.0),
    ("24 year", "age", 24.0),
    ("300 months", "age", 25.0),
    ("18 months", "duration", 18.0),
    ("1 year", "duration", 12.0),
    ("6 weeks", "duration", 6 * 7 / (365.25 / 12)),
    ("10 days", "duration", 10 / (365.25 / 12)),
]

REFUSED = [
    ("", "length", "empty_quantity"),
    ("   ", "length", "empty_quantity"),
    ("62", "length", "bare_number"),
    ("0", "length", "bare_number"),
    ("-6.5", "length", "bare_number"),
    ("20 kg", "length", "wrong_dimension"),
    ("20 mm", "angle", "wrong_dimension"),
    ("2 mg", "concentration", "wrong_dimension"),
    ("82 mg/kg", "body mass", "wrong_dimension"),
    ("18 weeks", "age", "wrong_dimension"),
    ("20 mmm", "length", "unit_typo"),
    ("20 MM", "length", "unit_typo"),
    ("20 inch", "length", "unknown_unit"),
    ("0.2 %", "concentration", "unknown_unit"),
    ("20 mm²", "length", "unit_typo"),
    (".nan", "length", "not_finite"),
    ("NaN mm", "length", "not_finite"),
    ("inf mm", "length", "not_finite"),
    ("-.inf", "length", "not_finite"),
    ("Infinity mm", "length", "not_finite"),
    ("12,5 mm", "length", "decimal_comma"),
    ("1,000 mm", "length", "decimal_comma"),
    ("1e3 mm", "length", "exponent"),
    ("1E-3 m", "length", "exponent"),
    (".5 mm", "length", "loose_point"),
    ("5. mm", "length", "loose_point"),
    ("20 mm 3 cm", "length", "several_quantities"),
    ("20 x 30 mm", "length", "several_quantities"),
    ("20-30 mm", "length", "several_quantities"),
    ("1 000 mm", "length", "several_quantities"),
    ("12:30", "length", "several_quantities"),
    ("mm", "length", "not_a_quantity"),
    ("twenty mm", "length", "not_a_quantity"),
    ("true", "length", "not_a_quantity"),
    ("0x10 mm", "length", "not_a_quantity"),
    ("1_000 mm", "length", "not_a_quantity"),
    ("-- 5 mm", "length", "not_a_quantity"),
    ("٣ mm", "length", "not_a_quantity"),
    ("9" * 80 + " mm", "length", "not_a_quantity"),
]


@pytest.mark.parametrize(("text", "kind", "expected"), ACCEPTED)
def test_reads_a_number_with_a_unit(text, kind, expected):
    """A quantity becomes the float in the internal unit of its kind."""
    assert parse(text, kind) == pytest.approx(expected, rel=1e-15)


def test_reads_the_same_length_in_different_units_as_the_same_number():
    """Conversion is exact: tenths of a centimetre and millimetres never differ by rounding."""
    assert all(parse(f"{n / 10} cm", "length") == parse(f"{n} mm", "length") for n in range(3000))


@pytest.mark.parametrize(("text", "kind", "key"), REFUSED)
def test_refuses_what_is_no_quantity_of_the_kind(text, kind, key):
    """Each slip is told apart, and its message has all the values that it needs."""
    with pytest.raises(QuantityError) as refused:
        parse(text, kind)
    assert refused.value.key == key
    assert messages.text(f"faults.{key}", key="at", **refused.value.values)


# pint's word for ours; a person's age and a drug's mass are plain time and mass to pint.
PINT = {
    "mL": "milliliter",
    "L": "liter",
    "mg/mL": "milligram/milliliter",
    "g/L": "gram/liter",
    "l": "liter",
    "ml": "milliliter",
    "mg/ml": "milligram/milliliter",
    "g/l": "gram/liter",
    "°": "degree",
}
INTERNAL = {
    "length": "millimeter",
    "angle": "degree",
    "volume": "milliliter",
    "drug mass": "milligram",
    "body mass": "kilogram",
    "concentration": "milligram/milliliter",
    "dose per body mass": "milligram/kilogram",
    "age": "year",
    "duration": "month",
}


@pytest.mark.parametrize(("kind", "unit"), [(kind, unit) for kind in KINDS for unit in UNITS[kind]])
def test_factors_agree_with_pint(kind, unit):
    """Every unit of the table converts as in pint's registry, a month being a twelfth of a year."""
    registry: pint.UnitRegistry = pint.UnitRegistry()
    there = registry.Quantity(7.25, PINT.get(unit, unit)).to(INTERNAL[kind])
    assert parse(f"7.25 {unit}", kind) == pytest.approx(there.magnitude, rel=1e-12)


@given(
    st.sampled_from([(kind, unit) for kind in KINDS for unit in UNITS[kind]]),
    st.integers(-(10**9), 10**9),
)
def test_what_is_written_reads_back(kind_and_unit, thousandths):
    """A number with three decimals survives the way to text and back in every unit."""
    kind, unit = kind_and_unit
    value = float(Fraction(thousandths, 1000) * UNITS[kind][unit])
    assert parse(written(value, kind, unit), kind) == pytest.approx(value, rel=1e-12, abs=1e-12)


@given(st.text(max_size=30), st.sampled_from(KINDS))
def test_any_text_is_read_or_refused(text, kind):
    """Whatever is written, the parser returns a finite number or raises its own error."""
    try:
        number = parse(text, kind)
    except QuantityError as refused:
        number = 0.0
        messages.text(f"faults.{refused.key}", key="at", **refused.values)
    assert math.isfinite(number)


@pytest.mark.parametrize(
    ("value", "kind", "unit", "text"),
    [
        (12.5, "length", None, "12.5 mm"),
        (125.0, "length", "cm", "12.5 cm"),
        (20.0, "length", None, "20 mm"),
        (0.1 + 0.2, "length", None, "0.3 mm"),
        (-0.0, "length", None, "0 mm"),
        (1e-9, "length", None, "0 mm"),
        (1.0, "age", None, "1 year"),
        (24.0, "age", None, "24 years"),
        (1.0, "duration", None, "1 month"),
        (2.5, "concentration", None, "2.5 mg/ml"),
    ],
)
def test_writes_plainly(value, kind, unit, text):
    """No trailing zeros, no exponent, no minus zero, the singular for one."""
    assert written(value, kind, unit) == text


def test_lists_the_internal_unit_first():
    """The units that a message offers begin with the one used inside."""
    assert quantities.list_units("length") == "mm, cm, m"
    assert {kind: quantities.internal_unit(kind) for kind in KINDS} == {
        "length": "mm",
        "angle": "deg",
        "volume": "ml",
        "drug mass": "mg",
        "body mass": "kg",
        "concentration": "mg/ml",
        "dose per body mass": "mg/kg",
        "age": "years",
        "duration": "months",
    }
