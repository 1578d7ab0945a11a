"""What follows from a marking, in words: every measure under its own name."""

from __future__ import annotations

from typing import Any

from tests.strategies import a_case, a_technique

from offmidline.measure_words import measure_groups
from offmidline.plan import Plan, plan_case

# The outline of the tables, 100 mm long, its caudal apex 20 mm from the verge; a section and rows
# in which no two lengths agree.
_PARTS: dict[str, Any] = {
    "marking": {
        "cranial_apex": "120 mm",
        "caudal_apex": "20 mm",
        "reach": "5 mm",
        "offset": "20 mm",
        "caudal_shift": "10 mm",
    },
    "section": {
        "depth": "18 mm",
        "lateral_cut": "60 deg",
        "medial_cut": "80 deg",
        "flap_thickness": "12 mm",
        "undermining": "25 mm",
    },
    "closure": {"deep_stitches": "9"},
}
# Edges, area, mismatch and apexes from the outline table; the rest by hand: the scar is half of
# both edges, its line passes the verge at 30 + 20 tan(21.801), the floor is 50 - 18 (cot 60 +
# cot 80) wide, the section its mean width times 18, the deep gap hypot(25 + 25, 18 - 12), the
# spacings 121.83 / 10 and, no more than 6 mm, 121.83 / 21 [derived].
_EXPECTED = {
    "Side": "right",
    "Cranial apex": "120 mm level, 20 mm lateral",
    "Caudal apex": "20 mm level, 30 mm lateral",
    "Offset of the new midline": "20 mm",
    "Caudal shift": "10 mm",
    "Reach beyond the midline": "5 mm",
    "Length": "100 mm",
    "Width": "50 mm",
    "Length to width": "2",
    "Area": "34.9 cm²",
    "Medial edge": "121.8 mm",
    "Lateral edge": "111.3 mm",
    "Difference of the edges": "8.6 %",
    "Angle at the cranial apex": "106.3°",
    "Angle at the caudal apex": "103°",
    "Predicted length": "116.6 mm",
    "Prolonged, passes the verge at": "38 mm",
    "Depth": "18 mm",
    "Medial cut to the skin": "80°",
    "Lateral cut to the skin": "60°",
    "Width of the floor": "36.4 mm",
    "Area of the section": "7.8 cm²",
    "Thickness of the flap": "12 mm",
    "Undermining": "25 mm",
    "Gap at the skin": "50 mm",
    "Gap of the deep row": "50.4 mm",
    "Deep row": "9 stitches, 12.2 mm apart",
    "Superficial row": "20 stitches, 5.8 mm apart",
}


def _told(**parts: Any) -> tuple[Plan, dict[str, str]]:
    """The plan of a crafted case and its measures by their names."""
    plan = plan_case(a_case(**parts), a_technique(superficial_spacing="6 mm")).shown
    assert plan is not None
    groups = measure_groups(plan)
    return plan, {one.name: one.value for group in groups for one in group.measures}


def test_every_measure_stands_under_its_own_name():
    """Names and values are those of the outline table and of arithmetic by hand [derived]."""
    plan, told = _told(**_PARTS)
    assert {name: told[name] for name in _EXPECTED} == _EXPECTED
    # What has no value by hand is the plan's own.
    assert plan.midline_covered is not None
    assert {name: told[name] for name in told.keys() - _EXPECTED.keys()} == {
        "Midline covered, levels": "{:.1f} to {:.1f} mm".format(*plan.midline_covered),
        "Outline to the anal verge": f"{plan.verge_clearance:.1f} mm",
        "Volume": f"{plan.volume_ml:.1f} ml",
    }


def test_an_outline_off_the_midline_covers_nowhere():
    """Short of the midline no levels are covered, and the reach is negative."""
    marking = {**_PARTS["marking"], "reach": "-8 mm"}
    _, told = _told(**{**_PARTS, "marking": marking})
    assert told["Midline covered, levels"] == "nowhere"
    assert told["Reach beyond the midline"] == "−8 mm"
