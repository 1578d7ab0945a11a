"""The pages of checklists, made from a technique's steps: one a phase to tick on the screen, a
sheet of paper for the whole operation, and a pocket list for a phone.

handbook/assets/checklist.js keeps the ticks and counts them; it takes its words from here. A tick
is known by technique, phase and step, so that it outlives every other change.
"""

from __future__ import annotations

import posixpath
from collections.abc import Container
from typing import Final

from offmidline import messages
from offmidline.records import Phase, Step, Technique
from offmidline.site import amounts, escape
from offmidline.site.pages import Page
from offmidline.site.steps import Texts, details, pause, who

FOLDER: Final = "checklists"
INDEX: Final = f"{FOLDER}/index.md"
SHEET: Final = f"{FOLDER}/sheet.md"
POCKET: Final = f"{FOLDER}/pocket.md"

_WORDS: Final = ("all", "phase", "confirm", "ask", "keep", "cleared", "nothing", "kept", "refused")


def pages(technique: Technique, texts: Texts, chapters: Container[str]) -> list[Page]:
    """The index, a page a phase, the sheet, and the pocket list.

    ``chapters`` are the paths of the chapters: a phase links to the one that has its name.
    """
    made = [
        (INDEX, _word("title"), _index(technique)),
        *(
            (_path(phase.phase), _phase_title(phase), _phase(technique, phase, texts, chapters))
            for phase in technique.steps
        ),
        (SHEET, _word("sheet_title"), _sheet(technique, texts)),
        (POCKET, _word("pocket_title"), _pocket(technique, texts)),
    ]
    return [
        Page(path, amounts.kept_whole(f"# {title}\n\n{source}\n"), texts.path, title)
        for path, title, source in made
    ]


def link(phase: str, page: str) -> str:
    """The link from a page, given by its path, to the checklist of a phase."""
    target = posixpath.relpath(_path(phase), posixpath.dirname(page) or ".")
    return f"[{_word('link')}]({target})"


def _word(name: str, /, **values: object) -> str:
    return messages.text(f"site.checklists.{name}", **values)


def _path(phase: str) -> str:
    path = f"{FOLDER}/{phase}.md"
    return f"{FOLDER}/{phase}-phase.md" if path in (INDEX, SHEET, POCKET) else path


def _phase_title(phase: Phase) -> str:
    return _word("phase_title", phase=escape.text(phase.title))


def _index(technique: Technique) -> str:
    items = "\n".join(
        f'<li><a href="{posixpath.basename(_path(phase.phase))}">{escape.text(phase.title)}</a> '
        f'<span class="om-checklist-count" {_counted(phase)}>'
        f"{_word('steps', count=len(phase.steps))}</span></li>"
        for phase in technique.steps
    )
    phases = f'<ol class="om-checklist-phases">\n{items}\n</ol>\n{_ending()}'
    return "\n\n".join(
        [
            _word("lead", practice="{{ practice }}"),
            _word("other", sheet="sheet.md", pocket="pocket.md"),
            f"## {_word('phases')} {{ #phases }}",
            _box(technique, phases) if technique.steps else _word("none"),
        ]
    )


def _phase(technique: Technique, phase: Phase, texts: Texts, chapters: Container[str]) -> str:
    place = technique.steps.index(phase) + 1
    lead = _word("place", place=place, count=len(technique.steps))
    if (chapter := f"{phase.phase}.md") in chapters:
        lead += " " + _word("chapter", chapter=f"../{chapter}")
    items = "\n".join(
        f"<li{_kind(step)}>{pause(step)}{_tick(phase, step, texts)}"
        f'<div class="om-tags">{who(step)}</div>{details(step, texts)}</li>'
        for step in phase.steps
    )
    listed = f'<ol class="om-checklist-steps" role="list">\n{items}\n</ol>'
    count = f'<p class="om-checklist-bar" role="status" {_counted(phase)}></p>'
    inner = "\n".join([listed, count, _ending(phase)])
    return f"{lead}\n\n{_box(technique, inner)}"


def _sheet(technique: Technique, texts: Texts) -> str:
    phases = "\n".join(
        f"<section><h2>{escape.text(phase.title)}</h2>\n"
        f'<ul role="list">\n{"".join(_line(step, texts) for step in phase.steps)}</ul></section>'
        for phase in technique.steps
    )
    if not phases:
        return _word("none")
    return (
        f"{_word('sheet_lead')}\n\n"
        f'<div class="om-sheet" data-search-exclude="">\n'
        f'<p class="om-sheet-technique">{escape.text(technique.title)}</p>\n'
        f'<div class="om-sheet-columns">\n{phases}\n</div>\n</div>'
    )


def _line(step: Step, texts: Texts) -> str:
    return f"<li{_kind(step)}>{pause(step)} {texts.filled(step.do)} {who(step)}</li>\n"


def _pocket(technique: Technique, texts: Texts) -> str:
    phases = "\n".join(
        f"<details{' open' if phase is technique.steps[0] else ''}>\n"
        f"<summary>{escape.text(phase.title)} "
        f'<span class="om-checklist-count" {_counted(phase)}>'
        f"{_word('steps', count=len(phase.steps))}</span></summary>\n"
        f'<ol class="om-checklist-steps" role="list">\n'
        + "\n".join(
            f"<li{_kind(step)}>{pause(step)}{_tick(phase, step, texts, who(step))}</li>"
            for step in phase.steps
        )
        + "\n</ol>\n</details>"
        for phase in technique.steps
    )
    if not phases:
        return _word("none")
    inner = f"{phases}\n{_ending()}"
    return f"{_word('pocket_lead')}\n\n{_box(technique, inner, 'om-pocket')}"


def _tick(phase: Phase, step: Step, texts: Texts, more: str = "") -> str:
    """A box to tick and what is to be done."""
    ident = f"{escape.attribute(phase.phase)}/{escape.attribute(step.step)}"
    return (
        f'<label class="om-tick"><input type="checkbox" data-tick="{ident}">'
        f'<span><span class="om-do">{texts.filled(step.do)}</span>{more}</span></label>'
    )


def _kind(step: Step) -> str:
    return ' class="om-pausing"' if step.pause else ""


def _counted(phase: Phase) -> str:
    """What counts the ticks of a phase: its steps, and the words to count with."""
    steps = " ".join(f"{phase.phase}/{step.step}" for step in phase.steps)
    words = _word("done", done="[done]", count=len(phase.steps))
    return f'data-steps="{escape.attribute(steps)}" data-done="{escape.attribute(words)}"'


def _box(technique: Technique, inner: str, kind: str = "") -> str:
    """What the script looks after: the ticks of one technique."""
    words = " ".join(
        f'data-{name}="{escape.attribute(_word(name, count="[count]"))}"' for name in _WORDS
    )
    return (
        f'<div class="{f"om-checklist {kind}".strip()}"'
        f' data-technique="{escape.attribute(technique.technique)}" {words}>\n{inner}\n</div>'
    )


def _ending(phase: Phase | None = None) -> str:
    """Where the script puts the buttons that clear ticks, what they say, and where ticks go."""
    scope = "" if phase is None else f' data-clear="{escape.attribute(phase.phase)}"'
    return (
        f'<div class="om-checklist-clear"{scope}></div>\n'
        f'<p class="om-checklist-said" role="status"></p>\n'
        f'<p class="om-checklist-note">{_word("unscripted")}</p>'
    )
