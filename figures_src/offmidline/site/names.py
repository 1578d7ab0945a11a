"""What the names in a page stand for: values, citations, figures, and the generated parts of
chapters.

    {{ offset }}                        a dimension of the technique
    {{ case:ferry-deckhand.scar.length }}   a value of a case
    {{ figure:ferry-deckhand:marking }} a view of a case: its figure, or its steps
    {{ figure:ferry-deckhand:marking-steps:midline }}   one picture of such a view
    {{ picture:ferry-deckhand:findings }}   the same in a question; a link where it was shown before
    {{ gallery:ferry-deckhand }}        every view of a case, and what it is made of
    {{ gallery:ferry-deckhand:marking,section }}        some of them
    {{ source:sozen-2011 }}             a numbered citation
    {{ fact:kendirci-2016.recurrence }} a published result in words, with its citation
    {{ chart:forest:recurrence }}       a chart of published results, or of the complications
    {{ cohort:kr20 }}                   of the invented answers: a number, a table or a plot
    {{ posed:specimen:A:7:findings }}   the picture of a question of a paper, for examiners
    {{ grading:asepsis }}               a grading system with its calculator
    {{ complication:seroma }}           a link to a complication
    {{ practice }}                      a remark: common practice, no source
    {{ steps:marking }}                 the technique's steps of a phase
    {{ dimensions }}, {{ limits }}      the technique's tables
    {{ recogniser }}                    the table of complications, to be narrowed by day and sign
    {{ sources }}                       the list of all that the site cites
    {{ version }}, {{ date }}, {{ caution }}    what every page ends with
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from offmidline import __version__, markup, messages
from offmidline.records import Library, Technique
from offmidline.records.files import TECHNIQUES
from offmidline.site import (
    charts,
    checklists,
    escape,
    facts,
    grading_words,
    page_end,
    recogniser,
    technique_words,
)
from offmidline.site.citations import Citations
from offmidline.site.figure import Figure
from offmidline.site.gallery import gallery
from offmidline.site.pages import record_path
from offmidline.site.picture import shown_before, shown_here
from offmidline.site.settings import Settings
from offmidline.site.stepper import one_figure, stepper
from offmidline.site.steps import Texts, steps_list
from offmidline.site.template import Block, Look, UnknownNameError, expand, unknown
from offmidline.site.values import case_values, technique_values
from offmidline.site.works import Works

# Stands where the list of sources goes until every page has cited what it cites.
LIST_OF_SOURCES: Final = markup.place_for("sources")


class Names:
    """The names of one technique and its library, for all pages of a site in turn.

    Attributes:
        figures: every figure asked for so far, by its id.
        texts: the texts of the technique's steps.
    """

    def __init__(
        self,
        library: Library,
        works: Works,
        technique: Technique,
        citations: Citations,
        settings: Settings,
    ) -> None:
        self.figures: dict[str, Figure] = {}
        self._library = library
        self._works = works
        self._technique = technique
        path = record_path(settings.scenarios, TECHNIQUES, technique.technique)
        self.texts = Texts(technique, path)
        self._settings = settings
        self._citations = citations
        self._cases: dict[str, dict[str, str]] = {}
        self._values = {
            **technique_values(technique),
            "version": escape.text(__version__),
            "date": page_end.reviewed(),
            "practice": f'<span class="om-standing">{messages.text("site.practice")}</span>',
            "caution": messages.text("caution.text"),
        }
        self._tables: dict[str, Callable[[], str]] = {
            "dimensions": lambda: technique_words.dimensions_table(technique),
            "limits": lambda: technique_words.limits_table(technique),
            "recogniser": lambda: recogniser.recogniser(library),
            "sources": lambda: LIST_OF_SOURCES,
        }

    def on_page(self, page: str) -> Look:
        """The function that looks up the names of a page, given by its path."""
        shown: set[str] = set()

        def look(name: str) -> str | Block:
            kind, colon, rest = name.partition(":")
            if not colon:
                return self._plain(name, filled)
            if kind not in kinds:
                raise unknown(kind, kinds)
            return kinds[kind](rest)

        def filled(source: str) -> str:
            """A generated piece whose citations are names in their turn."""
            text, found = expand(source, "", look)
            if found:
                raise UnknownNameError(found[0].message)
            return text

        kinds: dict[str, Callable[[str], str | Block]] = {
            "case": self._case_value,
            "chart": lambda rest: Block(filled(self._chart(rest, shown))),
            "cohort": lambda rest: self._cohort(rest, shown),
            "complication": lambda rest: recogniser.link(self._library, rest, page),
            "fact": lambda rest: filled(facts.fact(self._library, rest)),
            "figure": lambda rest: Block(self._figure(rest, shown)),
            "gallery": lambda rest: self._gallery(rest, shown),
            "grading": lambda rest: Block(filled(grading_words.grading(self._library, rest))),
            "picture": lambda rest: self._picture(rest, shown),
            "posed": lambda rest: self._posed(rest, shown),
            "source": lambda rest: self._citations.cite(rest, page),
            "steps": lambda rest: self._steps(rest, page),
        }
        return look

    def _plain(self, name: str, filled: Callable[[str], str]) -> str | Block:
        if name in self._values:
            return self._values[name]
        if name in self._tables:
            return Block(filled(self._tables[name]()))
        raise unknown(name, [*self._values, *self._tables])

    def _case_value(self, way: str) -> str:
        case_id, _, name = way.partition(".")
        if case_id not in self._cases:
            self._cases[case_id] = case_values(self._works.draft(case_id).report)
        values = self._cases[case_id]
        if name not in values:
            raise unknown(name, values)
        return values[name]

    def _steps(self, phase: str, page: str) -> Block:
        listed = steps_list(self._technique, phase, self.texts)
        return Block(f"{listed}\n\n{checklists.link(phase, page)}")

    def _figure(self, name: str, shown: set[str]) -> str:
        """A view of a case, ``CASE:VIEW``, or one picture of it, ``CASE:VIEW:PART``."""
        case_id, _, rest = name.partition(":")
        view_name, colon, part = rest.partition(":")
        view = self._works.view(case_id, view_name)
        figures = [view.part(part)] if colon else list(view.figures.values())
        self._take(figures, name, shown)
        self._works.want(case_id, view_name, [part] if colon else view.figures)
        if len(figures) == 1:
            return one_figure(figures[0])
        return stepper(view.figure_id, view.title, figures)

    def _picture(self, name: str, shown: set[str]) -> str:
        """One picture of a view, ``CASE:VIEW`` or ``CASE:VIEW:PART``, or a link to it."""
        case_id, _, rest = name.partition(":")
        view_name, _, part = rest.partition(":")
        figure = self._works.view(case_id, view_name).part(part)
        if figure.figure_id in shown:
            return shown_before(figure)
        self._take([figure], name, shown)
        self._works.want(case_id, view_name, [part])
        return shown_here(figure)

    def _chart(self, name: str, shown: set[str]) -> str:
        """A chart, ``NAME``, or one picture of it, ``NAME:KEY``, and its sources as names."""
        chart = self._works.charts.chart(name)
        self._take([chart.figure], name, shown)
        self._works.charts.want(name)
        return charts.with_sources(chart)

    def _cohort(self, name: str, shown: set[str]) -> str | Block:
        """What the analysis of the invented answers has under a name."""
        found = self._works.cohort.find(name)
        if not isinstance(found, Figure):
            return found
        self._take([found], name, shown)
        self._works.cohort.want(name)
        return Block(one_figure(found))

    def _posed(self, name: str, shown: set[str]) -> str:
        """A picture of a question, ``PAPER:FORM:NUMBER:VIEW``, or one part of a view."""
        paper, _, way = name.partition(":")
        figure = self._works.papers.picture(paper, way)
        self._take([figure], name, shown)
        self._works.papers.want(paper, way)
        return shown_here(figure)

    def _take(self, figures: Sequence[Figure], name: str, shown: set[str]) -> None:
        """Note figures as shown on a page; ids would be there twice if one were shown again."""
        if any(figure.figure_id in shown for figure in figures):
            raise UnknownNameError(messages.text("site.faults.twice", name=name))
        for figure in figures:
            shown.add(figure.figure_id)
            self.figures[figure.figure_id] = figure

    def _gallery(self, name: str, shown: set[str]) -> Block:
        """All the views of a case, ``CASE``, or some of them in their order, ``CASE:VIEW,VIEW``."""
        case_id, _, some = name.partition(":")
        views = {view.name: view for view in self._works.views(case_id)}
        wanted = some.split(",") if some else list(views)
        for one in wanted:
            if one not in views:
                raise unknown(one, views)
        case = self._works.case(case_id)

        def show(view: str) -> str:
            return self._figure(f"{case_id}:{view}", shown)

        return Block(gallery(case, [views[one] for one in wanted], show, self._settings))
