"""A text is found in a file however it is wrapped, and nothing else is found."""

from __future__ import annotations

import base64
import gzip
import html
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from offmidline.leaks.scan import Search, scan_file, scan_tree
from offmidline.leaks.words import Word

from .wrappings import WRAPPINGS, pdf_page, png, zipped

SECRET = Word("Canary of the quarry", "somewhere")
SEARCH = Search([SECRET])

TEXT_WRAPS: dict[str, Callable[[str], str]] = {
    "html": lambda text: html.escape("".join(f"&#{ord(one)};" for one in text)),
    "percent": quote,
    "json": lambda text: json.dumps({"text": text}),
    "base64": lambda text: base64.b64encode(text.encode()).decode(),
    "data": lambda text: f"data:text/html;base64,{base64.b64encode(text.encode()).decode()}",
}
BYTE_WRAPS: dict[str, Callable[[bytes], bytes]] = {
    "gzip": lambda data: gzip.compress(data, mtime=0),
    "zip": zipped,
    "png": lambda data: png((b"zTXt", b"Comment\0\0" + zlib.compress(data))),
    "data": lambda data: b"url(data:x/y;base64," + base64.b64encode(data) + b")",
}


@pytest.mark.parametrize("name", WRAPPINGS)
def test_a_text_is_found_in_every_wrapping(name: str) -> None:
    """One leak, of the word that is there."""
    leaks = list(scan_file("file", WRAPPINGS[name](SECRET.text), SEARCH))
    assert [leak.word for leak in leaks] == [SECRET]


@pytest.mark.parametrize("name", WRAPPINGS)
def test_another_text_is_not_found(name: str) -> None:
    """The same file with other words is clean, and every part of it can be looked into."""
    assert list(scan_file("file", WRAPPINGS[name]("Canopy of the quarry"), SEARCH)) == []


@given(
    st.lists(st.sampled_from(sorted(TEXT_WRAPS)), max_size=3),
    st.lists(st.sampled_from(sorted(BYTE_WRAPS)), max_size=3),
)
@example(["html", "html", "html"], [])
def test_a_text_is_found_in_wrappings_of_wrappings(texts: list[str], packings: list[str]) -> None:
    """Escapes and packings in any order, one in the other."""
    text = SECRET.text
    for name in texts:
        text = TEXT_WRAPS[name](text)
    data = text.encode()
    for name in packings:
        data = BYTE_WRAPS[name](data)
    assert SECRET in {leak.word for leak in scan_file("file", data, SEARCH)}


@pytest.mark.parametrize(
    "name",
    [
        "cases/canary-of-the-quarry.html",
        "a/Canary%20of%20the%20quarry/index.html",
        base64.urlsafe_b64encode(SECRET.text.encode()).decode(),
    ],
)
def test_a_text_is_found_in_a_name(name: str) -> None:
    """The name of a file or of a folder tells as much as its content."""
    assert [leak.word for leak in scan_file(name, b"", SEARCH)] == [SECRET]


def test_letters_that_are_not_ascii_are_found() -> None:
    """In every encoding and in either form of Unicode."""
    word = Word("Größenänderung à la carte", "somewhere")
    search = Search([word])
    composed = "Gro\u0308ßena\u0308nderung a\u0300 la carte"
    for data in (
        word.text.encode(),
        word.text.encode("latin-1"),
        word.text.encode("utf-16-le"),
        word.text.encode("utf-16-be"),
        composed.encode(),
        html.escape(word.text).encode("ascii", "xmlcharrefreplace"),
    ):
        assert word in {leak.word for leak in scan_file("file", data, search)}


def test_a_number_is_found_as_it_is_written_alone() -> None:
    """Not inside a longer number, nor between the parts of two."""
    word = Word("61.371", "somewhere", exact=True)
    search = Search([word])
    for text in ("61.371", "at 61.371 mm", "&#54;1.371", "(61.371)"):
        assert [leak.word for leak in scan_file("f", text.encode(), search)][:1] == [word], text
    for text in ("161.371", "61.3712", "6.61.371", "61 371", "61-371"):
        assert list(scan_file("f", text.encode(), search)) == [], text


def _locked_zip() -> bytes:
    data = bytearray(zipped(b"x"))
    data[6] |= 1  # the flag of an encrypted member, at its own head and in the directory
    data[data.index(b"PK\x01\x02") + 8] |= 1
    return bytes(data)


def _nested(depth: int) -> bytes:
    data = SECRET.text.encode()
    for _ in range(depth):
        data = gzip.compress(data)
    return data


@pytest.mark.parametrize(
    "data",
    [
        _locked_zip(),
        gzip.compress(b"x" * 100)[:-12],
        b"PK\x03\x04" + b"\0" * 30 + b"PK\x05\x06" + b"\xff" * 18,
        pdf_page("x")[:40] + b"\xff" * 200,
        _nested(20),
    ],
    ids=["locked zip", "broken gzip", "broken zip", "broken pdf", "too deep"],
)
def test_what_cannot_be_opened_is_told(data: bytes) -> None:
    """It is not passed over as clean."""
    assert [leak.word for leak in scan_file("file", data, SEARCH)] == [None]


@given(st.binary(max_size=400))
def test_any_bytes_can_be_searched(data: bytes) -> None:
    """Nothing is raised, and no word is found where there is none."""
    assert all(leak.word is None for leak in scan_file("file", data, SEARCH))


def test_every_file_of_a_folder_is_searched(tmp_path: Path) -> None:
    """Hidden ones, those in folders, the names of empty folders, and where links lead."""
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / ".hidden").write_text(SECRET.text)
    (tmp_path / "canary-of-the-quarry").mkdir()
    (tmp_path / "link").symlink_to("canary of the quarry")
    (tmp_path / "clean.txt").write_text("x")
    count, leaks = scan_tree(tmp_path, SEARCH)
    assert count == 2
    assert {leak.path for leak in leaks} == {"a/.hidden", "canary-of-the-quarry", "link"}
