"""The invented answers to an invented paper, analysed: for the chapter about setting an exam.

What analyses and draws is imported only where the cache lacks something.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from offmidline import messages
from offmidline.records import Library
from offmidline.site.cache import Cache, digest, key_of
from offmidline.site.drafts import CohortDraft
from offmidline.site.drawings import Drawings
from offmidline.site.figure import Figure
from offmidline.site.template import Block, unknown

if TYPE_CHECKING:
    from offmidline.exam.specimen_responses import Specimen
    from offmidline.site.artist import Picture

_PLOT: Final = "-plot"


class Cohort:
    """The analysis by its parts: numbers, tables, and plots, whose names end in ``-plot``."""

    def __init__(self, library: Library, kept: Cache, drawings: Drawings) -> None:
        self._library = library
        self._kept = kept
        self._drawings = drawings
        self._cases = [case for case in library.cases if case.audience == "trainee"]

    def find(self, name: str) -> str | Block | Figure:
        """A number, a table or a plot. Raises UnknownNameError, also where there is no case that
        everybody may see, and so no question.
        """
        if not self._cases:
            raise unknown(name, ())
        draft = self._draft
        plot = name.removesuffix(_PLOT)
        if name in draft.values:
            return draft.values[name]
        if name in draft.tables:
            return Block(draft.tables[name])
        if plot != name and plot in draft.plots:
            return Figure(_figure_id(plot), "", **draft.plots[plot])
        known = [*draft.values, *draft.tables, *(f"{one}{_PLOT}" for one in draft.plots)]
        raise unknown(name, known)

    def want(self, name: str) -> None:
        """Have a plot drawn."""
        plot = name.removesuffix(_PLOT)
        key = key_of("cohort plot", self._content, plot)
        self._drawings.want(_figure_id(plot), key, lambda: self._picture(plot))

    @cached_property
    def _draft(self) -> CohortDraft:
        key = key_of("cohort", self._content)
        return CohortDraft(**self._kept.get(key, self._make_draft))

    def _make_draft(self) -> dict[str, Any]:
        from dataclasses import asdict

        from offmidline.site.cohort_draft import draft_cohort

        return asdict(draft_cohort(self._specimen))

    def _picture(self, plot: str) -> Picture:
        from offmidline.site.artist import CohortPicture
        from offmidline.site.cohort_draft import analysed

        return CohortPicture(
            analysed(self._specimen).groups[0], plot, messages.text("site.cohort.forms")
        )

    @cached_property
    def _specimen(self) -> Specimen:
        from offmidline.exam.specimen_responses import specimen

        return specimen(self._library)

    @cached_property
    def _content(self) -> str:
        """All that the answers may depend on: the cases that trainees see, whoever reads this."""
        library = self._library
        return digest(
            *(case.model_dump_json() for case in self._cases),
            *(one.model_dump_json() for one in library.techniques.values()),
            *(one.model_dump_json() for one in library.complications.values()),
            *(one.model_dump_json() for one in library.gradings.values()),
        )


def _figure_id(plot: str) -> str:
    return f"figure-cohort-{plot}"
