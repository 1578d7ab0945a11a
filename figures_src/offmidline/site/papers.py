"""The examiners' papers: their pages and pictures, kept between builds like the cases'.

What assembles and draws them is imported only where the cache lacks something.
"""

from __future__ import annotations

from functools import cache, cached_property
from typing import TYPE_CHECKING, Any

from offmidline.records import Library
from offmidline.site.cache import Cache, digest, key_of
from offmidline.site.drafts import PaperDraft
from offmidline.site.drawings import Drawings
from offmidline.site.figure import Figure
from offmidline.site.settings import Settings
from offmidline.site.template import unknown

if TYPE_CHECKING:
    from offmidline.exam.form import Form
    from offmidline.site.artist import Picture


class Papers:
    """The papers of a library: none where the audience sees none."""

    def __init__(
        self, library: Library, kept: Cache, drawings: Drawings, settings: Settings
    ) -> None:
        self._library = library
        self._kept = kept
        self._drawings = drawings
        self._settings = settings
        self.draft = cache(self._draft)
        self._forms = cache(self._make_forms)

    def _draft(self, paper: str) -> PaperDraft:
        """The pages of a paper. Raises UnknownNameError, and FaultsError where it cannot be set."""
        if paper not in self._library.papers:
            raise unknown(paper, self._library.papers)
        key = key_of("paper", paper, self._content)
        return PaperDraft(**self._kept.get(key, lambda: self._make_draft(paper)))

    def picture(self, paper: str, way: str) -> Figure:
        """A picture of a question by its way: form, number, view and part. Raises
        UnknownNameError.
        """
        pictures = self.draft(paper).pictures
        if way not in pictures:
            raise unknown(way, pictures)
        return Figure(_figure_id(paper, way), **pictures[way])

    def want(self, paper: str, way: str) -> None:
        """Have a picture drawn."""
        key = key_of("posed", paper, way, self._content)
        self._drawings.want(_figure_id(paper, way), key, lambda: self._picture(paper, way))

    def _make_draft(self, paper: str) -> dict[str, Any]:
        self._drawings.prepare()
        from dataclasses import asdict

        from offmidline.site.paper_draft import draft_paper

        return asdict(draft_paper(self._library.papers[paper], self._forms(paper)))

    def _picture(self, paper: str, way: str) -> Picture:
        from offmidline.site.artist import ViewPicture

        letter, number, view, *part = way.split(":")
        form = next(form for form in self._forms(paper) if form.form == letter)
        return ViewPicture(form.plans[int(number) - 1], view, "".join(part))

    def _make_forms(self, paper: str) -> tuple[Form, ...]:
        from offmidline.exam.papers import assembled

        settings = self._settings
        return assembled(paper, self._library, settings.scenarios, settings.secret)

    @cached_property
    def _content(self) -> str:
        """All that a paper may depend on. Of the secret no more than a hash gets into a file's
        name.
        """
        library = self._library
        records = (
            *library.papers.values(),
            *library.cases,
            *library.techniques.values(),
            *library.complications.values(),
            *library.gradings.values(),
        )
        secret = self._settings.secret
        drawn = "" if secret is None else secret.hex()
        return digest(drawn, *(one.model_dump_json() for one in records))


def _figure_id(paper: str, way: str) -> str:
    return "-".join(("figure-paper", paper, *way.lower().split(":")))
