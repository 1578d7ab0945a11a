"""A page of the handbook, and the pages that are generated: techniques, the list of cases, the
cases.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from offmidline import markup, messages
from offmidline.records import Case, Library
from offmidline.records.files import CASES, SUFFIX, TECHNIQUES
from offmidline.site import amounts, escape, technique_words
from offmidline.site.works import Works

INDEX: Final = f"{CASES}/index.md"


@dataclass(frozen=True)
class Page:
    """A page in Markdown, with names, or with what they stand for.

    Attributes:
        origin: the file that it was made from.
        title: safe in an element, also where no Markdown is read; None: the page's first heading.
        description: safe in an attribute; "" for none.
    """

    path: str
    source: str
    origin: Path
    title: str | None = None
    description: str = ""


def chapters(handbook: Path) -> list[Page]:
    """The pages that are written by hand."""
    return [
        Page(path.relative_to(handbook).as_posix(), path.read_text("utf-8"), path)
        for path in sorted(handbook.rglob("*.md"))
    ]


def generated(library: Library, works: Works, scenarios: Path) -> list[Page]:
    """The pages of techniques, the list of cases, and the pages of cases, in order of their ids."""
    return [
        *(
            Page(
                path=f"{TECHNIQUES}/{technique.technique}.md",
                source=amounts.kept_whole(technique_words.technique_page(technique)),
                origin=record_path(scenarios, TECHNIQUES, technique.technique),
                title=technique_words.page_title(technique),
            )
            for technique in library.techniques.values()
        ),
        Page(
            path=INDEX,
            source=_list_of_cases(library.cases, works),
            origin=scenarios / CASES,
            title=messages.text("site.cases.title"),
        ),
        *(_case_page(case, works, scenarios) for case in library.cases),
    ]


def record_path(scenarios: Path, folder: str, name: str) -> Path:
    """The file of a record by its id."""
    return scenarios / folder / f"{name}{SUFFIX}"


def _case_page(case: Case, works: Works, scenarios: Path) -> Page:
    draft = works.draft(case.case)
    return Page(
        path=f"{CASES}/{case.case}.md",
        source="\n\n".join(filter(None, [draft.page, works.model_answers(case.case)])),
        origin=record_path(scenarios, CASES, case.case),
        title=escape.text(case.title),
        description=escape.without_elements(draft.summary),
    )


def _list_of_cases(cases: tuple[Case, ...], works: Works) -> str:
    rows = []
    for case in cases:
        draft = works.draft(case.case)
        link = f'<a href="{case.case}.md">{escape.text(case.title)}</a>'
        rows.append((link, draft.summary, draft.tags))
    heads = [messages.text(f"site.cases.{head}") for head in ("case", "patient", "shows")]
    caption = messages.text("site.cases.caption")
    return "\n\n".join(
        [
            f"# {messages.text('site.cases.title')}",
            messages.text("site.cases.lead"),
            markup.table("cases-table", caption, heads, [markup.Group("", rows)], "om-cases"),
        ]
    )
