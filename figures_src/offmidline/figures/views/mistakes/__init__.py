"""The mistakes: for each that the case has room for, right and wrong side by side, what differs
shaded, and the rules that it breaks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from offmidline import messages
from offmidline.figures.page.drawing import Drawing
from offmidline.figures.view import View
from offmidline.figures.views.mistakes.closure import draw_closure_pair
from offmidline.figures.views.mistakes.dose import draw_dose_pair
from offmidline.figures.views.mistakes.pair import Pair, pair
from offmidline.figures.views.mistakes.section import draw_section_pair
from offmidline.figures.views.mistakes.surface import draw_surface_pair
from offmidline.figures.views.mistakes.words import mistake_words
from offmidline.mistakes import wrong_plans
from offmidline.plan import CasePlan
from offmidline.variants import Picture

_DRAWN: Final[Mapping[Picture, Callable[[CasePlan, Pair], Drawing]]] = {
    "surface": draw_surface_pair,
    "section": draw_section_pair,
    "closure": draw_closure_pair,
    "dose": draw_dose_pair,
}


def _draw(planned: CasePlan, part: str) -> Drawing:
    """The picture of a mistake."""
    shown = pair(planned, part)
    return _DRAWN[shown.picture](planned, shown)


VIEW: Final = View(
    "mistakes",
    lambda planned: tuple(wrong_plans(planned)),
    lambda planned, part: mistake_words(planned, pair(planned, part)),
    _draw,
    reads=(
        "case:findings",
        "case:side",
        "case:infiltration",
        "technique:offset",
        "technique:caudal_shift",
        "technique:reach",
        "technique:length_to_width",
        "technique:lateral_cut",
        "technique:medial_cut",
        "technique:flap_thickness",
        "technique:undermining",
        "technique:deep_spacing",
    ),
    needs="right marking",
    entitle=lambda part: messages.text(f"mistakes.{part}.title"),
)
