"""What those who teach have beside a case: its right marking in numbers, and its questions, each
with its answer open.

HTML, with names for pictures and citations.
"""

from __future__ import annotations

from collections.abc import Iterable

from offmidline import amounts, messages
from offmidline.items.item import Item
from offmidline.items.models import MODELS
from offmidline.marking import Marking
from offmidline.markup import Group, table
from offmidline.plan import CasePlan
from offmidline.site import escape
from offmidline.site.amounts import kept_whole
from offmidline.site.item_draft import of_case, question, worked_answer


def model_answers(planned: CasePlan, items: Iterable[Item]) -> str:
    """A part of the case's page, under a heading of its own."""
    right = planned.right
    marking = _say("no_marking") if right is None else _marking(planned, right.marking)
    worked = "\n".join(map(_item, items))
    parts = [
        f"## {_say('title')} {{ #model-answers }}",
        _say("lead"),
        marking,
        _say("items"),
        worked,
    ]
    return kept_whole("\n\n".join(parts))


def _marking(planned: CasePlan, marking: Marking) -> str:
    """What the exercise asks for, in the order in which its form does."""
    outline = marking.outline
    surface = [
        ("offset", amounts.millimetres(outline.offset)),
        ("cranial_apex", amounts.millimetres(outline.cranial_apex)),
        ("caudal_apex", amounts.millimetres(outline.caudal_apex)),
        ("reach", amounts.millimetres(outline.reach)),
        ("caudal_shift", amounts.millimetres(outline.caudal_shift)),
    ]
    section = [
        ("depth", amounts.millimetres(marking.depth)),
        ("medial_cut_deg", amounts.degrees(marking.medial_cut_deg)),
        ("lateral_cut_deg", amounts.degrees(marking.lateral_cut_deg)),
        ("flap_thickness", amounts.millimetres(marking.flap_thickness)),
        ("undermining", amounts.millimetres(marking.undermining)),
        ("deep_stitches", str(marking.deep_stitches)),
    ]
    script = messages.section("site.exercise.script")
    chosen = [
        (script["side"], script["sides"][marking.side]),
        (script["openings"], _openings(planned, marking)),
    ]
    return table(
        "model-marking",
        _say("caption", case=planned.case.case),
        [messages.text("site.measures.quantity"), messages.text("site.measures.value")],
        [
            Group(
                messages.text("site.exercise.marking"),
                [*chosen, *((script["fields"][name], value) for name, value in surface)],
            ),
            Group(
                messages.text("site.exercise.section"),
                [(script["fields"][name], value) for name, value in section],
            ),
        ],
        "om-values",
    )


def _openings(planned: CasePlan, marking: Marking) -> str:
    levels = [
        amounts.millimetres(opening.at)
        for number, opening in enumerate(planned.case.findings.openings)
        if number in marking.excised_openings
    ]
    return _say("at", levels=", ".join(levels)) if levels else _say("no_opening")


def _item(item: Item) -> str:
    name = escape.text(MODELS[item.model].title)
    heading = f'<h3 class="om-item-name" id="model-{item.model}" data-search-exclude="">{name}</h3>'
    asks = question(item, of_case(item))
    return f'<div class="om-item">\n{heading}\n{asks}\n{worked_answer(item)}\n</div>'


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.model_answers.{name}", **values)
