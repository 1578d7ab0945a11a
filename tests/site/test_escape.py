"""Text that people wrote, on a page."""

from __future__ import annotations

import html
import string

import markdown  # type: ignore[import-untyped]
import pytest
from hypothesis import given
from hypothesis import strategies as st

from offmidline.site import escape

# What the reader of cases lets through: no control characters, white space collapsed.
TEXTS = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp", "Zs"]), min_size=1, max_size=60
)
EXTENSIONS = ["admonition", "attr_list", "md_in_html", "tables", "toc"]


def shown(source: str) -> str:
    """The text that a browser would show of an HTML fragment without elements."""
    return html.unescape(escape.without_elements(source))


@given(TEXTS)
def test_text_is_shown_as_written(text: str) -> None:
    """A browser shows exactly the characters that were written."""
    assert shown(escape.text(text)) == text
    assert html.unescape(escape.attribute(text)) == text


@given(TEXTS)
def test_markdown_finds_no_markup(text: str) -> None:
    """Markdown makes one paragraph of any text, with nothing in it but the text."""
    made = markdown.markdown(escape.text(text), extensions=EXTENSIONS)
    assert made.startswith("<p>")
    assert made.endswith("</p>")
    inner = made.removeprefix("<p>").removesuffix("</p>")
    assert "<" not in inner.replace("<bdi>", "").replace("</bdi>", "")
    assert shown(inner).strip("\u00a0") == text.strip("\u00a0")


@pytest.mark.parametrize(
    "text", ["1. one", "# head", "- item", "+ item", "> quote", "    code", "| a | b |", "a\\|b"]
)
def test_no_text_begins_a_block(text: str) -> None:
    """Leading digits, marks and pipes begin no list, heading, quotation or table."""
    made = markdown.markdown(escape.text(" ".join(text.split())), extensions=EXTENSIONS)
    assert made.count("<") == 2


@pytest.mark.parametrize("mark", sorted(set(string.punctuation) - {","}))
def test_every_mark_is_escaped(mark: str) -> None:
    """No ASCII punctuation but the comma is left as it is."""
    assert escape.text(mark) == f"&#{ord(mark)};"


def test_turning_text_is_isolated() -> None:
    """Text that may turn the reading direction cannot turn what stands beside it."""
    assert escape.text("a\u202eb") == "<bdi>a\u202eb</bdi>"
    assert escape.text("שלום") == "<bdi>שלום</bdi>"
    assert escape.text("plain") == "plain"


def test_template_syntax_stays_text() -> None:
    """Braces in a case's text name nothing."""
    assert "{" not in escape.text("{{ offset }}")
