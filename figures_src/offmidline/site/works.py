"""What is worked out for cases, at most once for each version of a case: plan, page, drawings.

Plans are made only where the cache lacks something; only then is the engine imported.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from offmidline.records import Case, Library
from offmidline.site.cache import Cache, digest, key_of
from offmidline.site.drafts import CaseDraft
from offmidline.site.template import unknown

if TYPE_CHECKING:
    from offmidline.plan import CasePlan
    from offmidline.site.artist import Artist, Job

_PAUSE: Final = (
    0.004  # seconds between two looks for a drawing, of which one takes three times this
)


@dataclass(frozen=True)
class Figure:
    """A view of a case on a page: its id there, and its words."""

    figure_id: str
    title: str
    description: str
    caption: str


class Gallery:
    """The drawings of a site, by the ids of their figures.

    More than a ``few`` that are missing are drawn by a second process while pages are made, where
    there is a second processor for it.
    """

    def __init__(self, kept: Cache, few: int) -> None:
        self._kept = kept
        self._few = few if (os.cpu_count() or 1) > 1 else sys.maxsize
        self._drawn: dict[str, str] = {}
        self._waiting: dict[str, Job] = {}
        self._artist: Artist | None = None

    def prepare(self) -> None:
        """Have the second process ready, if it will be needed."""
        if self._few == 0:
            self._hire()

    def want(self, figure_id: str, view: str, key: str, plan: Callable[[], CasePlan]) -> None:
        """See to it that a drawing is there when it is asked for."""
        if figure_id in self._drawn or figure_id in self._waiting:
            return
        found = self._kept.find(key)
        if found is not None:
            self._drawn[figure_id] = found["svg"]
            return
        from offmidline.site.artist import Job

        job = self._waiting[figure_id] = Job(key, figure_id, view, plan())
        if self._artist is not None:
            self._artist.take(job)
        elif len(self._waiting) > self._few:
            for waiting in self._waiting.values():
                self._hire().take(waiting)

    def _hire(self) -> Artist:
        from offmidline.site.artist import Artist

        self._artist = self._artist or Artist(self._kept.folder)
        return self._artist

    def svg(self, figure_id: str) -> str:
        """A drawing that was wanted before; waits for it where it is not ready."""
        if figure_id in self._waiting:
            job = self._waiting.pop(figure_id)
            self._drawn[figure_id] = self._awaited(job)["svg"]
        return self._drawn[figure_id]

    def finish(self) -> None:
        """Wait until all is drawn."""
        if self._artist is not None:
            self._artist.finish()
            self._artist = None

    def close(self) -> None:
        """Let go of what nobody asks for any more."""
        if self._artist is not None:
            self._artist.stop()
            self._artist = None

    def _awaited(self, job: Job) -> dict[str, Any]:
        """An entry as soon as the other process has made it; made here where it has given up."""
        while self._artist is not None and self._artist.works_on():
            found = self._kept.find(job.key)
            if found is not None:
                return found
            time.sleep(_PAUSE)
        return self._kept.get(job.key, job.draw)


class Works:
    """The drafts and figures of a library's cases; ``notes`` puts the teaching notes on pages."""

    def __init__(self, library: Library, kept: Cache, *, notes: bool, few: int = 0) -> None:
        self.gallery = Gallery(kept, few)
        self._cases: Mapping[str, Case] = {case.case: case for case in library.cases}
        self._library = library
        self._kept = kept
        self._notes = notes
        self.draft = cache(self._draft)
        self._plan = cache(self._make_plan)
        self._content = cache(self._content_of)
        self._technique = cache(self._technique_text)

    def figure(self, case_id: str, view: str) -> Figure:
        """A view of a case, which will be drawn. Raises UnknownNameError."""
        words = self.draft(case_id).figures
        if view not in words:
            raise unknown(view, words)
        figure = Figure(f"figure-{case_id}-{view}", **words[view])
        self._want(case_id, view)
        return figure

    def figure_style(self) -> str:
        """The style sheet of the figures' colours."""
        kept = self._kept.get(key_of("figure style"), _make_figure_style)
        return str(kept["css"])

    def _draft(self, case_id: str) -> CaseDraft:
        """The page of a case before numbering. Raises UnknownNameError."""
        key = key_of("draft", self._content(case_id), str(self._notes))
        return CaseDraft(**self._kept.get(key, lambda: self._make_draft(case_id)))

    def _make_draft(self, case_id: str) -> dict[str, Any]:
        self.gallery.prepare()
        from offmidline.site.case_page import draft_case

        draft = draft_case(self._plan(case_id), notes=self._notes)
        for view in draft.shows:
            self._want(case_id, view)
        return asdict(draft)

    def _want(self, case_id: str, view: str) -> None:
        key = key_of("drawing", self._content(case_id), view)
        figure_id = f"figure-{case_id}-{view}"
        self.gallery.want(figure_id, view, key, lambda: self._plan(case_id))

    def _make_plan(self, case_id: str) -> CasePlan:
        from offmidline.plan import plan_case

        case = self._case(case_id)
        return plan_case(case, self._library.techniques[case.technique])

    def _case(self, case_id: str) -> Case:
        if case_id not in self._cases:
            raise unknown(case_id, self._cases)
        return self._cases[case_id]

    def _content_of(self, case_id: str) -> str:
        """All of a case and its technique that a page or a drawing may depend on."""
        case = self._case(case_id)
        return digest(case.model_dump_json(), self._technique(case.technique))

    def _technique_text(self, technique: str) -> str:
        return self._library.techniques[technique].model_dump_json()


def _make_figure_style() -> dict[str, Any]:
    from offmidline.site.figure_style import figure_style

    return {"css": figure_style()}
