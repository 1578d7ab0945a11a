"""The words that exercises put on a page, and how far their numbers may go, for the scripts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from offmidline import messages
from offmidline.records import ranges
from offmidline.records.ranges import Range
from offmidline.site import scripts

WORDS: Final = "om-exercise-words"

# Which range each number of an answer keeps to, by its name in the scripts. The new midline lies
# on the chosen side, and so never beyond the midline.
_RANGES: Final[Mapping[str, Range]] = {
    "cranial_apex": ranges.MARKING_CRANIAL_APEX,
    "caudal_apex": ranges.MARKING_CAUDAL_APEX,
    "reach": ranges.MARKING_REACH,
    "caudal_shift": ranges.MARKING_CAUDAL_SHIFT,
    "depth": ranges.SECTION_DEPTH,
    "medial_cut_deg": ranges.MEDIAL_CUT,
    "lateral_cut_deg": ranges.LATERAL_CUT,
    "flap_thickness": ranges.FLAP_THICKNESS,
    "undermining": ranges.UNDERMINING,
    "deep_stitches": ranges.DEEP_STITCHES,
}
_ABOVE_NOTHING: Final = 1.0


def words() -> str:
    """The element of a page that holds the words, with the titles of rules and mistakes."""
    return scripts.data(
        WORDS,
        {
            **messages.section("site.exercise.script"),
            "rules": messages.section("rules"),
            "mistakes": messages.section("mistakes"),
            "ranges": {
                "offset": [0, ranges.MARKING_OFFSET.high],
                **{name: _limits(one) for name, one in _RANGES.items()},
            },
        },
    )


def _limits(one: Range) -> list[float]:
    """Low and high; what must be above its low begins a whole unit higher."""
    return [one.low + (_ABOVE_NOTHING if one.low_open else 0), one.high]
