"""Drawings through matplotlib: artists on a bare figure, in millimetres.

No pyplot and no axes. One affine transform takes millimetres of the page to the figure's pixels; in
SVG one pixel is one millimetre, so that the published coordinates are millimetres too. The settings
that make the output the same on every machine are kept here.
"""

from __future__ import annotations

import io
import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

from matplotlib import rc_context
from matplotlib.artist import Artist
from matplotlib.backend_bases import GraphicsContextBase, RendererBase
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.transforms import Affine2D, Transform

from offmidline.figures.page.drawing import ANCHOR_SHARE, Drawing, Shape, Writing
from offmidline.figures.page.metrics import shown_glyphs, width
from offmidline.figures.page.style import FONT, PALETTES, Role, Theme

MM_PER_INCH: Final = 25.4
# The resolution at which SVG and PDF count: points.
_POINTS: Final = 72.0

# Enough for print on paper.
DOTS_PER_INCH: Final = 300

_PDF_OMITTED: Final = ("CreationDate", "Creator", "Producer")
_NO_METADATA: Final[dict[str, Any]] = {
    "Date": None,
    "Creator": None,
    "Format": None,
    "Type": None,
}


class DrawingArtist(Artist):
    """A whole drawing as one artist, each item in a group of the backend that carries its name.

    Attributes:
        points: points to the millimetre of the page.
        builds_font_in: whether the format carries its own font. Texts then start where their anchor
            puts them, and what the font lacks is replaced; otherwise both are left to whoever shows
            the file.
    """

    def __init__(
        self, drawing: Drawing, palette: Mapping[Role, str], points: float, *, builds_font_in: bool
    ) -> None:
        super().__init__()
        self.drawing, self.palette = drawing, palette
        self.points, self.builds_font_in = points, builds_font_in

    def draw(self, renderer: RendererBase) -> None:
        """Paint the items in their order."""
        millimetres = self.get_transform()
        for name, item in self.drawing.named:
            renderer.open_group("item", name)
            gc = renderer.new_gc()
            if isinstance(item, Shape):
                self._paint(renderer, gc, item, millimetres)
            else:
                self._write(renderer, gc, item, millimetres)
            gc.restore()
            renderer.close_group("item")

    def _paint(
        self, renderer: RendererBase, gc: GraphicsContextBase, shape: Shape, millimetres: Transform
    ) -> None:
        gc.set_linewidth(0)
        if shape.stroke is not None and shape.line is not None:
            pen = shape.line.width * self.points
            gc.set_linewidth(pen)
            gc.set_foreground(_rgba(self.palette[shape.stroke]), isRGBA=True)
            gc.set_joinstyle("round")
            if shape.line.dashes:
                gc.set_dashes(0, [pen * part for part in shape.line.dashes])
        fill = None if shape.fill is None else _rgba(self.palette[shape.fill])
        renderer.draw_path(gc, Path(shape.trace.points, shape.trace.codes), millimetres, fill)

    def _write(
        self,
        renderer: RendererBase,
        gc: GraphicsContextBase,
        writing: Writing,
        millimetres: Transform,
    ) -> None:
        text, x, y = writing.text, writing.x, writing.y
        if self.builds_font_in:
            text = shown_glyphs(text, bold=writing.bold)
            back = ANCHOR_SHARE[writing.anchor] * width(text, writing.size, bold=writing.bold)
            angle = math.radians(writing.angle)
            x, y = x - back * math.cos(angle), y - back * math.sin(angle)
        px, py = millimetres.transform((x, y))
        if renderer.flipy():
            py = renderer.get_canvas_width_height()[1] - py
        gc.set_foreground(_rgba(self.palette[writing.role]), isRGBA=True)
        font = _font(writing.size * self.points, writing.bold)
        renderer.draw_text(gc, px, py, text, font, writing.angle)


def to_svg(drawing: Drawing, theme: Theme, salt: str) -> str:
    """The drawing as matplotlib's SVG, one user unit to the millimetre."""
    out = io.StringIO()
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": salt, "path.simplify": False}):
        figure = _figure(drawing, theme, 1.0, builds_font_in=False)
        FigureCanvasSVG(figure).print_figure(out, format="svg", metadata=_NO_METADATA)
    return out.getvalue()


def to_pdf(drawing: Drawing, theme: Theme, width_mm: float, title: str, description: str) -> bytes:
    """The drawing as one PDF page of a width (mm), with its font built in."""
    from matplotlib.backends.backend_pdf import FigureCanvasPdf

    out = io.BytesIO()
    points = _POINTS / MM_PER_INCH * width_mm / drawing.width
    told = {"Title": title, "Subject": description}
    with rc_context({"pdf.fonttype": 42, "path.simplify": False}):
        figure = _figure(drawing, theme, points, builds_font_in=True)
        FigureCanvasPdf(figure).print_figure(
            out, format="pdf", metadata={**told, **dict.fromkeys(_PDF_OMITTED)}
        )
    return out.getvalue()


def to_png(drawing: Drawing, theme: Theme, width_mm: float, title: str, description: str) -> bytes:
    """The drawing as a PNG picture of a width (mm), fine enough for print."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    out = io.BytesIO()
    points = _POINTS / MM_PER_INCH * width_mm / drawing.width
    told = {"Title": title, "Description": description, "Software": None}
    with rc_context({"path.simplify": False, "text.hinting": "none"}):
        figure = _figure(drawing, theme, points, builds_font_in=True)
        FigureCanvasAgg(figure).print_figure(out, format="png", dpi=DOTS_PER_INCH, metadata=told)
    return out.getvalue()


def _figure(drawing: Drawing, theme: Theme, points: float, *, builds_font_in: bool) -> Figure:
    """A bare figure with the drawing; ``points`` is points to the mm of the page."""
    size = (drawing.width * points / _POINTS, drawing.height * points / _POINTS)
    figure = Figure(figsize=size, dpi=_POINTS, frameon=False)
    artist = DrawingArtist(drawing, PALETTES[theme], points, builds_font_in=builds_font_in)
    artist.set_transform(Affine2D().scale(points / _POINTS) + figure.dpi_scale_trans)
    figure.add_artist(artist)
    return figure


@lru_cache(maxsize=64)
def _font(size: float, bold: bool) -> FontProperties:
    return FontProperties(family=[FONT], size=size, weight="bold" if bold else "normal")


@lru_cache(maxsize=256)
def _rgba(colour: str) -> tuple[float, float, float, float]:
    red, green, blue = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    return red, green, blue, 1.0
