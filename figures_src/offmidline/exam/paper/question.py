"""What the candidates' paper and the key have in common: how a question is set."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from reportlab.platypus import KeepTogether

from offmidline.exam.form import Form, label
from offmidline.exam.letters import LETTERS, printed_order
from offmidline.exam.paper.figures import REDUCED, SHARES, Shown, side_by_side, whole
from offmidline.exam.paper.page import Bookmark
from offmidline.exam.paper.styles import HEIGHT, WIDTH, bullets, lettered, paragraph, say
from offmidline.items.item import Item


def public_title(form: Form) -> str:
    """What a form is called; a specimen says that it is one."""
    name = "title_specimen" if form.specimen else "title"
    return say(name, title=form.title, form=form.form)


def opening(form: Form, instructions: Sequence[str]) -> list[Any]:
    """The head of the first page, and what has to be known first."""
    facts = say("facts", form=form.form, minutes=form.minutes, questions=len(form.items))
    return [
        paragraph(form.title, "title", bold=True, after_mm=3),
        paragraph(facts, "heading", bold=True, after_mm=4),
        bullets(instructions),
    ]


def asked(item: Item, number: int) -> list[Any]:
    """The heading of a question, what is the case, and what is asked."""
    heading = say("question", number=number)
    return [
        Bookmark(label(number), heading),
        paragraph(heading, "heading", bold=True),
        paragraph(item.stem),
        paragraph(item.lead_in, bold=True),
    ]


def answers(item: Item, figures: Shown, pages: set[int], share: float = 1.0) -> list[Any]:
    """What is chosen from or put in order, drawings at a share of their full size; nothing where a
    number is asked for.
    """
    drawings = figures.options
    if drawings:
        return [side_by_side(drawings, LETTERS[: len(drawings)], pages, share)]
    return [lettered(printed_order(item))] if item.options else []


def together(
    text: Callable[[float], Sequence[Any]],
    item: Item,
    figures: Shown,
    number: int,
    pages: set[int],
) -> list[Any]:
    """A question that is not broken across pages where it fits on one.

    Its figures are made smaller where that brings them on one page, unless a number may have to be
    read off them. A figure for which there is no room beside its text even so stands on the page
    after it.

    Args:
        text: the question but for its figure, with drawings to choose from at a share of their
            full size.
        item, figures, number: the question, what is shown, and the question's number.
        pages: gets the numbers of the pages with a figure.
    """
    heading = say("figure", number=number)

    def at(share: float) -> list[Any]:
        return [piece for one in figures.stem for piece in whole(one, heading, pages, share)]

    least = 1.0 if item.numeric is not None else REDUCED
    for share in SHARES if figures.options else (1.0, least):
        everything = [*text(share), *at(share)]
        if _height(everything) <= HEIGHT:
            return [KeepTogether(everything)]
    shown = [KeepTogether(whole(one, heading, pages, least)) for one in figures.stem]
    overleaf = [paragraph(say("overleaf"), "small")] if shown else []
    return [KeepTogether([*text(1.0), *overleaf]), *shown]


def _height(pieces: Sequence[Any]) -> float:
    """Not less than what the pieces take in all."""
    return sum(
        float(piece.wrap(WIDTH, HEIGHT)[1] + piece.getSpaceBefore() + piece.getSpaceAfter())
        for piece in pieces
    )
