"""Figures on a page of text: their places in the flow, and their own PDFs put there.

Above a figure stands at which scale it is printed; what it says of that by itself, which holds at
one size only, is left out.

A place is an empty form object of the figure's size. It is filled when the flow is done: the
content of the figure's page becomes the content of the form, so that nothing is drawn again.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject
from reportlab.lib.units import mm
from reportlab.platypus import Flowable

from offmidline.exam.form import Form
from offmidline.exam.paper.styles import BETWEEN, HEIGHT, THEME, WIDTH, grid, paragraph, say
from offmidline.figures import VIEWS
from offmidline.figures.page.drawing import Drawing, Writing
from offmidline.figures.page.export import pdf_file
from offmidline.figures.page.metrics import ASCENT
from offmidline.figures.page.sheet import ratio_words
from offmidline.items.item import Item, Picture
from offmidline.plan import CasePlan

# Drawings to choose from stand so many beside each other, with such gaps. Common practice, no
# source.
_BESIDE: Final = 3
_GAP: Final = 2.5 * mm
# A figure that finds no room in its own size is printed at this share of it: 1:1 becomes 1:1.5, and
# 1:2 becomes 1:3. Its smallest words are then as large as the page's. Our choice.
REDUCED: Final = 2 / 3
# Shares of their full size at which drawings to choose from are tried until their question fits on
# a page; at the least of them their words are of 6 points still. Our choice.
SHARES: Final = (1.0, 0.9, 0.8, REDUCED)
# What a figure says of its scale.
_OWN_SCALE: Final = "scale"
# Patient, technique and caution below such a drawing.
_SAID_ALREADY: Final = ("case-title", "technique", "caution")
# How reportlab calls a form in a page's resources.
_FORM: Final = "/FormXob."


@dataclass(frozen=True)
class Figure:
    """A figure as a PDF of one page, and its size in points.

    Attributes:
        name: of its form object; no two of a file are alike, and it tells nothing.
        scale: drawn to real; None where it has none.
        cut: so much of its lower end is left out.
    """

    name: str
    pdf: bytes
    width: float
    whole_height: float
    scale: float | None = None
    cut: float = 0.0

    @property
    def height(self) -> float:
        """Height of what is shown of it."""
        return self.whole_height - self.cut


@dataclass(frozen=True)
class Shown:
    """The figures of a question: what its stem shows, and the drawings to choose from."""

    stem: tuple[Figure, ...]
    options: tuple[Figure, ...]


def shown_in(form: Form) -> tuple[Shown, ...]:
    """The figures of every question of a form, drawn from the question's own case."""
    return tuple(
        Shown(_stem_figures(item, planned, number), _option_figures(item, planned, number))
        for number, (item, planned) in enumerate(zip(form.items, form.plans, strict=True), 1)
    )


def _stem_figures(item: Item, planned: CasePlan, number: int) -> tuple[Figure, ...]:
    return tuple(
        _figure(f"{number}-{count}", picture, planned, _scaled(_drawing(picture, planned)))
        for count, picture in enumerate(item.pictures, 1)
    )


def _option_figures(item: Item, planned: CasePlan, number: int) -> tuple[Figure, ...]:
    return tuple(
        _bare_figure(f"{number}-{at}", option.picture, planned)
        for at, option in enumerate(item.options, 1)
        if option.picture is not None
    )


def _drawing(picture: Picture, planned: CasePlan) -> Drawing:
    return VIEWS[picture.view].draw(planned, picture.part)


def _scaled(drawing: Drawing) -> Drawing:
    """A drawing without its words about its scale, which hold at one size only."""
    if drawing.frame is None:
        return drawing
    return replace(drawing, items=[item for item in drawing.items if item.gid != _OWN_SCALE])


def _figure(
    name: str, picture: Picture, planned: CasePlan, drawing: Drawing, cut_mm: float = 0.0
) -> Figure:
    """A drawing in its own size."""
    words = VIEWS[picture.view].words(planned, picture.part)
    pdf = pdf_file(drawing, THEME, words, name, drawing.width)
    scale = None if drawing.frame is None else drawing.frame.scale
    return Figure(name, pdf, drawing.width * mm, drawing.height * mm, scale, cut_mm * mm)


def _bare_figure(name: str, picture: Picture, planned: CasePlan) -> Figure:
    """A drawing without what the page says already, which would be too small to read here."""
    drawing = _drawing(picture, planned)
    said = [
        item
        for item in drawing.items
        if isinstance(item, Writing) and item.gid.startswith(_SAID_ALREADY)
    ]
    kept = replace(drawing, items=[item for item in drawing.items if item not in said])
    cut = max((item.y + ASCENT * item.size for item in said), default=0.0)
    return _figure(name, picture, planned, kept, cut)


class Place(Flowable):  # type: ignore[misc]  # reportlab ships no types
    """The place of a figure, reduced by a factor.

    Attributes:
        pages: gets the number of the page on which it comes to stand.
    """

    def __init__(self, figure: Figure, factor: float, pages: set[int]) -> None:
        super().__init__()
        self.figure, self.factor, self.pages = figure, factor, pages
        self.width, self.height = figure.width * factor, figure.height * factor

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its size."""
        return self.width, self.height

    def draw(self) -> None:
        """Leave an empty form and note the page."""
        canvas, figure = self.canv, self.figure
        self.pages.add(canvas.getPageNumber())
        canvas.beginForm(figure.name, 0, figure.cut, figure.width, figure.whole_height)
        canvas.endForm()
        canvas.saveState()
        canvas.scale(self.factor, self.factor)
        canvas.translate(0, -figure.cut)
        canvas.doForm(figure.name)
        canvas.restoreState()


def whole(figure: Figure, heading: str, pages: set[int], share: float = 1.0) -> list[Any]:
    """A figure under its heading, which says its scale; what is too large for a page is reduced
    further.

    Args:
        figure, heading: the figure, and how it is called.
        pages: gets the number of the page on which it comes to stand.
        share: of its own size.
    """
    # The scale is told in full even where it takes a line more.
    room = HEIGHT - 2 * _title(heading).wrap(WIDTH, HEIGHT)[1] - BETWEEN
    factor = min(share, room / figure.height, WIDTH / figure.width)
    if figure.scale is not None:
        ratio = ratio_words(figure.scale * factor)
        heading = f"{heading} {say('scale', ratio=ratio)}"
    return [_title(heading), Place(figure, factor, pages)]


def _title(heading: str) -> Any:
    return paragraph(heading, "small", bold=True, before=BETWEEN)


def side_by_side(
    figures: Sequence[Figure], letters: Sequence[str], pages: set[int], share: float = 1.0
) -> Any:
    """Drawings to choose from, each under its letter, all at one scale; at a share of the size in
    which they fill the width.
    """
    width = (WIDTH - (_BESIDE - 1) * _GAP) / _BESIDE
    cells = [
        [
            paragraph(letter, bold=True, after_mm=0.5),
            Place(figure, share * width / figure.width, pages),
        ]
        for letter, figure in zip(letters, figures, strict=True)
    ]
    rows = [[*row, *[""] * (_BESIDE - len(row))] for row in _rows(cells)]
    style = [("RIGHTPADDING", (0, 0), (-1, -1), 0), ("VALIGN", (0, 0), (-1, -1), "TOP")]
    return grid(rows, [width + _GAP] * (_BESIDE - 1) + [width], style)


def _rows(cells: Sequence[Any]) -> Iterable[list[Any]]:
    return [list(cells[at : at + _BESIDE]) for at in range(0, len(cells), _BESIDE)]


def fill(pdf: bytes, figures: Iterable[Shown], title: str) -> bytes:
    """The file with its figures in their places, and nothing told about it but its title."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(pdf)))
    wanted = {
        f"{_FORM}{figure.name}": figure
        for shown in figures
        for figure in (*shown.stem, *shown.options)
    }
    for page in writer.pages:
        forms = page["/Resources"].get_object().get("/XObject", {})  # type: ignore[union-attr]
        for name in forms:
            _fill_form(writer, forms[name].get_object(), wanted[name])
    writer.metadata = {"/Title": title}
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _fill_form(writer: PdfWriter, form: Any, figure: Figure) -> None:
    page = PdfReader(io.BytesIO(figure.pdf)).pages[0]
    content = page.get_contents()
    form.set_data(b"" if content is None else content.get_data())
    form[NameObject("/Resources")] = page["/Resources"].clone(writer)
