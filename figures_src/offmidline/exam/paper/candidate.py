"""The paper that candidates write in. It knows nothing of which answer is right."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any, Final

from reportlab.lib.units import mm
from reportlab.platypus import Spacer

from offmidline import messages
from offmidline.exam.form import Form
from offmidline.exam.paper.figures import Shown
from offmidline.exam.paper.page import Face, Flow, pdf_of
from offmidline.exam.paper.question import answers, asked, opening, public_title, together
from offmidline.exam.paper.styles import FAINT, INK, WIDTH, grid, paragraph, say
from offmidline.items.item import Item
from offmidline.items.shown import unit_text

# Room to write in. Common practice, no source.
_LINE: Final = 9 * mm
_LINES: Final = 3
_BOX: Final = 9 * mm
_LABEL: Final = 32 * mm
_NUMBER: Final = 36 * mm
_CANDIDATE: Final = 60 * mm
_ABOVE_NAME: Final = 3 * mm


def candidate_pdf(form: Form, shown: Sequence[Shown]) -> bytes:
    """The candidates' paper of a form and its figures."""
    title = public_title(form)

    def flow() -> Flow:
        pages: set[int] = set()
        content = [*opening(form, _instructions()), Spacer(0, _ABOVE_NAME), _candidate()]
        for number, (item, figures) in enumerate(zip(form.items, shown, strict=True), 1):
            text = partial(_text, item, number, figures, pages)
            content += together(text, item, figures, number, pages)
        return Flow(content, shown, pages)

    return pdf_of(Face(title, title, form.specimen), flow)


def _text(item: Item, number: int, figures: Shown, pages: set[int], share: float) -> list[Any]:
    return [*asked(item, number), *answers(item, figures, pages, share), *_space(item)]


def _instructions() -> list[str]:
    return list(messages.section("exam.paper.instructions").values())


def _candidate() -> Any:
    return _boxes(say("candidate"), [_CANDIDATE])


def _space(item: Item) -> list[Any]:
    """Where the answer is written; a number has room for the way to it."""
    if item.numeric is not None:
        unit = unit_text(item.numeric.unit).strip()
        return [_working(), _boxes(say("answer"), [_NUMBER], unit)]
    if item.kind == "order":
        return [_boxes(say("order"), [_BOX] * len(item.shown))]
    return [_boxes(say("answer"), [_BOX])]


def _working() -> Any:
    words = paragraph(say("working"), "small", after_mm=0)
    rules = [("LINEBELOW", (0, 0), (-1, -1), 0.4, FAINT)]
    return grid([[words], *[[""]] * (_LINES - 1)], [WIDTH], rules, [_LINE] * _LINES)


def _boxes(words: str, widths: list[float], unit: str = "") -> Any:
    """Boxes behind their words, and the unit behind them."""
    after = WIDTH - _LABEL - sum(widths)
    cells = [[words, *[""] * len(widths), f" {unit}"]]
    last = len(widths)
    style = [
        ("BOX", (1, 0), (last, 0), 0.8, INK),
        ("INNERGRID", (1, 0), (last, 0), 0.8, INK),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    ]
    return grid(cells, [_LABEL, *widths, after], style, [_BOX])
