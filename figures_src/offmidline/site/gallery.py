"""A gallery: every view that can show a case, with the lines that it is drawn from and the
command that makes it.
"""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.records import Case
from offmidline.records.document import Way
from offmidline.records.files import CASES, TECHNIQUES
from offmidline.site import escape
from offmidline.site.excerpt import Written
from offmidline.site.pages import record_path
from offmidline.site.settings import READS_NOTES, Settings
from offmidline.site.works import ViewEntry

_CASE: Final = "case:"
_TECHNIQUE: Final = "technique:"
_DIMENSIONS: Final = "dimensions"
# Keys of a case that only those see who read the teaching notes.
_NOTES: Final[tuple[Way, ...]] = (("teaching_notes",),)
# Characters of a line that a phone shows at once. What is wider is scrolled, also by the keyboard.
_NARROW: Final = 34
# The end of a line before a blank one, at which Markdown would end the HTML.
_BEFORE_BLANK: Final = re.compile(r"\n(?=[ \t]*\n)")


def gallery(
    case: Case, views: Sequence[ViewEntry], show: Callable[[str], str], settings: Settings
) -> str:
    """The views of a case, one section after another; ``show`` gives a view's figures."""
    origins = _Origins(case, settings)
    return "\n\n".join(part for view in views for part in _section(case, view, show, origins))


def _section(
    case: Case, view: ViewEntry, show: Callable[[str], str], origins: _Origins
) -> list[str]:
    return [
        f"## {view.title} {{ #{case.case}-{view.name} }}",
        f'<p class="om-summary">{view.summary[:1].upper()}{view.summary[1:]}.</p>',
        show(view.name),
        *(_lines(file, text) for file, text in origins.excerpts(view.reads)),
        _command(origins.command(view.name)),
    ]


class _Origins:
    """Where a case and its technique are written, as seen from the folder of the handbook."""

    def __init__(self, case: Case, settings: Settings) -> None:
        self._home = settings.handbook.parent
        self._case = record_path(settings.scenarios, CASES, case.case)
        self._technique = record_path(settings.scenarios, TECHNIQUES, case.technique)
        self._written = {
            path: Written.read(path, settings.scenarios) for path in (self._case, self._technique)
        }
        self._hidden = () if settings.audience in READS_NOTES else _NOTES

    def excerpts(self, reads: Sequence[str]) -> list[tuple[str, str]]:
        """The files with the lines of the keys that they have."""
        found = []
        for path, kind in ((self._case, _CASE), (self._technique, _TECHNIQUE)):
            written = self._written[path]
            keys = [key.removeprefix(kind) for key in reads if key.startswith(kind)]
            ways = [_dimension(key, written) if kind == _TECHNIQUE else _way(key) for key in keys]
            text = written.excerpt(ways, self._hidden)
            found += [(self._name(path), text)] if text else []
        return found

    def command(self, view: str) -> list[str]:
        """The words that one types to have the view as a file."""
        name = self._name(self._case)
        return ["offmidline", "draw", name, "--view", view, "-o", f"{view}.svg"]

    def _name(self, path: Path) -> str:
        return Path(os.path.relpath(path, self._home)).as_posix()


def _way(key: str) -> Way:
    return tuple(int(part) if part.isdigit() else part for part in key.split("."))


def _dimension(key: str, written: Written) -> Way:
    """The value of a dimension, without the reason, by its name or by the whole way to it; any
    other key as it is.
    """
    way = (_DIMENSIONS, *_way(key.removeprefix(f"{_DIMENSIONS}.")), "value")
    return way if written.has(way) else _way(key)


def _block(title: str, code: str, pieces: Iterable[str]) -> str:
    """Code under a title. Where one of the pieces that no line parts is wide, the keyboard can
    reach the code and scroll it.
    """
    reach = ""
    if max(map(len, pieces)) > _NARROW:
        reach = f' tabindex="0" role="group" aria-label="{escape.without_elements(title)}"'
    return (
        f'<div class="om-made-of" data-search-exclude="">\n<p>{title}</p>\n'
        f'<pre class="om-code"{reach}><code>{code}</code></pre>\n</div>'
    )


def _lines(file: str, text: str) -> str:
    """Lines of a file, as they are."""
    title = messages.text("site.gallery.lines", file=escape.text(file))
    return _block(title, _BEFORE_BLANK.sub("&#10;", escape.text(text)), text.split("\n"))


def _command(words: Sequence[str]) -> str:
    """A command for a shell, of which a line may end between two words."""
    quoted = [shlex.quote(word) for word in words]
    code = " ".join(f'<span class="om-word">{escape.text(word)}</span>' for word in quoted)
    return _block(messages.text("site.gallery.command"), code, quoted)
