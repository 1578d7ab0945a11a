"""A report as one HTML file: no script, nothing from elsewhere, light and dark, for print too.

Every text that is given here is plain text and is escaped here; a figure is our own ``<svg>``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

from offmidline import markup, messages
from offmidline.figures.page.style import Theme, css_variables
from offmidline.markup import Group

_STYLE: Final = """
body { margin: 0 auto; max-width: 62rem; padding: 1rem; color: var(--fig-ink);
  background: var(--fig-paper); font: 1rem/1.5 Ubuntu, "Segoe UI", "DejaVu Sans", sans-serif; }
h1, h2, h3 { line-height: 1.2; margin: 1.8em 0 0.5em; }
h1 { margin-top: 0.4em; }
p, li { max-width: 44rem; overflow-wrap: anywhere; }
.caution { border-left: 4px solid var(--fig-wrong); padding: 0.3rem 0.8rem; }
.om-scroll { overflow-x: auto; margin: 1rem 0; }
.om-scroll:focus-visible { outline: 3px solid var(--fig-midline); outline-offset: 2px; }
table { border-collapse: collapse; font-size: 0.9rem; }
caption { text-align: left; font-weight: bold; padding: 0.3rem 0; }
th, td { padding: 0.25rem 0.6rem; text-align: left; vertical-align: top;
  border-bottom: 1px solid var(--fig-faint); overflow-wrap: break-word; }
thead th { border-bottom: 2px solid var(--fig-ink); }
td, th { font-variant-numeric: tabular-nums; max-width: 22rem; }
tbody th { font-weight: normal; }
tr.om-group th { font-weight: bold; padding-top: 0.8rem; }
figure { margin: 1.2rem 0; max-width: 46rem; }
figure svg { width: 100%; height: auto; }
figcaption { font-size: 0.9rem; }
@media print { body { max-width: none; } .om-scroll { overflow: visible; }
  tr, figure { break-inside: avoid; } thead { display: table-header-group; } }
"""


def document(title: str, body: Iterable[str]) -> bytes:
    """The whole file: title, caution, and then the pieces."""
    return "\n".join(
        (
            "<!DOCTYPE html>",
            f'<html lang="{messages.text("exam.html.language")}">',
            '<head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(title)}</title>",
            f"<style>{_colours()}{_STYLE}</style></head>",
            "<body><main>",
            f"<h1>{escape(title)}</h1>",
            f'<p class="caution">{escape(messages.text("caution.text"))}</p>',
            *body,
            "</main></body></html>\n",
        )
    ).encode()


def heading(level: int, text: str) -> str:
    """A heading of level 2 or below."""
    return f"<h{level}>{escape(text)}</h{level}>"


def paragraph(text: str) -> str:
    """A paragraph."""
    return f"<p>{escape(text)}</p>"


def bullets(texts: Iterable[str]) -> str:
    """A list of sentences."""
    return markup.bullets(map(escape, texts))


def table(ident: str, caption: str, heads: Sequence[str], groups: Iterable[Group]) -> str:
    """A table with its caption, of groups of plain texts; the first cell of each row is its
    heading. Where it is too wide, the keyboard can scroll it.
    """
    escaped = [
        Group(escape(group.title), [[*map(escape, row)] for row in group.rows]) for group in groups
    ]
    return markup.table(ident, escape(caption), [*map(escape, heads)], escaped)


def figure(svg: str, caption: str) -> str:
    """A figure with its caption."""
    return f"<figure>\n{svg}\n<figcaption>{escape(caption)}</figcaption>\n</figure>"


def _colours() -> str:
    """The colours of figures and page: light, dark where the reader's device is, light on paper."""
    return (
        f":root {{ {_variables('light')} }}\n"
        f"@media screen and (prefers-color-scheme: dark) {{ :root {{ {_variables('dark')} }} }}\n"
    )


def _variables(theme: Theme) -> str:
    return " ".join(f"{name}: {colour};" for name, colour in css_variables(theme).items())
