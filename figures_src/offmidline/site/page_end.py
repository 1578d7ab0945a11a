"""What the site itself puts on every page: under the title how long it takes to read, and at its
end the sources that it cites, the caution, the version and the day on which it was reviewed.

None of it is searched.
"""

from __future__ import annotations

from typing import Final

from offmidline import __version__, markup, messages
from offmidline.site import citations, escape, reading
from offmidline.site.citations import Citations

_FIRST_HEADING: Final = "# "


def framed(source: str, path: str, cited: Citations) -> str:
    """A finished page with its head and its end; ``cited`` knows what every page cites."""
    title, _, body = source.partition("\n")
    if not title.startswith(_FIRST_HEADING):
        title, body = "", source
    parts = [title, _reading_time(source), body.strip("\n"), _sources(path, cited), _caution()]
    return "\n\n".join(part for part in parts if part) + "\n"


def reviewed() -> str:
    """The day on which the texts were last reviewed, as a date that programs can read too."""
    day = messages.text("site.reviewed")
    return f'<time datetime="{day}">{day}</time>'


def _reading_time(source: str) -> str:
    minutes, questions = reading.minutes(source), reading.questions(source)
    if questions:
        words = messages.text("site.reading_questions", count=questions)
    else:
        name = "reading_one" if minutes == 1 else "reading"
        words = messages.text(f"site.{name}", minutes=minutes)
    return f'<p class="om-reading" data-search-exclude="">{words}</p>'


def _sources(path: str, cited: Citations) -> str:
    title = messages.text("site.page_sources.title")
    entries = cited.short_list(path)
    if path == citations.PAGE:
        listing = f"<p>{messages.text('site.page_sources.all')}</p>"
    elif entries:
        listing = markup.bullets(entries)
    else:
        listing = f"<p>{messages.text('site.page_sources.none')}</p>"
    return (
        f'<section class="om-page-sources" aria-label="{title}" data-search-exclude="">\n'
        f"<h2>{title}</h2>\n{listing}\n</section>"
    )


def _caution() -> str:
    version = messages.text("site.version", version=escape.text(__version__), reviewed=reviewed())
    return (
        f'<aside class="om-caution" aria-label="{messages.text("site.caution_label")}"'
        f' data-search-exclude="">\n<p>{messages.text("caution.text")}</p>\n'
        f'<p class="om-version">{version}</p>\n</aside>'
    )
