"""What is worked out for cases, at most once for each version of a case: plan, page, views,
drawings.

Plans are made only where the cache lacks something; only then is the engine imported. The words of
a view are worked out for the cases that some page shows in it, and for no others.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from functools import cache, cached_property, partial
from typing import TYPE_CHECKING, Any

from offmidline.records import Case, Library
from offmidline.site.cache import Cache, digest, key_of
from offmidline.site.charts import Charts
from offmidline.site.cohort import Cohort
from offmidline.site.drafts import CaseDraft, ExerciseDraft, ItemDraft
from offmidline.site.drawings import Drawings
from offmidline.site.figure import Figure
from offmidline.site.papers import Papers
from offmidline.site.settings import READS_NOTES, Settings
from offmidline.site.template import unknown

if TYPE_CHECKING:
    from offmidline.items import Item
    from offmidline.plan import CasePlan
    from offmidline.site.artist import Picture


@dataclass(frozen=True)
class CaseView:
    """A view of a case: its pictures by the names of its parts, in order.

    A view of one picture has it under ``""``, and the picture has the view's own id.
    """

    case: str
    view: str
    title: str
    figures: Mapping[str, Figure]

    @property
    def figure_id(self) -> str:
        """The id of the whole."""
        return _figure_id(self.case, self.view)

    def part(self, name: str) -> Figure:
        """One of the pictures. Raises UnknownNameError."""
        if name not in self.figures:
            raise unknown(name, filter(None, self.figures))
        return self.figures[name]


@dataclass(frozen=True)
class ViewEntry:
    """A view that can show a case, as a gallery lists it.

    Attributes:
        summary: what it shows, in a line.
        reads: what it is drawn from: dotted keys of a ``case:`` or of a ``technique:``.
    """

    name: str
    title: str
    summary: str
    reads: tuple[str, ...]


class Works:
    """The drafts and views of a library's cases; on pages for those who teach is what only they
    read.
    """

    def __init__(self, library: Library, kept: Cache, settings: Settings) -> None:
        self.drawings = Drawings(kept, settings.few)
        self.charts = Charts(library, kept, self.drawings)
        self.cohort = Cohort(library, kept, self.drawings)
        self.papers = Papers(library, kept, self.drawings, settings)
        self._cases: Mapping[str, Case] = {case.case: case for case in library.cases}
        self._library = library
        self._kept = kept
        self._notes = settings.audience in READS_NOTES
        self.draft = cache(self._draft)
        self.exercise = cache(self._exercise)
        self.view = cache(self._view)
        self._plan = cache(self._make_plan)
        self._questions = cache(self._make_questions)
        self._content = cache(self._content_of)
        self._technique = cache(self._technique_text)

    def case(self, case_id: str) -> Case:
        """A case of the library. Raises UnknownNameError."""
        if case_id not in self._cases:
            raise unknown(case_id, self._cases)
        return self._cases[case_id]

    def views(self, case_id: str) -> tuple[ViewEntry, ...]:
        """The views that can show a case. Raises UnknownNameError."""
        key = key_of("views", self._content(case_id))
        kept = self._kept.get(key, lambda: self._make_views(case_id))
        return tuple(
            ViewEntry(one["name"], one["title"], one["summary"], tuple(one["reads"]))
            for one in kept["views"]
        )

    def want(self, case_id: str, view: str, parts: Iterable[str]) -> None:
        """Have pictures of a view drawn."""
        for part in parts:
            self.drawings.want(
                _figure_id(case_id, view, part),
                key_of("drawing", self._content(case_id), view, part),
                partial(self._picture, case_id, view, part),
            )

    def items(self, case_id: str, seed: str) -> tuple[ItemDraft, ...]:
        """The questions of a case. Raises UnknownNameError."""
        key = key_of("items", self._content(case_id), self._records, seed)
        kept = self._kept.get(key, lambda: self._make_items(case_id, seed))
        return tuple(ItemDraft(**one) for one in kept["items"])

    def model_answers(self, case_id: str) -> str:
        """A case's model answers; "" for whoever reads none. Raises UnknownNameError."""
        if not self._notes:
            return ""
        key = key_of("model answers", self._content(case_id), self._records)
        kept = self._kept.get(key, lambda: self._make_model_answers(case_id))
        return str(kept["html"])

    def figure_style(self) -> str:
        """The style sheet of the figures' colours."""
        kept = self._kept.get(key_of("figure style"), _make_figure_style)
        return str(kept["css"])

    def _draft(self, case_id: str) -> CaseDraft:
        """The page of a case before numbering. Raises UnknownNameError."""
        key = key_of("draft", self._content(case_id), str(self._notes))
        return CaseDraft(**self._kept.get(key, lambda: self._make_draft(case_id)))

    def _make_draft(self, case_id: str) -> dict[str, Any]:
        self.drawings.prepare()
        from offmidline.site.case_page import draft_case

        draft = draft_case(self._plan(case_id), notes=self._notes)
        for view in draft.shows:
            self.want(case_id, view, [""])
        return asdict(draft)

    def _exercise(self, case_id: str) -> ExerciseDraft | None:
        """What a case is marked with; None where no marking is right. Raises UnknownNameError."""
        key = key_of("exercise", self._content(case_id))
        kept = self._kept.get(key, lambda: self._make_exercise(case_id))
        return ExerciseDraft(**kept) if kept else None

    def _make_exercise(self, case_id: str) -> dict[str, Any]:
        from offmidline.site.exercise_draft import draft_exercise

        draft = draft_exercise(self._plan(case_id))
        return {} if draft is None else asdict(draft)

    def _view(self, case_id: str, view: str) -> CaseView:
        """A view of a case with the words of its pictures. Raises UnknownNameError."""
        key = key_of("view", self._content(case_id), view)
        kept = self._kept.get(key, lambda: self._make_view(case_id, view))
        figures = {
            part: Figure(_figure_id(case_id, view, part), **words) for part, words in kept["parts"]
        }
        return CaseView(case_id, view, kept["title"], figures)

    def _make_view(self, case_id: str, view: str) -> dict[str, Any]:
        from offmidline.site.views import described

        return described(self._plan(case_id), view)

    def _make_views(self, case_id: str) -> dict[str, Any]:
        from offmidline.site.views import listed

        return {"views": listed(self._plan(case_id))}

    def _make_items(self, case_id: str, seed: str) -> dict[str, Any]:
        from offmidline.site.item_draft import draft_item

        return {"items": [draft_item(item) for item in self._questions(case_id, seed)]}

    def _make_model_answers(self, case_id: str) -> dict[str, Any]:
        from offmidline.site.model_answers import model_answers
        from offmidline.site.selftest import SEED

        return {"html": model_answers(self._plan(case_id), self._questions(case_id, SEED))}

    def _make_questions(self, case_id: str, seed: str) -> tuple[Item, ...]:
        from offmidline.items import items_of_case

        return items_of_case(self._plan(case_id), self._library, seed)

    def _picture(self, case_id: str, view: str, part: str) -> Picture:
        from offmidline.site.artist import ViewPicture

        return ViewPicture(self._plan(case_id), view, part)

    def _make_plan(self, case_id: str) -> CasePlan:
        from offmidline.plan import plan_case

        case = self.case(case_id)
        return plan_case(case, self._library.techniques[case.technique])

    def _content_of(self, case_id: str) -> str:
        """All of a case and its technique that a page or a drawing may depend on."""
        case = self.case(case_id)
        return digest(case.model_dump_json(), self._technique(case.technique))

    @cached_property
    def _records(self) -> str:
        """All of the records beside the cases that a question may depend on."""
        library = self._library
        records = (*library.complications.values(), *library.gradings.values())
        return digest(*(record.model_dump_json() for record in records))

    def _technique_text(self, technique: str) -> str:
        return self._library.techniques[technique].model_dump_json()


def _figure_id(case_id: str, view: str, part: str = "") -> str:
    return "-".join(filter(None, ("figure", case_id, view, part)))


def _make_figure_style() -> dict[str, Any]:
    from offmidline.site.figure_style import figure_style

    return {"css": figure_style()}
