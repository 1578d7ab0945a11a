"""The names of values, and how values are shown."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.generated import cases, technique

from offmidline import amounts
from offmidline.plan import plan_case
from offmidline.report import report
from offmidline.site.amounts import kept_whole
from offmidline.site.values import case_values, technique_values


@pytest.fixture(scope="module")
def values() -> dict[str, str]:
    """The values of one generated case."""
    (case,) = cases(1, seed=5)
    return case_values(report(plan_case(case, technique())))


def test_every_dimension_has_a_name_and_a_unit() -> None:
    """Every dimension of the technique can be named, under the name that its file uses."""
    shown = technique_values(technique())
    assert shown["offset"] == "20 mm"
    assert shown["lateral_cut"] == "45°"
    assert shown["length_to_width"] == "2"
    assert set(technique().dimensions.model_dump(by_alias=True)) <= set(shown)


def test_what_follows_from_the_dimensions_is_computed() -> None:
    """Width and caudal offset follow from the dimensions that they are made of."""
    changed = technique().model_copy()  # the reader keeps the one that it read
    settings = replace(changed.settings, offset=18.0, reach=6.5, caudal_shift=7.0)
    changed.__dict__["settings"] = settings
    shown = technique_values(changed)
    assert shown["width"] == "49 mm"
    assert shown["caudal_offset"] == "25 mm"


def test_values_carry_the_unit_of_their_kind(values: dict[str, str]) -> None:
    """Lengths, angles, areas, volumes, doses, ratios and numbers each carry their unit."""
    assert values["outline.width"].endswith(" mm")
    assert values["outline.cranial_angle_deg"].endswith("°")
    assert values["outline.area_mm2"].endswith(" cm²")
    assert values["trough.volume_ml"].endswith(" ml")
    assert values["outline.edge_mismatch_percent"].endswith(" %")
    assert values["outline.length_to_width"].replace(".", "").isdigit()
    assert values["closure.rows.deep.stitches"].isdigit()
    assert values["rules.lateral-cut.measured"].endswith("°")
    assert values["pits.0.margin"].endswith(" mm")


def test_numbers_are_rounded_for_a_reader() -> None:
    """One decimal at most, no trailing zero, no minus zero."""
    assert amounts.millimetres(20.034) == "20 mm"
    assert amounts.millimetres(-0.04) == "0 mm"
    assert amounts.millimetres(118.46) == "118.5 mm"
    assert amounts.square_centimetres(3494.494) == "34.9 cm²"
    assert amounts.with_unit(2.0, "") == "2"


def test_amounts_stay_on_one_line() -> None:
    """A number is kept beside its unit, also where a text from a file has its point escaped."""
    for number in ("20", "14.4", "14&#46;4"):
        kept = f'<span class="om-amount">{number} mm</span>'
        assert kept_whole(f"at {number} mm,") == f"at {kept},"
    assert kept_whole('<a title="20 mm">') == '<a title="20 mm">'


def test_code_is_shown_letter_by_letter() -> None:
    """An amount in code gets no tag, which would be read as text; one beside the code does."""
    kept = '<span class="om-amount">20 mm</span>'
    for code in ("`at: 62 mm`", "```yaml\nat: 62 mm\n\nat: 74 mm\n```"):
        assert kept_whole(f"20 mm\n{code}\n20 mm") == f"{kept}\n{code}\n{kept}"
