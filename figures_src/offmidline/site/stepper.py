"""Figures as HTML: one picture, or a view of several as steps.

The steps are an ordered list of figures, complete as it stands: on paper, and where no script
runs. handbook/assets/stepper.js shows them one at a time; it takes its words from here.
"""

from __future__ import annotations

from collections.abc import Sequence

from offmidline import markup, messages
from offmidline.site import escape
from offmidline.site.figure import Figure


def one_figure(figure: Figure, heading: str = "", more: str = "") -> str:
    """A picture with its caption; HTML may be given for a line over it, and for more below the
    caption.
    """
    return (
        f'<figure class="om-figure">\n{heading}{markup.place_for(figure.figure_id)}\n'
        f"<figcaption>{escape.text(figure.caption)}{more}</figcaption>\n</figure>"
    )


def stepper(ident: str, title: str, figures: Sequence[Figure]) -> str:
    """Pictures in order, each under its number and name, in a group that has the view's title."""
    steps = "\n".join(
        f'<li class="om-stepper-step">\n{one_figure(figure, _position(figure, number, figures))}\n'
        "</li>"
        for number, figure in enumerate(figures, 1)
    )
    words = " ".join(
        f'data-{name}="{escape.attribute(messages.text(f"site.stepper.{name}"))}"'
        for name in ("previous", "next")
    )
    return (
        f'<div class="om-stepper" id="{ident}" role="group"'
        f' aria-label="{escape.attribute(title)}" {words}>\n'
        f'<ol class="om-stepper-steps" role="list">\n{steps}\n</ol>\n</div>'
    )


def _position(figure: Figure, number: int, figures: Sequence[Figure]) -> str:
    words = messages.text(
        "site.stepper.position", number=number, count=len(figures), name=escape.text(figure.name)
    )
    return f'<p class="om-stepper-name">{words}</p>\n'
