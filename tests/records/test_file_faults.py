"""Faults of the file as such: its bytes, its YAML, its form."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from offmidline.records import FaultsError, read_case, yaml_text
from offmidline.records.yaml_text import MAX_BYTES, MAX_DEPTH, MAX_NODES

TITLE = "title: Two pits and an opening"

# The title's line, or a change of the whole text -> faults as line, column, words.
LINES = [
    ("title: Two: pits", [(2, 11, ["colon", "quotes"])]),
    ('title: "Two pits', [(2, 8, ["never closed"])]),
    ("title: 'it's so'", [(2, 12, ["text follows a value", "quotes"])]),
    ('title: "Two" pits', [(2, 14, ["text follows a value"])]),
    ("title: @Two", [(2, 8, ["begin with this character", "quotes"])]),
    ("title: `Two`", [(2, 8, ["begin with this character"])]),
    ("title: %Two", [(2, 8, ["begin with this character"])]),
    ("title: [Two pits", [(3, 9, ["bracket opened in line 2"])]),
    ("title: {Two: pits", [(3, 9, ["bracket opened in line 2"])]),
    ("title: & Two", [(2, 9, ["& or *", "quotes"])]),
    ("title: !x!Two pits", [(2, 8, ["exclamation mark", "quotes"])]),
    ("title: !Two pits", [(2, 8, ["the tag !Two"])]),
    ("title: !!str Two pits", [(2, 8, ["the tag !!str"])]),
    ("title: !!python/object:os.system Two", [(2, 8, ["the tag !!python/object:os.system"])]),
    ("title: &two Two pits", [(2, 8, ["the anchor &two"])]),
    ("title: *two", [(2, 8, ["the alias *two"])]),
    ("title: > Two pits", [(2, 10, ["next line"])]),
    ("title:Two pits", [(2, 1, ["colon and a space"])]),
    ("title", [(2, 1, ["colon and a space"])]),
    (": Two pits", [(2, 1, ["value without a key"])]),
    (" title: Two pits", [(2, 7, ["indentation"])]),
    ("title: - Two pits", [(2, 8, ["list item may not begin here"])]),
    ("? [title]\n: Two", [(1, 1, ["title is missing"]), (2, 3, ["key must be plain text"])]),
    ("? {title: x}\n: Two", [(1, 1, ["title is missing"]), (2, 3, ["key must be plain text"])]),
    ("~: Two", [(1, 1, ["title is missing"]), (2, 1, ["value without a key"])]),
    ("<<: {title: Two pits}", [(1, 1, ["title is missing"]), (2, 1, ["the key << would merge"])]),
    ("title:\tTwo pits", [(2, 7, ["tab", "spaces"])]),
    ("title: Two\tpits", [(2, 11, ["tab"])]),
    ("\ttitle: Two pits", [(2, 1, ["tab"])]),
    ("title: Two pits\t# really", [(2, 16, ["tab"])]),
    ("title: Two\u0000 pits", [(2, 11, ["U+0000"])]),
    ("title: Two\u001b[31m pits", [(2, 11, ["U+001B"])]),
    ("title: Two\u0085pits", [(2, 11, ["U+0085"])]),
    ("title: Two\u2028pits", [(2, 11, ["U+2028", "line separator"])]),
    ("title: Two\ufeff pits", [(2, 11, ["U+FEFF"])]),
    ("title: Two\uffff pits", [(2, 11, ["U+FFFF"])]),
]

ACCEPTED_TITLES = [
    ("title: no", "no"),
    ("title: 12:30", "12:30"),
    ("title: 010", "010"),
    ("title: 1_000", "1_000"),
    ("title: 2020-01-02", "2020-01-02"),
    ("title: true", "true"),
    ("title: 'null'", "null"),
    ("title: 1e3", "1e3"),
    ("title: 3", "3"),
    ("title: >-\n  two\n  lines", "two lines"),
    ("title: |\n  two\n  lines", "two lines"),
    ('title: "two  \\t spaces"', "two spaces"),
    ("title: <script>alert('x')</script>", "<script>alert('x')</script>"),
    ("title: '{{ case.title }} {% raw %}'", "{{ case.title }} {% raw %}"),
    ("title: \u202eright to left\u200f \u05d0", "\u202eright to left\u200f \u05d0"),
    ("title: \U0001f9d1\u200d\u2695\ufe0f Zoë", "\U0001f9d1\u200d\u2695\ufe0f Zoë"),
    ("title: " + "x" * 200, "x" * 200),
]


@pytest.fixture(params=["CSafeLoader", "SafeLoader"], autouse=True)
def loader(request, monkeypatch):
    """Both of PyYAML's parsers must give the same faults."""
    monkeypatch.setattr(yaml_text, "_LOADER", getattr(yaml, request.param))


def _faults_of(path: Path, folder: Path):
    with pytest.raises(FaultsError) as raised:
        read_case(path, folder)
    return raised.value.faults


def _places(faults):
    return [(fault.line, fault.column) for fault in faults]


@pytest.mark.parametrize(("line", "expected"), LINES)
def test_a_spoilt_line_is_placed_and_explained(case_text, write_case, folder, line, expected):
    """What is no plain YAML is told in plain words, where it is."""
    found = _faults_of(write_case(case_text.replace(TITLE, line)), folder)
    assert _places(found) == [row[:2] for row in expected], found
    for fault, (_, _, words) in zip(found, expected, strict=True):
        assert all(word in fault.message for word in words), fault


@pytest.mark.parametrize(("line", "title"), ACCEPTED_TITLES)
def test_text_stays_text(case_text, write_case, folder, line, title):
    """No word, number, time or date of YAML 1.1 changes what a writer meant as text."""
    assert read_case(write_case(case_text.replace(TITLE, line)), folder).title == title


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"# only a comment\n", "empty"),
        (b"---\n", "empty"),
        (b"~\n", "empty"),
        (b"- case: a\n", "must be a mapping"),
        (b"case\n", "must be a mapping"),
        (b"x" * (MAX_BYTES + 1), "256 kB"),
        ("case: a\n".encode("utf-16"), "UTF-16"),
    ],
)
def test_a_file_that_holds_no_record_says_so(write_case, folder, content, words):
    """One fault at the beginning of the file."""
    (fault,) = _faults_of(write_case(content), folder)
    assert (fault.line, fault.column) == (1, 1)
    assert words in fault.message


def test_a_byte_order_mark_is_refused(case_text, write_case, folder):
    """It is invisible in editors, so the message says how to get rid of it."""
    (fault,) = _faults_of(write_case(b"\xef\xbb\xbf" + case_text.encode()), folder)
    assert (fault.line, fault.column) == (1, 1)
    assert "without BOM" in fault.message


def test_bytes_that_are_no_utf_8_are_placed(case_text, write_case, folder):
    """The column counts characters, not bytes, and the file's other faults are told too."""
    text = case_text.replace(TITLE, "title: Zoë").encode()
    text = text.replace(b"tile setter", b"k\xfcfer").replace(b"62 mm", b"62")
    found = _faults_of(write_case(text.replace(b"Zo", b"\xc3\xa9\xff")), folder)
    assert [(fault.line, fault.column, fault.message[:14]) for fault in found] == [
        (2, 9, "the byte 0xFF "),
        (12, 16, "the byte 0xFC "),
        (16, 12, "at: 62 has no "),
    ]


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_line_ends_of_other_systems_count_alike(case_text, write_case, folder, end):
    """Lines are the same with carriage returns."""
    read_case(write_case(case_text.replace("\n", end)), folder)
    (fault,) = _faults_of(write_case(case_text.replace("62 mm", "62").replace("\n", end)), folder)
    assert (fault.line, fault.column) == (16, 12)


def test_a_second_document_is_refused(case_text, write_case, folder):
    """One record to a file."""
    (fault,) = _faults_of(write_case(case_text + "---\ncase: other\n"), folder)
    assert (fault.line, fault.column) == (37, 1)
    assert "file of its own" in fault.message


def test_document_marks_round_one_record_are_accepted(case_text, write_case, folder):
    """`---` before and `...` after the record are harmless."""
    assert read_case(write_case(f"---\n{case_text}...\n"), folder).case == "tile-setter"


def test_depth_is_limited(case_text, write_case, folder):
    """A value nested too deep is a fault at the level that goes too far, and costs no stack."""
    deep = "[" * MAX_DEPTH + "]" * MAX_DEPTH
    not_text, fault = _faults_of(write_case(case_text.replace(TITLE, f"title: {deep}")), folder)
    assert "not a list" in not_text.message
    assert (fault.line, fault.column) == (2, 8 + MAX_DEPTH - 1)
    assert str(MAX_DEPTH) in fault.message


@pytest.mark.parametrize("start", ["a: ", "? "])
def test_brackets_without_end_are_a_fault(write_case, folder, start):
    """Reading stops early, be it at our limit or at the parser's own."""
    found = _faults_of(write_case(start + "[" * 200_000), folder)
    assert all(fault.line == 1 and fault.column < 1200 for fault in found)
    assert any("nested" in fault.message for fault in found)


def test_the_number_of_parts_is_limited(case_text, write_case, folder):
    """A file within the size limit cannot keep the reader busy."""
    parts = "learning: [" + "a," * (MAX_NODES + 1) + "a]"
    (fault,) = _faults_of(
        write_case(case_text.replace("learning:\n", f"{parts}\nlearned:\n")), folder
    )
    assert fault.line == 34
    assert str(MAX_NODES) in fault.message


def test_aliases_are_not_followed(case_text, write_case, folder):
    """A bomb of aliases is a list of faults, one for each."""
    bomb = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n"
    found = _faults_of(write_case(bomb + case_text), folder)
    assert sum("the alias" in fault.message for fault in found) == 4
    assert sum("the anchor" in fault.message for fault in found) == 3


def test_a_file_of_just_the_greatest_size_is_read(case_text, write_case, folder):
    """The limit itself is allowed."""
    comment = "#" * (MAX_BYTES - len(case_text.encode()))
    assert read_case(write_case(case_text + comment), folder).case == "tile-setter"
