"""The page on which a learner puts pits and openings where they like and sees what the technique
makes of them.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from offmidline import messages
from offmidline.records import Technique, ranges
from offmidline.records.ranges import Range
from offmidline.site import amounts, escape, scripts
from offmidline.site.exercise_words import WORDS

PAGE: Final = "exercises/sandbox.md"

_RANGES: Final = {
    "at": ranges.PIT_AT,
    "diameter": ranges.PIT_DIAMETER,
    "opening_at": ranges.OPENING_AT,
    "opening_lateral": ranges.OPENING_LATERAL,
    "opening_diameter": ranges.OPENING_DIAMETER,
    "cavity_depth": ranges.CAVITY_DEPTH,
    "fascia_depth": ranges.FASCIA_DEPTH,
    "age": ranges.AGE,
    "weight": ranges.WEIGHT,
}
# What the page opens with, and how large a new finding is: invented, and there to be changed.
_START: Final = {
    "pits": [{"at": 62, "diameter": 2}, {"at": 74, "diameter": 3}],
    "openings": [{"at": 96, "lateral": 22, "side": "left", "diameter": 5}],
    "cavity_depth": 14,
    "fascia_depth": 24,
    "side": "left",
    "patient": {"age": 24, "sex": "male", "weight": 80},
}
_NEW: Final = {
    "pits": {"above": 10, "diameter": 2},
    "openings": {"above": 20, "lateral": 20, "diameter": 4},
}
# The measures that are shown of the marking, in order.
_MEASURES: Final = (
    *("offset", "length", "width", "reach", "caudal_shift", "cranial_apex", "caudal_apex"),
    *("length_to_width", "area", "scar_length", "verge_clearance", "depth"),
)
_CONSTRAINTS: Final = (
    *("pit_margin", "opening_margin", "verge_clearance", "lowest_apex", "length_to_width"),
)


def sandbox_page(technique: Technique) -> str:
    """The page for a technique, before numbering."""
    words = messages.section("site.sandbox")
    way = f"../techniques/{technique.technique}.md"
    title = f'<a href="{way}">{escape.text(technique.title)}</a>'
    text = [
        f"# {words['title']}",
        messages.text("site.sandbox.lead", technique=title),
        messages.text("site.sandbox.how"),
        _box(words["no_script"]),
    ]
    behind = [
        scripts.data("om-sandbox-data", sandbox_data(technique)),
        scripts.data(WORDS, _words()),
        scripts.tags(PAGE, scripts.SANDBOX),
    ]
    # Numbers in data are for programs: only the text is set like a page.
    return "\n\n".join([amounts.kept_whole("\n\n".join(text)), *behind]) + "\n"


def _box(unscripted: str) -> str:
    """The place that the scripts fill, and what stands there without them."""
    return (
        '<div class="om-sandbox" id="sandbox-box" data-search-exclude="">\n'
        f"<p>{unscripted}</p>\n</div>"
    )


def sandbox_data(technique: Technique) -> dict[str, Any]:
    """What the scripts of the page compute with: the technique's dimensions, ranges, a start."""
    return {
        "technique": technique.technique,
        "settings": asdict(technique.settings),
        "greatest_reach": ranges.MARKING_REACH.high,
        "ranges": {name: _limits(known) for name, known in _RANGES.items()},
        "measures": _MEASURES,
        "start": _START,
        "new": _NEW,
    }


def _limits(known: Range) -> dict[str, Any]:
    return {"low": known.low, "high": known.high, "open": known.low_open}


def _words() -> dict[str, Any]:
    """The board's words and the page's own; those of measures and conflicts are told elsewhere."""
    asked = {"constraint": "[constraint]", "required": "[required]", "nearest": "[nearest]"}
    return {
        "board": messages.section("site.exercise.script.board"),
        "sandbox": {
            **messages.section("site.sandbox.script"),
            "selected": messages.text("site.exercise.script.selected"),
            "caution": messages.text("caution.text"),
            "point": messages.text("measures.point", at="[at]", lateral="[lateral]"),
            "measures": {name: messages.text(f"measures.{name}") for name in _MEASURES},
            "explanation": messages.text("conflicts.explanation"),
            "nearest": messages.text("conflicts.nearest", **asked),
            "hopeless": messages.text("conflicts.hopeless", **asked),
            "constraints": {
                name: messages.text(f"conflicts.{name}", at="[at]") for name in _CONSTRAINTS
            },
        },
    }
