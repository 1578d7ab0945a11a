"""Figures to scale, drawn from a plan, and charts of published results; nothing here computes what
the plan does not hold.

Importing this package imports no matplotlib: that happens when something is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from offmidline.figures.chart import Chart, Subject
from offmidline.figures.charts import CHARTS
from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.style import Theme
from offmidline.figures.view import WHOLE, NoMarkingError, UnknownPartError, View
from offmidline.figures.views import VIEWS
from offmidline.figures.words import Words
from offmidline.plan import CasePlan

__all__ = [
    "CHARTS",
    "VIEWS",
    "Chart",
    "NoMarkingError",
    "Rendered",
    "Subject",
    "UnknownPartError",
    "View",
    "Words",
    "captions",
    "render",
    "render_chart",
]


@dataclass(frozen=True)
class Rendered:
    """A figure as one ``<svg>`` element with its words; width and height are mm on the page."""

    svg: str
    title: str
    description: str
    caption: str
    width_mm: float
    height_mm: float


def render(
    planned: CasePlan, view: str, *, figure_id: str, part: str = WHOLE, theme: Theme = "css"
) -> Rendered:
    """Draw a picture of a view of a case.

    Args:
        planned: what is drawn.
        view: a name in ``VIEWS``.
        figure_id: begins every id in the SVG and seeds what matplotlib numbers by chance.
        part: the picture, where the view has several.
        theme: ``css`` takes its colours from the page's CSS variables.

    Raises:
        KeyError: where there is no such view, or no such picture in it.
        NoMarkingError: where the view needs a marking and the case has none.
    """
    words, drawing = VIEWS[view].words(planned, part), VIEWS[view].draw(planned, part)
    return _rendered(words, drawing, figure_id, theme)


def render_chart(
    subject: Subject, chart: str, *, figure_id: str, key: str = WHOLE, theme: Theme = "css"
) -> Rendered:
    """Draw a picture of a chart; arguments as of ``render``.

    Raises:
        KeyError: where there is no such chart, or no such picture in it.
    """
    words, drawing = CHARTS[chart].words(subject, key), CHARTS[chart].draw(subject, key)
    return _rendered(words, drawing, figure_id, theme)


def _rendered(words: Words, drawing: Drawing, figure_id: str, theme: Theme) -> Rendered:
    from offmidline.figures.page import export

    svg = export.svg(
        drawing, theme, figure_id=figure_id, title=words.title, description=words.description
    )
    return Rendered(
        svg, words.title, words.description, words.caption, drawing.width, drawing.height
    )


def captions(planned: CasePlan, view: str, part: str = WHOLE) -> Words:
    """Title, description and caption of a picture, without drawing it; raises as ``render``
    does.
    """
    return VIEWS[view].words(planned, part)
