"""Every range: just inside is read, just outside is refused with the range and its reason."""

from __future__ import annotations

import pytest
import yaml
from pydantic import ValidationError

from offmidline.records import Case, Technique, ranges

# Key in the case -> inside at the low end, outside below it, inside at the high end, outside above.
CASE_RANGES = {
    "patient.age": ("16 years", "15.9 years", "110 years", "111 years"),
    "patient.weight": ("30 kg", "29.9 kg", "300 kg", "301 kg"),
    "patient.height": ("120 cm", "119 cm", "230 cm", "231 cm"),
    "patient.asa": ("1", "0", "4", "5"),
    "history.symptoms": ("0 days", "-1 days", "80 years", "81 years"),
    "history.drained": ("0", "-1", "50", "51"),
    "history.excised": ("0", "-1", "50", "51"),
    "findings.pits.0.at": ("0.1 mm", "0 mm", "250 mm", "250.1 mm"),
    "findings.pits.0.diameter": ("0.1 mm", "0 mm", "20 mm", "20.1 mm"),
    "findings.openings.0.at": ("0 mm", "-0.1 mm", "300 mm", "300.1 mm"),
    "findings.openings.0.lateral": ("0.1 mm", "0 mm", "150 mm", "150.1 mm"),
    "findings.openings.0.diameter": ("0.1 mm", "0 mm", "40 mm", "40.1 mm"),
    "findings.cavity_depth": ("0.1 mm", "0 mm", "80 mm", "80.1 mm"),
    "findings.fascia_depth": ("0.1 mm", "0 mm", "120 mm", "120.1 mm"),
    "marking.cranial_apex": ("0 mm", "-0.1 mm", "500 mm", "500.1 mm"),
    "marking.caudal_apex": ("-50 mm", "-50.1 mm", "400 mm", "400.1 mm"),
    "marking.reach": ("-40 mm", "-40.1 mm", "60 mm", "60.1 mm"),
    "marking.offset": ("-60 mm", "-60.1 mm", "60 mm", "60.1 mm"),
    "marking.caudal_shift": ("-60 mm", "-60.1 mm", "60 mm", "60.1 mm"),
    "section.depth": ("0.1 mm", "0 mm", "120 mm", "120.1 mm"),
    "section.lateral_cut": ("20 deg", "19.9 deg", "150 deg", "150.1 deg"),
    "section.medial_cut": ("45 deg", "44.9 deg", "135 deg", "135.1 deg"),
    "section.flap_thickness": ("0.1 mm", "0 mm", "40 mm", "40.1 mm"),
    "section.undermining": ("0 mm", "-0.1 mm", "80 mm", "80.1 mm"),
    "closure.deep_stitches": ("0", "-1", "60", "61"),
    "infiltration.concentration": ("0.1 mg/ml", "0 mg/ml", "40 mg/ml", "40.1 mg/ml"),
    "infiltration.volume": ("0.1 ml", "0 ml", "500 ml", "500.1 ml"),
}
TECHNIQUE_RANGES = {
    "dimensions.offset": ("0.1 mm", "0 mm", "60 mm", "60.1 mm"),
    "dimensions.caudal_shift": ("0 mm", "-0.1 mm", "40 mm", "40.1 mm"),
    "dimensions.reach": ("0.1 mm", "0 mm", "40 mm", "40.1 mm"),
    "dimensions.length_to_width": ("1", "0.99", "6", "6.01"),
    "dimensions.pit_margin": ("0 mm", "-0.1 mm", "20 mm", "20.1 mm"),
    "dimensions.opening_margin": ("0 mm", "-0.1 mm", "20 mm", "20.1 mm"),
    "dimensions.near_opening": ("0 mm", "-0.1 mm", "60 mm", "60.1 mm"),
    "dimensions.verge_clearance": ("0 mm", "-0.1 mm", "60 mm", "60.1 mm"),
    "dimensions.lowest_apex": ("0 mm", "-0.1 mm", "100 mm", "100.1 mm"),
    "dimensions.lateral_cut": ("20 deg", "19.9 deg", "150 deg", "150.1 deg"),
    "dimensions.medial_cut": ("45 deg", "44.9 deg", "135 deg", "135.1 deg"),
    "dimensions.clearance_below_cavity": ("0 mm", "-0.1 mm", "20 mm", "20.1 mm"),
    "dimensions.flap_thickness": ("0.1 mm", "0 mm", "40 mm", "40.1 mm"),
    "dimensions.undermining": ("0 mm", "-0.1 mm", "80 mm", "80.1 mm"),
    "dimensions.deep_spacing": ("0.1 mm", "0 mm", "60 mm", "60.1 mm"),
    "dimensions.superficial_spacing": ("0.1 mm", "0 mm", "60 mm", "60.1 mm"),
    "infiltration.ropivacaine.fixed": ("0.1 mg", "0 mg", "1000 mg", "1000.1 mg"),
    "infiltration.ropivacaine.per_kg": ("0.1 mg/kg", "0 mg/kg", "20 mg/kg", "20.1 mg/kg"),
    "weights.side": ("0.1", "0.09", "10", "10.1"),
}


def _texts(source):
    """A tree of text, as the reader hands it on."""
    return yaml.load(source, Loader=yaml.BaseLoader)  # noqa: S506 - makes nothing but text


def _with_value(tree, way, value):
    *parents, last = way.split(".")
    part = tree
    for step in parents:
        part = part[int(step) if isinstance(part, list) else step]
    if isinstance(part[last], dict):
        part[last]["value"] = value
    else:
        part[last] = value
    return tree


def _judge(record, source, way, values):
    low_inside, low_outside, high_inside, high_outside = values
    for value in (low_inside, high_inside):
        record.model_validate(_with_value(_texts(source), way, value))
    for value in (low_outside, high_outside):
        with pytest.raises(ValidationError) as refused:
            record.model_validate(_with_value(_texts(source), way, value))
        (error,) = refused.value.errors()
        assert error["type"] == "out_of_range"
        assert error["ctx"]["allowed"]
        assert error["ctx"]["why"]


@pytest.mark.parametrize(("way", "values"), CASE_RANGES.items())
def test_ranges_of_the_case(case_text, way, values):
    """The ends of a range belong to it unless zero would mean that there is nothing."""
    _judge(Case, case_text, way, values)


@pytest.mark.parametrize(("way", "values"), TECHNIQUE_RANGES.items())
def test_ranges_of_the_technique(shipped, way, values):
    """Dimensions and dose limits have their ranges as well."""
    source = (shipped / "techniques" / "off-midline-flap.yml").read_text(encoding="utf-8")
    _judge(Technique, source, way, values)


def test_every_range_has_a_reason_and_holds_something():
    """No range is empty, and each can say why it is as it is."""
    found = [value for value in vars(ranges).values() if isinstance(value, ranges.Range)]
    assert len(found) > len(CASE_RANGES)
    for one in found:
        assert one.low < one.high
        assert len(one.why.split()) > 3
        assert one.holds((one.low + one.high) / 2)
        assert one.holds(one.high)
        assert one.holds(one.low) is not one.low_open
