"""Grading systems on pages: tables of what is asked and what it comes to, whole by themselves, and
what a script needs for a calculator under them.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import groupby
from typing import Any, Final

from offmidline import markup, messages
from offmidline.grading import maximum
from offmidline.markup import Group
from offmidline.records import Band, Grading, Library, Part
from offmidline.site import escape
from offmidline.site.standing import standing
from offmidline.site.template import unknown

_KIND: Final = "om-reasons om-lookup"


def grading(library: Library, name: str) -> str:
    """A grading system by its id, its citations still named. Raises UnknownNameError."""
    if name not in library.gradings:
        raise unknown(name, library.gradings)
    system = library.gradings[name]
    stand = standing(system.status, system.source)
    tables = [_grades(system)] if system.questions else [_parts(system), _bands(system)]
    convention = f"<b>{_word('convention')}</b> {escape.text(system.convention)}"
    embedded = escape.attribute(json.dumps(data(system), ensure_ascii=False))
    return "\n".join(
        [
            f'<div class="om-grading" id="grading-{name}" data-grading="{embedded}">',
            f"<p>{escape.text(system.purpose)} {stand}</p>",
            f"<p>{escape.text(system.applies)}</p>",
            f"<p>{convention}</p>",
            *tables,
            "</div>",
        ]
    )


def data(system: Grading) -> dict[str, Any]:
    """What the calculator of a system needs: its questions and grades, or its parts and bands."""
    shared = {"title": system.title, "words": dict(messages.section("site.gradings.script"))}
    if system.questions:
        return shared | {
            "start": system.start,
            "questions": [one.model_dump(exclude_none=True) for one in system.questions],
            "grades": {
                one.grade: {"title": one.title, "means": one.means} for one in system.grades
            },
        }
    most = maximum(system)
    return shared | {
        "parts": [one.model_dump() for one in system.parts],
        "bands": [
            {"from": band.start, "to": _end(band, most), "title": band.title}
            for band in system.bands
        ],
    }


def _grades(system: Grading) -> str:
    titles = messages.section("site.gradings.groups")
    groups = [
        Group(
            titles[group] if group else "",
            [(escape.text(one.title), escape.text(one.means)) for one in some],
        )
        for group, some in groupby(system.grades, key=lambda one: one.group)
    ]
    heads = [_word("grade"), _word("means")]
    return _table(system, "grades", heads, groups)


def _parts(system: Grading) -> str:
    rows = [(_part_title(part), _choices(part)) for part in system.parts]
    return _table(system, "parts", [_word("part"), _word("points")], [Group("", rows)])


def _bands(system: Grading) -> str:
    most = maximum(system)
    rows = [
        (_word("range", first=band.start, last=_end(band, most)), escape.text(band.title))
        for band in system.bands
    ]
    return _table(system, "bands", [_word("sum"), _word("band")], [Group("", rows)])


def _part_title(part: Part) -> str:
    title = escape.text(part.title)
    return title if part.days == 1 else _word("daily", title=title, days=part.days)


def _choices(part: Part) -> str:
    said = [
        _word("choice", title=escape.text(choice.title), points=choice.points)
        for choice in part.choices
    ]
    return "; ".join(said)


def _end(band: Band, most: int) -> int:
    return most if band.end is None else band.end


def _table(system: Grading, name: str, heads: Sequence[str], groups: Sequence[Group]) -> str:
    caption = _word(f"{name}_caption", title=escape.text(system.title))
    return markup.table(f"grading-{system.grading}-{name}", caption, heads, groups, _KIND)


def _word(name: str, **values: object) -> str:
    return messages.text(f"site.gradings.{name}", **values)
