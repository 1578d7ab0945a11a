"""The pages on which a case is marked by the reader: their list, the sandbox, one a case.

All that is read off a case stands in the page as data; the scripts draw it, take the reader's
marking and judge it. Only cases that the audience sees have a page, and of those only what has a
right marking.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from offmidline import markup, messages
from offmidline.records import Case, Library, Technique
from offmidline.records.files import CASES, TECHNIQUES
from offmidline.site import amounts, case_words, escape, sandbox, scripts
from offmidline.site.drafts import ExerciseDraft
from offmidline.site.exercise_words import words
from offmidline.site.pages import Page, record_path
from offmidline.site.works import Works

FOLDER: Final = "exercises"
INDEX: Final = f"{FOLDER}/index.md"
_FINDINGS_VIEW: Final = "findings"


def pages(library: Library, technique: Technique, works: Works, scenarios: Path) -> list[Page]:
    """The list of the exercises, the sandbox, then each of them, in order of the cases."""
    found = [(case, works.exercise(case.case)) for case in library.cases]
    exercises = [(case, draft) for case, draft in found if draft is not None]
    return [
        Page(
            path=INDEX,
            source=_index([case for case, _ in exercises]),
            origin=record_path(scenarios, TECHNIQUES, technique.technique),
            title=_say("title"),
        ),
        Page(
            path=sandbox.PAGE,
            source=sandbox.sandbox_page(technique),
            origin=record_path(scenarios, TECHNIQUES, technique.technique),
            title=messages.text("site.sandbox.title"),
        ),
        *(
            Page(
                path=path(case.case),
                source=_page(case, draft),
                origin=record_path(scenarios, CASES, case.case),
                title=_say("page_title", title=escape.text(case.title)),
            )
            for case, draft in exercises
        ),
    ]


def path(case_id: str) -> str:
    """The page on which a case is marked."""
    return f"{FOLDER}/{case_id}.md"


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.exercise.{name}", **values)


def _index(cases: list[Case]) -> str:
    rows = [
        (f'<a href="{case.case}.md">{escape.text(case.title)}</a>', case_words.patient(case))
        for case in cases
    ]
    heads = [_say("case"), _say("patient")]
    listed = markup.table(
        "exercises-table", _say("caption"), heads, [markup.Group("", rows)], "om-cases"
    )
    parts = [
        f"# {_say('title')}",
        _say("lead"),
        _say("parts"),
        _say("key"),
        _say("sandbox"),
        listed if rows else _say("none"),
    ]
    return amounts.kept_whole("\n\n".join(parts) + "\n")


def _page(case: Case, draft: ExerciseDraft) -> str:
    text = [
        f"# {_say('page_title', title=escape.text(case.title))}",
        f"{case_words.patient(case)} {_say('lead_case', case=case.case)}",
        case_words.findings(case),
        _plain(case),
        *_task("marking"),
        *_task("section"),
        _heading("reasons"),
        _reasons(draft),
    ]
    behind = [
        scripts.data("om-exercise", draft.data),
        words(),
        scripts.tags(path(case.case), scripts.EXERCISE),
    ]
    # Numbers in data are for programs: only the text is set like a page.
    return "\n\n".join([amounts.kept_whole("\n\n".join(text)), *behind]) + "\n"


def _plain(case: Case) -> str:
    """What the page has where no script runs: the findings as a figure."""
    figure = f"{{{{ figure:{case.case}:{_FINDINGS_VIEW} }}}}"
    return f'<div class="om-exercise-plain">\n<p>{_say("unscripted")}</p>\n\n{figure}\n\n</div>'


def _task(name: str) -> list[str]:
    """A place for one of the exercises, which the scripts fill."""
    return [
        _heading(name),
        _say(f"{name}_lead"),
        f'<div class="om-exercise" data-task="{name}" data-search-exclude=""></div>',
    ]


def _reasons(draft: ExerciseDraft) -> str:
    """Every rule with its reason: to be read here, and taken by the scripts beside a verdict."""
    titles = messages.section("rules")
    items = "\n".join(
        f'<li><b>{titles[rule]["title"]}.</b> <span id="reason-{rule}">{reason}</span></li>'
        for rule, reason in draft.reasons
    )
    return (
        f"{_say('reasons_lead')}\n\n"
        f'<details data-search-exclude="">\n<summary>{_say("reasons_open")}</summary>\n'
        f'<ul class="om-lookup">\n{items}\n</ul>\n</details>'
    )


def _heading(name: str) -> str:
    return f"## {_say(name)} {{ #{name} }}"
