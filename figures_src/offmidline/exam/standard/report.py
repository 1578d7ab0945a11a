"""The report of a cut score: one HTML file, and its numbers as a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from offmidline import messages
from offmidline.exam.csv_text import Cell, csv_text
from offmidline.exam.html import bullets, document, heading, paragraph, table
from offmidline.exam.standard.concord import Coefficient
from offmidline.exam.standard.cut import Cut
from offmidline.exam.told import span, told
from offmidline.markup import Group as Rows

REPORT: Final = "report.html"


@dataclass(frozen=True)
class Standard:
    """What a method found, ready to be told.

    Attributes:
        method: its name, as the command has it.
        cut: None where there is none; then ``miss`` says in words why.
        intro: what was done, in words.
        measures: further results by their names in ``exam.standard.result``, as printed.
        numbers: the same for programs, by name.
        warnings: what a reader should know first, in words.
        agreement: None where the method has no such thing.
        heads, ratings: the table of what the judges gave.
        figure: HTML.
    """

    method: str
    cut: Cut | None
    miss: str
    intro: str
    measures: Sequence[tuple[str, str]]
    numbers: Sequence[tuple[str, Cell]]
    warnings: Sequence[str]
    agreement: Sequence[Coefficient] | None
    heads: Sequence[str]
    ratings: Sequence[Sequence[str]]
    figure: str


def standard_files(standard: Standard) -> dict[str, bytes]:
    """The files of a report by their names."""
    return {
        REPORT: standard_html(standard),
        "cut.csv": csv_text(("measure", "value"), _numbers(standard)),
    }


def title(method: str) -> str:
    """What a report of a method is called."""
    return _say("title", method=_say(f"methods.{method}"))


def standard_html(standard: Standard) -> bytes:
    """The report."""
    parts = [paragraph(text) for text in (standard.intro, *standard.warnings)]
    parts.append(heading(2, _say("result.heading")))
    if standard.cut is None:
        parts.append(paragraph(standard.miss))
    rows = [*_cut(standard.cut), *standard.measures]
    told_rows = [(_say(f"result.{name}"), value) for name, value in rows]
    parts.append(_table("result", _section("result")["columns"], told_rows))
    parts.append(standard.figure)
    if standard.agreement is not None:
        parts.append(heading(2, _say("agreement.heading")))
        parts.append(_agreement(standard.agreement))
    parts.append(heading(2, _say("ratings.heading")))
    parts.append(_table("ratings", standard.heads, standard.ratings))
    notes = _section("notes")
    parts.append(heading(2, notes["heading"]))
    parts.append(bullets([*notes[standard.method], *notes["common"]]))
    return document(title(standard.method), parts)


def cut_words(cut: Cut) -> str:
    """A cut in marks, and in per cent where the highest mark is known."""
    if cut.of is None or cut.percent is None:
        return _say("marks", value=told(cut.value))
    return _say("of", value=told(cut.value), of=told(cut.of, 0), percent=told(cut.percent, 1))


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.standard.{name}", **values)


def _section(name: str) -> Any:
    return messages.section(f"exam.standard.{name}")


def _table(name: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    return table(name, _say(f"{name}.caption"), heads, [Rows("", rows)])


def _cut(cut: Cut | None) -> Iterable[tuple[str, str]]:
    if cut is not None:
        yield "cut", cut_words(cut)
        yield "error", told(cut.error)
        yield "interval", span(cut.low, cut.high)


def _agreement(found: Sequence[Coefficient]) -> str:
    if not found:
        return paragraph(_say("agreement.none"))
    rows = [
        (_say(f"coefficients.{one.name}"), told(one.value), span(one.low, one.high))
        for one in found
    ]
    return _table("agreement", _section("agreement")["columns"], rows)


def _numbers(standard: Standard) -> Iterable[tuple[str, Cell]]:
    cut = standard.cut
    if cut is not None:
        yield from (("cut", cut.value), ("of", cut.of), ("percent", cut.percent))
        yield from (("error", cut.error), ("low", cut.low), ("high", cut.high))
    yield from standard.numbers
    for one in standard.agreement or ():
        yield one.name, one.value
