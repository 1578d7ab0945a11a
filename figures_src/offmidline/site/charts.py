"""Charts on pages: published results and the complications, kept between builds like the views.

What draws and words them is imported only where the cache lacks something.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from offmidline import messages
from offmidline.records import Library
from offmidline.site.cache import Cache, digest, key_of
from offmidline.site.drawings import Drawings
from offmidline.site.figure import Figure
from offmidline.site.stepper import one_figure
from offmidline.site.template import unknown

if TYPE_CHECKING:
    from offmidline.figures.chart import Subject
    from offmidline.site.artist import Picture


@dataclass(frozen=True)
class ChartOnPage:
    """A chart as a figure, with its sources: the number of each row, or nothing where a source is
    behind all, and the name by which the source is cited.
    """

    figure: Figure
    sources: tuple[tuple[str, str], ...]


class Charts:
    """The charts of a library."""

    def __init__(self, library: Library, kept: Cache, drawings: Drawings) -> None:
        self._library = library
        self._kept = kept
        self._drawings = drawings

    def chart(self, name: str) -> ChartOnPage:
        """A chart by ``NAME``, or ``NAME:KEY`` where it makes several. Raises UnknownNameError."""
        key = key_of("chart words", self._content, name)
        kept = self._kept.get(key, lambda: _described(self._subject, name))
        figure = Figure(_figure_id(name), "", **kept["words"])
        return ChartOnPage(figure, tuple((rows, source) for rows, source in kept["sources"]))

    def want(self, name: str) -> None:
        """Have a chart drawn."""
        key = key_of("chart", self._content, name)
        self._drawings.want(_figure_id(name), key, lambda: self._picture(name))

    def _picture(self, name: str) -> Picture:
        from offmidline.site.artist import ChartPicture

        chart, _, key = name.partition(":")
        return ChartPicture(self._subject, chart, key)

    @cached_property
    def _subject(self) -> Subject:
        from offmidline.figures.chart import subject_of

        return subject_of(self._library)

    @cached_property
    def _content(self) -> str:
        """All that a chart may depend on."""
        library = self._library
        evidence = library.evidence.values()
        return digest(
            *(one.model_dump_json() for one in evidence),
            *(one.model_dump_json() for one in library.complications.values()),
            *(f"{one.source} {library.sources[one.source].year}" for one in evidence),
        )


def with_sources(chart: ChartOnPage) -> str:
    """A chart as a block, in its caption its sources as names of citations."""
    numbered = any(rows for rows, _ in chart.sources)
    names = [f"{{{{ source:{source} }}}}" for _, source in chart.sources]
    if numbered:
        names = [f"{rows}: {name}" for (rows, _), name in zip(chart.sources, names, strict=True)]
    cited = ("; " if numbered else ", ").join(names)
    which = "sources_of_rows" if numbered else "sources"
    words = messages.text(f"site.charts.{which}", cited=cited)
    more = f'\n<span class="om-chart-sources">{words}</span>' if cited else ""
    return one_figure(chart.figure, more=more)


def _described(subject: Subject, name: str) -> dict[str, Any]:
    """The words and the sources of a chart. Raises UnknownNameError."""
    from dataclasses import asdict

    from offmidline.figures import CHARTS, UnknownPartError

    chart, _, key = name.partition(":")
    try:
        words = CHARTS[chart].words(subject, key)
    except (KeyError, UnknownPartError):
        raise unknown(name, _names(subject)) from None
    sources = [
        [
            ", ".join(map(str, one.rows)),
            one.source if one.status is None else f"{one.source}:{one.status}",
        ]
        for one in CHARTS[chart].citations(subject, key)
    ]
    return {"words": asdict(words), "sources": sources}


def _names(subject: Subject) -> list[str]:
    """Every chart that there is, as it is asked for."""
    from offmidline.figures import CHARTS

    return [
        ":".join(filter(None, (name, key)))
        for name, chart in CHARTS.items()
        for key in chart.keys(subject)
    ]


def _figure_id(name: str) -> str:
    return f"figure-chart-{name.replace(':', '-').replace('.', '-')}"
