"""The key: every question again with its right answer and why, and what each wrong one stands
for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any, Final

from reportlab.lib.units import mm

from offmidline import messages
from offmidline.exam.form import Form
from offmidline.exam.letters import LETTERS, printed_order, right_answer
from offmidline.exam.paper.figures import Shown
from offmidline.exam.paper.page import Face, Flow, pdf_of
from offmidline.exam.paper.question import (
    answers,
    asked,
    opening,
    public_title,
    together,
)
from offmidline.exam.paper.styles import FAINT, WIDTH, grid, paragraph, say
from offmidline.items.item import Item, Numeric, Standing
from offmidline.items.models import MODELS
from offmidline.items.shown import number as number_words
from offmidline.records import Source

_ANSWER: Final = 40 * mm
_MEANING: Final = 36 * mm
# Beyond the answer's decimals, so that the ends of what counts are told.
_FINER: Final = 2


def key_pdf(form: Form, shown: Sequence[Shown], sources: Mapping[str, Source]) -> bytes:
    """The key of a form and its figures."""
    title = say("key.title", title=public_title(form))

    def flow() -> Flow:
        pages: set[int] = set()
        content = opening(form, [say("key.note"), say("key.limit")])
        for at, (item, figures) in enumerate(zip(form.items, shown, strict=True), 1):
            told = [*_right(item), _wrong(item), *_told(item, sources)]
            text = partial(_text, item, at, figures, pages, told)
            content += together(text, item, figures, at, pages)
        return Flow(content, shown, pages)

    return pdf_of(Face(title, title, form.specimen), flow)


def _text(
    item: Item, number: int, figures: Shown, pages: set[int], told: Sequence[Any], share: float
) -> list[Any]:
    return [*asked(item, number), *answers(item, figures, pages, share), *told]


def _right(item: Item) -> list[Any]:
    said = [paragraph(say("key.right", answer=right_answer(item)), "heading", bold=True)]
    if item.numeric is not None:
        said.append(paragraph(_tolerance(item.numeric)))
    return [*said, paragraph(item.explanation)]


def _tolerance(asked_for: Numeric) -> str:
    decimals = asked_for.decimals + _FINER
    low, high = (
        number_words(asked_for.value + sign * asked_for.tolerance, asked_for.unit, decimals)
        for sign in (-1, 1)
    )
    return say("key.counts", low=low, high=high, why=asked_for.why)


def _wrong(item: Item) -> Any:
    """What each answer that is not right stands for; of an order, why each entry has its place."""
    heads, rows = _TABLES.get(item.kind, _of_options)(item)
    cells = [
        [paragraph(text, "small", bold=at == 0, after_mm=0) for text in row]
        for at, row in enumerate([heads, *rows])
    ]
    style = [
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, FAINT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    return grid(cells, [_ANSWER, _MEANING, WIDTH - _ANSWER - _MEANING], style, heads=1)


_Rows = tuple[Sequence[str], list[Sequence[str]]]


def _of_options(item: Item) -> _Rows:
    rows = [
        (say("key.lettered", letter=letter, text=option.text), option.title, option.feedback)
        for letter, option in zip(LETTERS, item.options, strict=False)
        if not option.right
    ]
    return _heads("wrong"), list(rows)


def _of_number(item: Item) -> _Rows:
    slips = item.numeric.slips if item.numeric is not None else ()
    return _heads("wrong"), [(slip.text, slip.title, slip.feedback) for slip in slips]


def _of_order(item: Item) -> _Rows:
    letters = {text: letter for letter, text in printed_order(item)}
    rows = [
        (
            say("key.lettered", letter=letters[entry.text], text=entry.text),
            entry.title,
            entry.feedback,
        )
        for entry in item.options
    ]
    return _heads("order"), list(rows)


_TABLES: Final[Mapping[str, Callable[[Item], _Rows]]] = {"numeric": _of_number, "order": _of_order}


def _heads(name: str) -> list[str]:
    return list(messages.section(f"exam.paper.key.{name}").values())


def _told(item: Item, sources: Mapping[str, Source]) -> list[Any]:
    """On what the answer stands, and from what the question was made."""
    standing = paragraph(_standing(item.standing, sources), "small")
    family = say("key.family", title=MODELS[item.model].title, model=item.model, case=item.case)
    return [standing, paragraph(f"{family} {say('key.ident', ident=item.ident)}", "small")]


def _standing(standing: Standing, sources: Mapping[str, Source]) -> str:
    cited = "; ".join(_cited(sources[name]) for name in standing.source if name in sources)
    status = messages.section("exam.paper.key.status")[standing.status]
    on = "; ".join(filter(None, (status, cited)))
    return say("key.standing", title=standing.title, why=standing.why, on=on)


def _cited(source: Source) -> str:
    """First author or body, year, and the id under which the handbook lists it."""
    people = source.author or source.editor
    first = people[0] if people else None
    name = (first.literal or first.family or first.given) if first is not None else None
    who = name or source.publisher or source.title
    who = say("key.others", first=who) if people[1:] else who
    return say("key.cited", who=who, year=source.year or say("key.undated"), ident=source.id)
