"""The template syntax of chapters."""

from __future__ import annotations

import pytest

from offmidline.site.escape import text as escaped
from offmidline.site.template import Block, expand, unknown

VALUES: dict[str, str | Block] = {"offset": "20 mm", "reach": "5 mm", "table": Block("<table>")}


def look(name: str) -> str | Block:
    """Look a name up in the values above."""
    if name not in VALUES:
        raise unknown(name, VALUES)
    return VALUES[name]


def test_names_are_replaced() -> None:
    """Every name in double braces gives way to its value, spaces around it or not."""
    assert expand("{{ offset }} and {{reach}}.", "a.md", look) == ("20 mm and 5 mm.", [])


def test_escaped_braces_stay() -> None:
    r"""A backslash before two braces leaves them as braces."""
    assert expand(r"write \{{ offset }}", "a.md", look) == ("write {{ offset }}", [])


def test_single_braces_are_text() -> None:
    """Braces of attribute lists are no names."""
    assert expand("## Head { #head }", "a.md", look) == ("## Head { #head }", [])


def test_unknown_name_has_its_place_and_the_nearest() -> None:
    """An unknown name is a fault with file, line, column and the nearest known name."""
    _, faults = expand("one\ntwo {{ ofset }}\n", "handbook/a.md", look)
    assert [str(fault) for fault in faults] == [
        "handbook/a.md:2:5: there is no ofset: did you mean offset?"
    ]


def test_unlike_name_lists_what_is_known() -> None:
    """Where no known name is near, all are listed."""
    _, faults = expand("{{ qqqqq }}", "a.md", look)
    assert "known here: offset, reach, table" in str(faults[0])


def test_all_faults_are_found() -> None:
    """One run finds every fault of a text."""
    _, faults = expand("{{ a }}\n{{ offset }}\n {{ b }} {{", "a.md", look)
    assert [(fault.line, fault.column) for fault in faults] == [(1, 1), (3, 2), (3, 10)]


def test_unclosed_braces_are_a_fault() -> None:
    """Braces that the line does not close are a fault and never text."""
    _, faults = expand("{{ offset\n}}", "a.md", look)
    assert [(fault.line, fault.column) for fault in faults] == [(1, 1)]
    assert "not closed" in faults[0].message


def test_block_stands_alone() -> None:
    """A block becomes a paragraph of its own."""
    assert expand("a\n\n{{ table }}\n\nb", "a.md", look)[0] == "a\n\n\n<table>\n\n\nb"


@pytest.mark.parametrize("text", ["see {{ table }}", "{{ table }} there", "- {{ table }}"])
def test_block_inside_a_line_is_a_fault(text: str) -> None:
    """A block that shares its line with other text is a fault."""
    _, faults = expand(text, "a.md", look)
    assert len(faults) == 1
    assert "line of its own" in faults[0].message


def test_plain_texts_are_escaped_around_names() -> None:
    """What stands between names is escaped where the text is not Markdown."""
    out, faults = expand("<b> {{ offset }} *x*", "a.yml", look, escaped)
    assert not faults
    assert out == "&#60;b&#62; 20 mm &#42;x&#42;"


def test_values_are_not_read_again() -> None:
    """A value that looks like a name is not looked up."""
    assert expand("{{ x }}", "a.md", lambda _: "{{ offset }}")[0] == "{{ offset }}"
