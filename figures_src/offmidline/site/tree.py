"""The whole handbook as a tree: chapters and generated pages in order, numbered, with their
figures.

Nothing here knows of MkDocs. What the audience may not see is not read, so that it cannot be in
the tree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.records import Fault, FaultsError, Library, Technique, load_library
from offmidline.records.files import TECHNIQUES
from offmidline.site import (
    amounts,
    checklists,
    contents,
    exercises,
    page_end,
    paper_pages,
    selftest,
    target,
)
from offmidline.site.cache import Cache
from offmidline.site.citations import Citations
from offmidline.site.contents import Entry
from offmidline.site.drawings import Drawings
from offmidline.site.figure import Figure
from offmidline.site.names import LIST_OF_SOURCES, Names
from offmidline.site.pages import Page, chapters, generated
from offmidline.site.settings import SEES, Settings
from offmidline.site.template import expand, unknown
from offmidline.site.works import Works

FIGURE_STYLE: Final = "assets/figures.css"


@dataclass(frozen=True)
class Tree:
    """The finished pages, their order in groups, the figures by id, and generated files by path.

    Some of the drawings are still being drawn.

    ``words`` are those that a page needs which is not in the tree, such as the one for a wrong
    address.
    """

    pages: tuple[Page, ...]
    order: tuple[Entry, ...]
    figures: Mapping[str, Figure]
    files: Mapping[str, str]
    words: Mapping[str, str]
    drawings: Drawings = field(compare=False)


def build_tree(settings: Settings) -> Tree:
    """Read, compute, draw and number everything. Raises FaultsError with every fault found."""
    library = load_library(settings.scenarios, SEES[settings.audience])
    technique = _technique(library, settings)
    cache = Cache(settings.cache / settings.audience)
    works = Works(library, cache, settings)
    try:
        tree = _tree(library, technique, works, settings)
    except BaseException:
        works.drawings.close()
        raise
    cache.drop_unused()
    return tree


def _tree(library: Library, technique: Technique, works: Works, settings: Settings) -> Tree:
    citations = Citations(library.sources)
    names = Names(library, works, technique, citations, settings)
    written = chapters(settings.handbook)
    made = [
        *generated(library, works, settings.scenarios),
        *exercises.pages(library, technique, works, settings.scenarios),
        *checklists.pages(technique, names.texts, [page.path for page in written]),
    ]
    listed = contents.read_contents(settings.handbook)
    tests = selftest.tests_of(library, works, written, listed)
    written = selftest.with_links(written, tests)
    made += selftest.pages(tests, settings.scenarios)
    made += paper_pages.pages(library, works.papers, listed, settings.scenarios)
    order = _expanded(listed, [page.path for page in made])
    pages = _in_order(order, [*made, *written], settings.handbook)
    filled = _filled(pages, names)
    listing = citations.listing()
    whole = [page.source.replace(LIST_OF_SOURCES, listing) for page in filled]
    return Tree(
        pages=tuple(
            replace(page, source=page_end.framed(source, page.path, citations))
            for page, source in zip(filled, whole, strict=True)
        ),
        order=tuple(order),
        figures=names.figures,
        files={
            FIGURE_STYLE: works.figure_style(),
            target.AUDIENCE_FILE: target.audience_note(settings.audience),
        },
        words={
            "caution": messages.text("caution.text"),
            "caution_label": messages.text("site.caution_label"),
            **messages.section("site.theme"),
        },
        drawings=works.drawings,
    )


def _technique(library: Library, settings: Settings) -> Technique:
    if settings.technique not in library.techniques:
        message = str(unknown(settings.technique, library.techniques))
        raise FaultsError([Fault(str(settings.scenarios / TECHNIQUES), 1, 1, message)])
    return library.techniques[settings.technique]


def _expanded(listed: Iterable[Entry], made: list[str]) -> list[Entry]:
    """The contents with every generated page; without a group that has none for this audience."""
    entries = (Entry(entry.title, tuple(contents.expanded(entry.pages, made))) for entry in listed)
    return [entry for entry in entries if entry.pages]


def _in_order(order: Iterable[Entry], pages: Iterable[Page], handbook: Path) -> list[Page]:
    """The pages in the order of the contents; one that is missing here or there is a fault."""
    known = {page.path: page for page in pages}
    listed = [path for entry in order for path in entry.pages]
    problems = [("no_page", path) for path in listed if path not in known]
    problems += [("not_listed", path) for path in known if path not in listed]
    if problems:
        file = str(handbook / contents.FILE)
        raise FaultsError(
            Fault(file, 1, 1, messages.text(f"site.faults.{name}", page=path))
            for name, path in problems
        )
    return [known[path] for path in listed]


def _filled(pages: Iterable[Page], names: Names) -> list[Page]:
    """The pages with every name replaced; their order is that of the citations."""
    filled, faults = [], []
    for page in pages:
        source, found = expand(page.source, str(page.origin), names.on_page(page.path))
        if page.title is None:  # a chapter, whose values have only just come in
            source = amounts.kept_whole(source)
        filled.append(replace(page, source=source))
        faults += found
    faults += names.texts.faults
    if faults:
        raise FaultsError(faults)
    return filled
