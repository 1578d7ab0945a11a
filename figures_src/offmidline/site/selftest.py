"""The pages of the self-test: one for each chapter that has questions, and a mixed one.

Every question is whole without a script. handbook/assets/selftest/ makes forms of them, and keeps
on the device when each is to be asked again; its words come from here.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from offmidline import markup, messages
from offmidline.records import Library
from offmidline.site import escape, reading, scripts, selection
from offmidline.site.contents import Entry
from offmidline.site.drafts import ItemDraft
from offmidline.site.pages import Page
from offmidline.site.works import Works

FOLDER: Final = "selftest"
INDEX: Final = f"{FOLDER}/index.md"
# Chooses items and the order of options; public, as the pages hold their answers anyway.
SEED: Final = "self-test"
# Days until a question is asked again after right answers in a row, the last for all that follow,
# and after a wrong one: about a fifth of the time for which it is to be kept, a week, a month, half
# a year. [cepeda-2008, derived]
AFTER_RIGHT: Final = (2, 6, 21)
AFTER_WRONG: Final = 1

_HEADING: Final = re.compile(r"^# +(.+?)(?: *\{[^}]*\})? *$", re.MULTILINE)


@dataclass(frozen=True)
class Test:
    """The questions of a chapter, or of all where it has no topic.

    Attributes:
        path: the page of the test.
        title: of the chapter, safe on a page.
    """

    path: str
    topic: str
    title: str
    items: tuple[ItemDraft, ...]


def tests_of(
    library: Library, works: Works, written: Iterable[Page], listed: Iterable[Entry]
) -> tuple[Test, ...]:
    """The mixed test and one for each chapter that has questions, in the order of the chapters.

    None where the contents list no self-test: then no question is made.
    """
    paths = [path for entry in listed for path in entry.pages]
    if not any(path.startswith(f"{FOLDER}/") for path in paths):
        return ()
    chapters = {page.path: page for page in written if page.path in paths}
    by_topic: dict[str, list[ItemDraft]] = {}
    for case in library.cases:
        for item in works.items(case.case, SEED):
            by_topic.setdefault(item.topic, []).append(item)
    tests = [
        Test(f"{FOLDER}/{topic}.md", topic, _title(chapters[path]), _few(by_topic[topic]))
        for path in paths
        if path in chapters and (topic := path.removesuffix(".md")) in by_topic
    ]
    if not tests:
        return ()
    known = {test.topic for test in tests}
    every = [item for topic, items in by_topic.items() if topic in known for item in items]
    return (Test(INDEX, "", _word("title"), tuple(selection.mixed(every, SEED))), *tests)


def with_links(written: Iterable[Page], tests: Sequence[Test]) -> list[Page]:
    """The chapters, at the end of each that has a test a link to it."""
    links = {
        f"{test.topic}.md": _word("link", test=test.path, count=len(test.items))
        for test in tests
        if test.topic
    }
    return [
        replace(page, source=f"{page.source.rstrip()}\n\n{links[page.path]}\n")
        if page.path in links
        else page
        for page in written
    ]


def pages(tests: Sequence[Test], origin: Path) -> list[Page]:
    """The pages of the tests; they come from the files of ``origin``."""
    titles = {test.topic: test.title for test in tests}
    made = []
    for test in tests:
        title = _word("of_chapter", chapter=test.title) if test.topic else test.title
        body = _chapter(test, titles) if test.topic else _index(tests, titles)
        made.append(Page(test.path, f"# {title}\n\n{body}\n", origin, title=title))
    return made


def _few(items: Sequence[ItemDraft]) -> tuple[ItemDraft, ...]:
    return tuple(selection.of_chapter(items, SEED))


def _title(page: Page) -> str:
    found = _HEADING.search(page.source)
    return escape.text(found[1] if found else page.path)


def _index(tests: Sequence[Test], titles: Mapping[str, str]) -> str:
    mixed, *chapters = tests
    entries = (
        f'<a href="{posixpath.basename(test.path)}">{test.title}</a>'
        f' <span class="om-reason">{_word("count", count=len(test.items))}</span>'
        for test in chapters
    )
    *first, last = AFTER_RIGHT
    days = ", ".join(map(str, first))
    return "\n\n".join(
        [
            _word("lead"),
            _word("spacing", wrong=AFTER_WRONG, first=days, last=last),
            _due(tests),
            f"## {_word('chapters')} {{ #chapters }}",
            markup.bullets(entries, "om-item-tests"),
            f"## {_word('mixed')} {{ #mixed }}",
            _test(mixed, titles),
        ]
    )


def _chapter(test: Test, titles: Mapping[str, str]) -> str:
    lead = _word("chapter_lead", chapter=f"../{test.topic}.md", title=test.title)
    return f"{lead}\n\n{_test(test, titles)}"


def _due(tests: Sequence[Test]) -> str:
    """Every question and the page that it is on; a script shows those that are due."""
    where = {item.name: (item, test.path) for test in tests for item in test.items}
    entries = "\n".join(
        f'<li data-item="{name}" hidden>'
        f'<a href="{posixpath.basename(path)}#{_anchor(name)}">{escape.text(item.title)}</a></li>'
        for name, (item, path) in where.items()
    )
    heading = _word("due")
    return (
        f'<section class="om-item-due" aria-label="{heading}" hidden>\n<h2>{heading}</h2>\n'
        f'<p class="om-item-said" role="status"></p>\n<ul>\n{entries}\n</ul>\n'
        f'<div class="om-item-buttons"></div>\n<p class="om-item-kept"></p>\n</section>'
    )


def _test(test: Test, titles: Mapping[str, str]) -> str:
    """Questions, what a script needs to judge them, and the script."""
    questions = "\n".join(
        _question(number, item, titles[item.topic]) for number, item in enumerate(test.items, 1)
    )
    marks = [{"name": item.name, "kind": item.kind, **item.marks} for item in test.items]
    words = {
        **messages.section("site.self_test.script"),
        "after_right": AFTER_RIGHT,
        "after_wrong": AFTER_WRONG,
    }
    return "\n".join(
        [
            f'<div class="om-self-test">\n{questions}\n</div>',
            scripts.data("om-self-test-words", words),
            scripts.data("om-self-test-items", marks),
            scripts.tags(test.path, scripts.SELF_TEST),
        ]
    )


def _question(number: int, item: ItemDraft, chapter: str) -> str:
    anchor = _anchor(item.name)
    return (
        f'{reading.QUESTION} id="{anchor}" aria-labelledby="{anchor}-name">\n'
        f'<h2 class="om-item-name" id="{anchor}-name">{_word("question", number=number)}</h2>\n'
        f'<p class="om-item-topic"><a href="../{item.topic}.md">{chapter}</a></p>\n'
        f"{item.html}\n</section>"
    )


def _anchor(name: str) -> str:
    return f"question-{name}"


def _word(name: str, /, **values: object) -> str:
    return messages.text(f"site.self_test.{name}", **values)
