"""The complications as one table, whole by itself, which a script can narrow by day and signs.

They stand in the order in which they come, so that the table reads like a calendar. Citations and
published results are still named; they become words and numbers later.
"""

from __future__ import annotations

import json
import math
import posixpath
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from offmidline import markup, messages, quantities
from offmidline.records import Complication, Library
from offmidline.records.complication import GradedAs, RaisedBy
from offmidline.site import escape
from offmidline.site.standing import standing
from offmidline.site.template import unknown

PAGE: Final = "complications.md"
_TABLE: Final = "recogniser-table"
# A day may come out of months with an error of rounding, which must not move it to another day.
_DECIMALS: Final = 6
# From the smallest: the longest time that is told in a unit.
_UNITS: Final = (("minutes", 1), ("hours", 72), ("days", 31), ("weeks", 12), ("months", 24))
_HEADS: Final = ("complication", "seen", "done", "more")
# A table that style sheets show as cards stays a table for those who hear it.
_ROLES: Final = {"head": "columnheader", "row": "row", "title": "rowheader", "cell": "cell"}


def recogniser(library: Library) -> str:
    """The table of complications, its citations and results still named."""
    words = messages.section("site.recogniser")
    every = sorted(library.complications.values(), key=_place)
    used = {sign.sign for one in every for sign in one.signs}
    titles = messages.section("site.signs")
    signs = [[sign, title] for sign, title in titles.items() if sign in used]
    dangers = [
        f'<a href="#{anchor(one.complication)}">{escape.text(one.title)}</a>: '
        f"{escape.text(one.danger)}"
        for one in every
        if one.danger is not None
    ]
    always = f"<p>{words['always']}</p>\n{markup.bullets(dangers)}\n" if dangers else ""
    return (
        f'<div class="om-recogniser" id="recogniser-box" data-signs="{_data(signs)}"'
        f' data-words="{_data(dict(words["script"]))}">\n'
        f'<div class="om-dangers">\n{always}</div>\n'
        f"{_table(library, every)}\n</div>"
    )


def link(library: Library, name: str, page: str) -> str:
    """A link from a page to a complication's row. Raises UnknownNameError."""
    if name not in library.complications:
        raise unknown(name, library.complications)
    way = posixpath.relpath(PAGE, posixpath.dirname(page) or ".")
    title = library.complications[name].title
    return f'<a href="{way}#{anchor(name)}">{escape.text(_lower(title))}</a>'


def anchor(name: str) -> str:
    """The id of a complication's row."""
    return f"complication-{name}"


def days(one: Complication) -> tuple[int, int | None]:
    """The first and the last day of a complication's usual time, counted from the day of the
    operation, day 0.
    """
    last = one.window.end
    return _day(one.window.start), None if last is None else _day(last)


def span(start: float, end: float | None) -> str:
    """A time after the operation in words, from two times in months: ``day 3 to day 21``."""
    name = "from" if end is None else "first" if start == 0 else "between"
    if name == "between" and _day(start) > 0 and _unit(end or 0) in ("hours", "days"):
        name = "days"
    return messages.text(
        f"site.recogniser.span.{name}",
        start=quantities.written(start, "duration", _unit(start)),
        end="" if end is None else quantities.written(end, "duration", _unit(end)),
        first=_day(start),
        last="" if end is None else _day(end),
    )


def _unit(months: float) -> str:
    """The unit in which a time is told: the smallest that does not make a big number of it."""
    for unit, most in _UNITS:
        number = round(months / float(quantities.UNITS["duration"][unit]), _DECIMALS)
        if number <= most and (number == int(number) or unit == "months"):
            return unit
    return "years"


def _day(months: float) -> int:
    number = months / float(quantities.UNITS["duration"]["days"])
    return math.floor(round(number, _DECIMALS))


def _place(one: Complication) -> tuple[float, float, str]:
    end = one.window.end
    return _day(one.window.start), math.inf if end is None else end, one.complication


def _table(library: Library, every: Iterable[Complication]) -> str:
    words = messages.section("site.recogniser")
    heads = [words["heads"][name] for name in _HEADS]
    head = "".join(f'<th scope="col" role="{_ROLES["head"]}">{cell}</th>' for cell in heads)
    rows = "\n".join(_row(library, one, heads) for one in every)
    return (
        f'<div class="om-scroll" role="region" tabindex="0" aria-labelledby="{_TABLE}-caption">\n'
        f'<table class="om-table om-cards om-lookup" id="{_TABLE}" role="table">\n'
        f'<caption id="{_TABLE}-caption">{words["caption"]}</caption>\n'
        f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>\n'
        f'<tbody role="rowgroup">\n{rows}\n</tbody></table>\n</div>'
    )


def _row(library: Library, one: Complication, heads: Sequence[str]) -> str:
    first, last = days(one)
    signs = " ".join(sign.sign for sign in one.signs)
    danger = ' data-danger=""' if one.danger is not None else ""
    cells = zip(heads[1:], (_seen(one), _done(one), _more(library, one)), strict=True)
    body = "".join(
        f'<td role="{_ROLES["cell"]}"><span class="om-card-head" aria-hidden="true">{head}</span>'
        f"{cell}</td>"
        for head, cell in cells
    )
    return (
        f'<tr role="{_ROLES["row"]}" id="{anchor(one.complication)}" data-from="{first}"'
        f' data-to="{"" if last is None else last}" data-signs="{signs}"{danger}>'
        f'<th scope="row" role="{_ROLES["title"]}">{_title(one)}</th>{body}</tr>'
    )


def _title(one: Complication) -> str:
    when = "" if one.when is None else f'<span class="om-reason">{escape.text(one.when)}</span>'
    time = span(one.window.start, one.window.end)
    return (
        f'<span class="om-title">{escape.text(one.title)}</span> '
        f'<span class="om-window">{time}</span>{when}'
    )


def _seen(one: Complication) -> str:
    titles = messages.section("site.signs")
    signs = markup.bullets(
        (f"<b>{titles[sign.sign]}:</b> {escape.text(sign.says)}" for sign in one.signs), "om-signs"
    )
    return f"{signs}{_said('normal', escape.text(one.normal))}"


def _done(one: Complication) -> str:
    call = messages.text("site.recogniser.call", whom=escape.text(one.to))
    return (
        f"{_said('first', escape.text(one.first))}<p><b>{call}</b> {escape.text(one.escalate)}</p>"
    )


def _more(library: Library, one: Complication) -> str:
    parts = []
    if one.frequency:
        facts = [_counted(library, row) for row in one.frequency]
        parts.append(_listed("frequency", facts))
    if one.raised_by:
        parts.append(_listed("raised", [_raised(factor) for factor in one.raised_by]))
    if one.grades:
        parts.append(_listed("grades", [_graded(library, grade) for grade in one.grades]))
    stand = standing(one.status, one.source)
    return "".join(parts) + (f"<p>{stand}</p>" if stand else "")


def _counted(library: Library, row: str) -> str:
    """A published result and whom it was found in: a rate of other patients must not pass for one
    of this operation.
    """
    known = library.evidence.get(row.partition(".")[0])
    about = "" if known is None else " ".join((f"{known.subject}.", *known.cautions))
    about = about[:1].upper() + about[1:]
    return f'{{{{ fact:{row} }}}} <span class="om-reason">{escape.text(about)}</span>'


def _raised(factor: RaisedBy) -> str:
    title = messages.section("site.factors")[factor.factor]
    says = "" if factor.says is None else f", {escape.text(factor.says)}"
    cited = standing(factor.status, factor.source) if factor.source else ""
    return f"{title}{says} {cited or standing(factor.status, ())}".strip()


def _graded(library: Library, graded: GradedAs) -> str:
    system = library.gradings.get(graded.system)
    title = escape.text(graded.system if system is None else system.title)
    return f"{title} {escape.text(graded.grade)}: {escape.text(graded.when)}"


def _said(name: str, html: str) -> str:
    return f"<p><b>{messages.text(f'site.recogniser.{name}')}</b> {html}</p>"


def _listed(name: str, items: Iterable[str]) -> str:
    heading = messages.text(f"site.recogniser.{name}")
    return f'<p class="om-list-head"><b>{heading}</b></p>{markup.bullets(items)}'


def _data(value: Mapping[str, str] | Sequence[Sequence[str]]) -> str:
    """A value as JSON for a data attribute."""
    return escape.attribute(json.dumps(value, ensure_ascii=False))


def _lower(title: str) -> str:
    """A title inside a sentence: its first letter small, unless it is a word of capitals."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]
