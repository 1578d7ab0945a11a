"""The page round the questions: what the paper is, how far one has come, the caution, and a bar by
which to check the printer.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab import rl_config
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from offmidline import messages
from offmidline.exam.paper.figures import Shown, fill
from offmidline.exam.paper.styles import (
    BETWEEN,
    BOTTOM,
    FAINT,
    HEIGHT,
    INK,
    MUTED,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    REGULAR,
    SIDE,
    WIDTH,
    load_fonts,
    paragraph,
    say,
)
from offmidline.figures.page.metrics import shown_glyphs

# Bytes, not letters: a form is filled only where its stream is packed in one way.
rl_config.useA85 = 0

# The bar by which a printed page is checked.
BAR: Final = 100 * mm
_BAR_AT: Final = 24 * mm
_TICK: Final = 2 * mm
_HEADER_AT: Final = PAGE_HEIGHT - 13 * mm
_CAUTION_TOP: Final = 19 * mm
_SMALL: Final = 8.0
_WATERMARK_SIZE: Final = 90.0
_WATERMARK_ANGLE: Final = 55.0
_WATERMARK_ALPHA: Final = 0.13


@dataclass(frozen=True)
class Face:
    """What every page says of the file it belongs to."""

    title: str
    header: str
    specimen: bool


@dataclass(frozen=True)
class Flow:
    """What a file holds, in order, and the figures whose places are in it.

    Attributes:
        figure_pages: gets the numbers of the pages with a figure as they are set.
    """

    content: Sequence[Any]
    figures: Sequence[Shown]
    figure_pages: set[int]


class Bookmark(Flowable):  # type: ignore[misc]  # reportlab ships no types
    """An entry of the outline that leads here; it takes no room but a gap below what precedes."""

    def __init__(self, key: str, title: str) -> None:
        super().__init__()
        self.key, self.title = key, title
        self.spaceBefore = BETWEEN

    def wrap(self, *_: float) -> tuple[float, float]:
        """No room."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Set the mark, a little above."""
        self.canv.bookmarkHorizontal(self.key, 0, 2 * mm)
        self.canv.addOutlineEntry(self.title, self.key, 0, closed=False)


def pdf_of(face: Face, flow: Callable[[], Flow]) -> bytes:
    """The file as PDF, the same bytes whenever it is made.

    It is set twice: only then is it known how many pages there are.
    """
    load_fonts()
    pages = _set(face, flow(), 0)[1]
    content = flow()
    return fill(_set(face, content, pages)[0], content.figures, face.title)


def _set(face: Face, flow: Flow, pages: int) -> tuple[bytes, int]:
    """The file with the places of its figures empty, and how many pages it has."""
    out = io.BytesIO()
    document = BaseDocTemplate(
        out,
        title=face.title,
        author="",
        lang=messages.text("exam.html.language"),
        initialFontName=REGULAR,
        invariant=1,
    )
    frame = Frame(
        SIDE, BOTTOM, WIDTH, HEIGHT, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0
    )

    def finish(canvas: Canvas, _: BaseDocTemplate) -> None:
        number = canvas.getPageNumber()
        _draw_face(canvas, face, number, pages)
        if number == 1 or number in flow.figure_pages:
            _draw_bar(canvas)

    document.addPageTemplates(PageTemplate(frames=[frame], onPageEnd=finish))
    document.build(list(flow.content), canvasmaker=_canvas)
    return out.getvalue(), document.page


def _canvas(*args: Any, **options: Any) -> Canvas:
    """A canvas that asks viewers not to shrink its pages and to show the outline."""
    canvas = Canvas(*args, **{**options, "initialFontName": REGULAR})
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.showOutline()
    return canvas


def _draw_face(canvas: Canvas, face: Face, number: int, pages: int) -> None:
    canvas.saveState()
    canvas.setFont(REGULAR, _SMALL)
    canvas.setFillColor(MUTED)
    canvas.drawString(SIDE, _HEADER_AT, shown_glyphs(face.header))
    place = say("page", number=number, pages=pages)
    canvas.drawRightString(PAGE_WIDTH - SIDE, _HEADER_AT, place)
    caution = paragraph(messages.text("caution.text"), "caution")
    _, height = caution.wrap(WIDTH, _CAUTION_TOP)
    caution.drawOn(canvas, SIDE, _CAUTION_TOP - height)
    if face.specimen:
        canvas.translate(PAGE_WIDTH / 2, PAGE_HEIGHT / 2)
        canvas.rotate(_WATERMARK_ANGLE)
        canvas.setFont(REGULAR, _WATERMARK_SIZE)
        canvas.setFillColor(FAINT)
        canvas.setFillAlpha(_WATERMARK_ALPHA)
        canvas.drawCentredString(0, -_WATERMARK_SIZE / 3, say("watermark"))
    canvas.restoreState()


def _draw_bar(canvas: Canvas) -> None:
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setFillColor(INK)
    canvas.setLineWidth(0.3 * mm)
    canvas.line(SIDE, _BAR_AT, SIDE + BAR, _BAR_AT)
    for x in (SIDE, SIDE + BAR):
        canvas.line(x, _BAR_AT - _TICK / 2, x, _BAR_AT + _TICK / 2)
    canvas.setFont(REGULAR, _SMALL)
    words = say("bar", length=f"{BAR / mm:g}")
    canvas.drawString(SIDE + BAR + _TICK, _BAR_AT - _SMALL / 3, words)
    canvas.restoreState()
