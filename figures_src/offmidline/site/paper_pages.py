"""The pages of the examiners' papers: the list, a page for each paper, and one for each form."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from offmidline import markup, messages
from offmidline.records import Library, Paper
from offmidline.records.files import PAPERS
from offmidline.site import amounts, escape
from offmidline.site.contents import Entry
from offmidline.site.pages import Page, record_path
from offmidline.site.papers import Papers


def pages(library: Library, papers: Papers, listed: Iterable[Entry], scenarios: Path) -> list[Page]:
    """The pages, in order of the papers' ids; none where there is no paper for the audience, or
    where the contents list none.
    """
    paths = [path for entry in listed for path in entry.pages]
    if not library.papers or not any(path.startswith(f"{PAPERS}/") for path in paths):
        return []
    known = [library.papers[name] for name in sorted(library.papers)]
    made = [page for paper in known for page in _of_paper(paper, papers, scenarios)]
    return [_list(known, papers, scenarios), *made]


def _list(known: Iterable[Paper], papers: Papers, scenarios: Path) -> Page:
    rows = [
        (
            f'<a href="{paper.paper}.md">{escape.text(paper.title)}</a>',
            papers.draft(paper.paper).summary,
        )
        for paper in known
    ]
    heads = [_say("paper"), _say("holds")]
    source = "\n\n".join(
        [
            f"# {_say('title')}",
            _say("lead"),
            markup.table("papers-table", _say("caption"), heads, [markup.Group("", rows)]),
        ]
    )
    return Page(f"{PAPERS}/index.md", source, scenarios / PAPERS, title=_say("title"))


def _of_paper(paper: Paper, papers: Papers, scenarios: Path) -> list[Page]:
    draft = papers.draft(paper.paper)
    origin = record_path(scenarios, PAPERS, paper.paper)
    title = escape.text(paper.title)
    forms = [
        (f"{paper.paper}/{letter.lower()}.md", _say("form", title=title, form=letter), source)
        for letter, source in draft.forms
    ]
    links = markup.bullets(f'<a href="{path}">{name}</a>' for path, name, _ in forms)
    first = f"# {title}\n\n{draft.page}\n\n## {_say('forms')} {{ #forms }}\n\n{links}"
    return [
        Page(f"{PAPERS}/{paper.paper}.md", first, origin, title=title),
        *(
            Page(
                f"{PAPERS}/{path}", f"# {name}\n\n{amounts.kept_whole(source)}", origin, title=name
            )
            for path, name, source in forms
        ),
    ]


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.papers.{name}", **values)
