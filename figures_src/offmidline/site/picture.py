"""A picture that several questions of a page look at: drawn once, as ids must not be there twice.

The others link to it. handbook/assets/selftest/ moves it to the question that is being asked.
"""

from __future__ import annotations

from typing import Final

from offmidline import messages
from offmidline.site import escape
from offmidline.site.figure import Figure
from offmidline.site.stepper import one_figure

_PLACE: Final = "place-of"


def shown_here(figure: Figure) -> str:
    """The picture in the place to which links lead."""
    inner = one_figure(figure)
    return f'<div class="om-picture" id="{_place(figure)}">\n{inner}\n</div>'


def shown_before(figure: Figure) -> str:
    """A place for the picture, with a link to where it is."""
    words = messages.text("site.self_test.shown_before", title=escape.text(figure.title))
    return f'<div class="om-picture"><a href="#{_place(figure)}">{words}</a></div>'


def _place(figure: Figure) -> str:
    return f"{_PLACE}-{figure.figure_id}"
