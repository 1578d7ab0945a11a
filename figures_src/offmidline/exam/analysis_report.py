"""The analysis of a paper as a report for the examiner: one HTML file and tables beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from offmidline import messages
from offmidline.exam.analysis import Analysis, Group
from offmidline.exam.analysis_plots import Plotted, item_plot, score_plot
from offmidline.exam.analysis_tables import analysis_tables
from offmidline.exam.families import Family
from offmidline.exam.html import bullets, document, figure, heading, paragraph, table
from offmidline.exam.item_statistics import ItemStatistic, OptionStatistic
from offmidline.exam.misunderstood import Misunderstanding
from offmidline.exam.reliability import Interval
from offmidline.exam.timing import Times
from offmidline.exam.told import of, percent, told, within
from offmidline.items.models import MODELS
from offmidline.markup import Group as Rows

REPORT: Final = "report.html"


def analysis_files(analysis: Analysis) -> dict[str, bytes]:
    """The files of a report by their names."""
    return {REPORT: analysis_html(analysis), **analysis_tables(analysis)}


def analysis_html(analysis: Analysis) -> bytes:
    """The report."""
    people = sum(group.people for group in analysis.groups)
    forms = [form for group in analysis.groups for form in group.marks.forms]
    intro = _say("intro", paper=analysis.paper, candidates=people, forms=_named(forms, "forms"))
    parts = [paragraph(_say("specimen"))] if analysis.specimen else []
    parts.append(paragraph(intro))
    for number, group in enumerate(analysis.groups, 1):
        parts += _group(group, f"g{number}")
    parts += _families(analysis.families)
    parts += _mistakes(analysis)
    parts += [heading(2, _say("notes.heading")), bullets(_section("notes")["lines"])]
    return document(_say("title", title=analysis.title), parts)


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.statistics.{name}", **values)


def _section(name: str) -> Any:
    return messages.section(f"exam.statistics.{name}")


def _named(forms: Sequence[str], name: str) -> str:
    """One form or several in words, by the name of the text."""
    number = "one" if len(forms) == 1 else "many"
    return _say(f"{name}_{number}", forms=", ".join(forms))


def _group(group: Group, ident: str) -> Iterator[str]:
    forms = _named(group.marks.forms, "forms")
    yield heading(2, _named(group.marks.forms, "group"))
    yield paragraph(_say(f"samples.{group.sample}", count=group.people))
    yield heading(3, _say("scores.heading"))
    yield _table(f"{ident}-scores", "scores", forms, [Rows("", _scores(group))])
    yield _figure(score_plot(f"{ident}-fig-scores", group, forms))
    yield heading(3, _say("flagged.heading"))
    if group.flagged:
        yield _table(f"{ident}-flagged", "flagged", forms, [Rows("", _flagged(group))])
    else:
        yield paragraph(_say("flagged.none"))
    yield heading(3, _say("items.heading"))
    yield _figure(item_plot(f"{ident}-fig-items", group, forms))
    yield _table(f"{ident}-items", "items", forms, [Rows("", [*map(_item, group.items)])])
    yield heading(3, _say("options.heading"))
    yield _table(f"{ident}-options", "options", forms, map(_options, group.items))
    if group.times is not None:
        yield heading(3, _say("times.heading"))
        yield _table(f"{ident}-times", "times", forms, [Rows("", _times(group.times))])


def _figure(plotted: Plotted) -> str:
    return figure(plotted.svg, plotted.words.caption)


def _table(ident: str, name: str, forms: str, groups: Iterable[Rows]) -> str:
    caption = _say(f"{name}.caption", forms=forms)
    return table(ident, caption, _section(name)["columns"], groups)


def _scores(group: Group) -> list[tuple[str, str]]:
    found = group.reliability
    times = _say("scores.times_none") if found.times is None else told(found.times)
    values = {
        "candidates": str(group.people),
        "questions": str(len(group.items)),
        "mean": told(group.mean),
        "deviation": told(group.deviation),
        "alpha": within(found.alpha),
        "kr20": told(found.kr20),
        "kr21": told(found.kr21),
        "error": told(found.error),
        "times": told(None) if found.alpha is None else times,
    }
    return [(_say(f"scores.{name}"), value) for name, value in values.items()]


def _flagged(group: Group) -> list[tuple[str, ...]]:
    return [
        (
            one.asked.name,
            one.asked.item.lead_in,
            " ".join(_say(f"flags.{name}") for name in names),
        )
        for one, names in group.flagged
    ]


def _item(one: ItemStatistic) -> tuple[str, ...]:
    printed = sum(option.functions is not None for option in one.options)
    working = told(None) if one.functioning is None else of(one.functioning, printed)
    return (
        ", ".join(one.asked.named),
        one.asked.item.lead_in,
        of(one.right, one.people),
        within(one.difficulty),
        within(one.corrected),
        told(one.discrimination),
        told(one.alpha_without),
        working,
        str(one.unanswered),
    )


def _options(one: ItemStatistic) -> Rows:
    title = _say("options.question", name=one.asked.name, asks=one.asked.item.lead_in)
    left_out = (
        _say("options.unanswered"),
        "",
        str(one.unanswered),
        percent(one.unanswered / one.people),
        "",
        "",
        "",
    )
    return Rows(title, [*map(_option, one.options), left_out])


def _option(option: OptionStatistic) -> tuple[str, ...]:
    meaning = option.meaning
    works = "" if option.functions is None else "works" if option.functions else "idle"
    return (
        f"{meaning.label}. {meaning.text}" if meaning.label else meaning.text,
        _say("options.key") if meaning.right else meaning.title or meaning.mistake,
        str(option.count),
        percent(option.share),
        told(option.mean_total),
        told(None if option.correlation is None else option.correlation.value),
        _say(f"options.{works}") if works else "",
    )


def _times(found: Times) -> list[tuple[str, str]]:
    values: dict[str, int | float | Interval | None] = {
        "people": found.people,
        "lower": found.lower,
        "median": found.median,
        "upper": found.upper,
        "longest": found.longest,
        "with_score": found.with_score,
    }
    return [(_say(f"times.{name}"), _time(value)) for name, value in values.items()]


def _time(value: float | Interval | None) -> str:
    if value is None or isinstance(value, Interval):
        return within(value)
    return str(value) if isinstance(value, int) else told(value, 1)


def _families(found: Iterable[Family]) -> Iterator[str]:
    yield heading(2, _say("families.heading"))
    yield paragraph(_say("families.intro"))
    rows = [
        (
            f"{MODELS[one.model].title}. {one.case}",
            ", ".join(one.questions),
            str(one.answers),
            within(one.difficulty),
            _say("families.differs", spread=told(one.spread)) if one.differs else told(one.spread),
            told(one.corrected),
            told(one.discrimination),
        )
        for one in found
    ]
    yield _table("families", "families", "", [Rows("", rows)])


def _mistakes(analysis: Analysis) -> Iterator[str]:
    yield heading(2, _say("mistakes.heading"))
    if not analysis.mistakes:
        yield paragraph(_say("mistakes.none"))
        return
    yield paragraph(_say("mistakes.intro"))
    columns = _section("mistakes")
    yield table(
        "mistakes",
        columns["caption"],
        columns["columns"],
        [Rows("", [_mistake(one) for one in analysis.mistakes])],
    )
    yield table(
        "mistakes-by-model",
        columns["caption_models"],
        columns["columns_models"],
        [
            Rows(
                "",
                [(MODELS[one.model].title, *_mistake(one)) for one in analysis.mistakes_by_model],
            )
        ],
    )


def _mistake(one: Misunderstanding) -> tuple[str, ...]:
    return (
        one.title or one.mistake,
        str(one.answers),
        of(one.people, one.met),
        within(one.share),
    )
