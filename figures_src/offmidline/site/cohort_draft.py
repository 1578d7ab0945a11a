"""What an analysis of the invented answers says, as the site keeps it between builds.

It imports the engine, which a build without changes does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Final

from offmidline import markup, messages
from offmidline.evidence import Proportion
from offmidline.exam.analysis import Analysis, Group, analyse
from offmidline.exam.analysis_plots import PLOTS
from offmidline.exam.item_statistics import ItemStatistic, group_size
from offmidline.exam.misunderstood import Misunderstanding
from offmidline.exam.reliability import Interval
from offmidline.exam.specimen_responses import Specimen
from offmidline.exam.told import of, span, told
from offmidline.items.models import MODELS
from offmidline.site import escape
from offmidline.site.drafts import CohortDraft

# Rows of the table of mistakes: the commonest tell enough.
_MISTAKES: Final = 6


def analysed(specimen: Specimen) -> Analysis:
    """The answers, analysed as ``offmidline analyse`` does."""
    return analyse(specimen.sheets, {specimen.form.form: specimen.form})


def draft_cohort(specimen: Specimen) -> CohortDraft:
    """The numbers and tables of the analysis, and the words of its plots."""
    analysis = analysed(specimen)
    (group,) = analysis.groups
    return CohortDraft(
        values={name: escape.text(value) for name, value in _values(group, specimen).items()},
        tables={
            "items": _items(group),
            "mistakes": _mistakes(analysis.mistakes[:_MISTAKES]),
        },
        plots={
            name: asdict(plot(name, group, _say("forms")).words) for name, plot in PLOTS.items()
        },
    )


def _values(group: Group, specimen: Specimen) -> dict[str, str]:
    found = group.reliability
    alpha = found.alpha
    miskeyed = next(one for one in group.items if specimen.miskeyed in one.asked.places.values())
    return {
        "candidates": str(group.people),
        "questions": str(len(group.items)),
        "mean": told(group.mean, 1),
        "deviation": told(group.deviation),
        "kr20": told(found.kr20),
        "kr21": told(found.kr21),
        "alpha-interval": span(*((alpha.low, alpha.high) if alpha else (None, None))),
        "error": told(found.error),
        "times": told(found.times, 1),
        "group": str(group_size(group.people)),
        "flagged": str(len(group.flagged)),
        "miskeyed": miskeyed.asked.name,
        "miskeyed-difficulty": told(miskeyed.difficulty.value),
        "miskeyed-discrimination": told(miskeyed.discrimination),
    }


def _items(group: Group) -> str:
    raised = {one.asked.name: names for one, names in group.flagged}
    rows = [_item(one, raised.get(one.asked.name, ())) for one in group.items]
    return _table("items", rows)


def _item(one: ItemStatistic, flags: Iterable[str]) -> list[str]:
    names = messages.section("site.cohort.flags")
    raised = ", ".join(names[flag] for flag in flags)
    offered = sum(option.functions is not None for option in one.options)
    return [
        _over(
            _say(
                "items.question",
                name=one.asked.name,
                title=escape.text(MODELS[one.asked.item.model].title),
            ),
            raised,
        ),
        _estimate(one.difficulty),
        told(one.discrimination),
        _estimate(one.corrected),
        told(None) if one.functioning is None else of(one.functioning, offered),
    ]


def _estimate(found: Interval | Proportion | None) -> str:
    """A value over its interval, so that the table stays narrow."""
    if found is None:
        return told(None)
    return _over(told(found.value), span(found.low, found.high))


def _over(first: str, second: str) -> str:
    """Two lines of a cell."""
    return f'{first}<br><span class="om-reason">{second}</span>' if second else first


def _mistakes(found: Iterable[Misunderstanding]) -> str:
    rows = [
        [escape.text(one.title), str(one.answers), of(one.people, one.met), _estimate(one.share)]
        for one in found
    ]
    return _table("mistakes", rows)


def _table(name: str, rows: Sequence[Sequence[str]]) -> str:
    heads = messages.section(f"site.cohort.{name}")["columns"]
    caption = _say(f"{name}.caption")
    return markup.table(f"cohort-{name}", caption, heads, [markup.Group("", rows)], "om-lookup")


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.cohort.{name}", **values)
