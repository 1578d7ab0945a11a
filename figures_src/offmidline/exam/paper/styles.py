"""Lengths, letters and the flow's smallest pieces; every text is plain and is escaped here."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from html import escape
from itertools import chain
from pathlib import Path
from typing import Any, Final

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph, Table, TableStyle

from offmidline import messages
from offmidline.figures.page.metrics import shown_glyphs
from offmidline.figures.page.style import FONT, PALETTES, Theme

# Papers are copied on machines without colour, and no figure tells anything by colour alone.
THEME: Final[Theme] = "grey"
INK: Final = HexColor(PALETTES[THEME]["ink"])
MUTED: Final = HexColor(PALETTES[THEME]["muted"])
FAINT: Final = HexColor(PALETTES[THEME]["faint"])

# Everything on the page in points; sizes and gaps are common practice, no source.
PAGE_WIDTH, PAGE_HEIGHT = A4
SIDE: Final = 20 * mm
TOP: Final = 20 * mm
BOTTOM: Final = 30 * mm
WIDTH: Final = PAGE_WIDTH - 2 * SIDE
HEIGHT: Final = PAGE_HEIGHT - TOP - BOTTOM
LETTER_WIDTH: Final = 9 * mm
_BULLET_WIDTH: Final = 5 * mm
# Above a question, and above its figure.
BETWEEN: Final = 7 * mm

REGULAR: Final = FONT
BOLD: Final = f"{FONT} Bold"
_FILES: Final = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}

_SIZES: Final = {"title": 18.0, "heading": 11.0, "text": 10.0, "small": 8.5, "caution": 7.0}
_LEADING: Final = 1.4
_CELL_GAP: Final = 6.0
# Between an option and the next one's letter in the same line.
_LINE_GAP: Final = 5 * mm


@cache
def load_fonts() -> None:
    """Make the font of the figures known to reportlab."""
    import matplotlib as mpl  # slow to import

    folder = Path(mpl.get_data_path()) / "fonts" / "ttf"
    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)


@cache
def _style(size: str, bold: bool, after_mm: float, before: float) -> ParagraphStyle:
    load_fonts()
    points = _SIZES[size]
    return ParagraphStyle(
        f"{size}-{bold}-{after_mm}-{before}",
        fontName=BOLD if bold else REGULAR,
        fontSize=points,
        leading=points * _LEADING,
        textColor=INK,
        spaceAfter=after_mm * mm,
        spaceBefore=before,
    )


def paragraph(
    text: str,
    size: str = "text",
    *,
    bold: bool = False,
    after_mm: float = 2.0,
    before: float = 0.0,
) -> Any:
    """A paragraph of plain text; what the font lacks is a box, as in figures."""
    words = escape(shown_glyphs(text, bold=bold), quote=False)
    return Paragraph(words, _style(size, bold, after_mm, before))


def bullets(lines: Sequence[str]) -> Any:
    """Sentences, each behind a dot."""
    cells = [[paragraph("•", after_mm=0), paragraph(line, after_mm=0)] for line in lines]
    style = [("VALIGN", (0, 0), (-1, -1), "TOP")]
    return grid(cells, [_BULLET_WIDTH, WIDTH - _BULLET_WIDTH], style)


def lettered(rows: list[tuple[str, str]]) -> Any:
    """Texts, each behind its letter: in one line where all are short, else one below the other."""
    cells = [
        [paragraph(letter, bold=True, after_mm=0), paragraph(text, after_mm=0)]
        for letter, text in rows
    ]
    room = WIDTH / len(rows) - LETTER_WIDTH
    longest = max(pdfmetrics.stringWidth(text, REGULAR, _SIZES["text"]) for _, text in rows)
    style = [("VALIGN", (0, 0), (-1, -1), "TOP")]
    if longest < room - _LINE_GAP:
        return grid([[*chain(*cells)]], [LETTER_WIDTH, room] * len(rows), style)
    return grid(cells, [LETTER_WIDTH, WIDTH - LETTER_WIDTH], style)


def grid(
    cells: list[list[Any]],
    widths: list[float],
    style: list[tuple[Any, ...]],
    heights: list[float] | None = None,
    heads: int = 0,
) -> Any:
    """A table at the left edge of the text; its heads stand again where it goes on."""
    plain = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), _CELL_GAP),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("TEXTCOLOR", (0, 0), (-1, -1), INK),
        ("FONT", (0, 0), (-1, -1), REGULAR, _SIZES["text"]),
    ]
    return Table(
        cells,
        widths,
        heights,
        repeatRows=heads,
        style=TableStyle([*plain, *style]),
        hAlign="LEFT",
        spaceBefore=1 * mm,
        spaceAfter=2 * mm,
    )


def say(name: str, /, **values: object) -> str:
    """The words of printed papers."""
    return messages.text(f"exam.paper.{name}", **values)
