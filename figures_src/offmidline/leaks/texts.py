"""Bytes as text in every encoding that a file of a site may have, and text with its escapes
undone.
"""

from __future__ import annotations

import base64
import binascii
import html
import re
import unicodedata
from collections.abc import Iterator
from typing import Final
from urllib.parse import unquote

from offmidline.leaks.way import Step

# Escapes in escapes, so many deep, fewer where nothing is left to undo; common practice, no source.
_ROUNDS: Final = 12
_BYTE_ORDER_MARKS: Final = (b"\xff\xfe", b"\xfe\xff")
_ESCAPE: Final = re.compile(
    r"\\(?:u\{(?P<braced>[0-9a-fA-F]{1,6})\}|u(?P<four>[0-9a-fA-F]{4})|x(?P<two>[0-9a-fA-F]{2})"
    r"|(?P<octal>[0-3][0-7]{2})|(?P<space>[bfnrtv])|\r?\n)"
)
_LAST_CHARACTER: Final = 0x10FFFF
_TAG: Final = re.compile(r"<[^<>]*>")
_NO_LETTERS: Final = re.compile(r"[\W_]+")
_DATA_ADDRESS: Final = re.compile(r";base64,([A-Za-z0-9+/_\-\s]+)")
# Eight letters in base64, or in hexadecimal.
_BASE64: Final = re.compile(r"[A-Za-z0-9+/_\-]{11,}")
_HEXADECIMAL: Final = re.compile(r"(?:[0-9a-fA-F]{2}){8,}")
# How packed bytes begin that are worth opening though they are no text.
_PACKED: Final = (b"\x1f\x8b", b"PK", b"\x89PNG", b"%PDF", b"BZh", b"\xfd7zXZ", b"\x78")


def letters(text: str) -> str:
    """Letters and digits alone, small: the same however it is spaced, broken or punctuated."""
    folded = text if text.isascii() else unicodedata.normalize("NFKC", text)
    return _NO_LETTERS.sub("", folded.casefold())


def texts_of(data: bytes) -> Iterator[tuple[tuple[Step, ...], str]]:
    """The bytes as text. As a letter search passes over zeros, the first one already shows what of
    UTF-16 and UTF-32 is ASCII.
    """
    yield (), data.decode("utf-8", "replace")
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        yield (Step("latin"),), data.decode("latin-1")
    if b"\0" in data or data.startswith(_BYTE_ORDER_MARKS):
        for codec in ("utf-16-le", "utf-16-be"):
            for start in (0, 1):
                yield (Step("utf16"),), data[start:].decode(codec, "replace")


def plain(text: str) -> str:
    """The text with entities, percent signs and the escapes of scripts and of JSON undone, also
    where one stands in the other.
    """
    for _ in range(_ROUNDS):
        opened = _ESCAPE.sub(_character, html.unescape(unquote(text)))
        if opened == text:
            break
        text = opened
    return text


def _character(escape: re.Match[str]) -> str:
    number = escape["braced"] or escape["four"] or escape["two"]
    if number or escape["octal"]:
        code = int(number, 16) if number else int(escape["octal"], 8)
        return chr(code) if code <= _LAST_CHARACTER else ""
    return " " if escape["space"] else ""


def without_tags(text: str) -> str:
    """The text without elements, which may part a word."""
    return _TAG.sub("", text)


def packed_in(text: str) -> Iterator[tuple[Step, bytes]]:
    """What stands in a text as base64 or in hexadecimal: whole where an address says so, elsewhere
    what makes sense.
    """
    for found in _DATA_ADDRESS.finditer(text):
        yield Step("base64"), _from_base64("".join(found[1].split()))
    for found in _BASE64.finditer(text):
        data = _from_base64(found[0])
        if _makes_sense(data):
            yield Step("base64"), data
    for found in _HEXADECIMAL.finditer(text):
        data = bytes.fromhex(found[0])
        if _makes_sense(data):
            yield Step("hexadecimal"), data


def _from_base64(run: str) -> bytes:
    """What a run stands for in either alphabet; the end that no byte can be made of is left."""
    whole = run.translate(str.maketrans("-_", "+/"))
    whole = whole[:-1] if len(whole) % 4 == 1 else whole
    try:
        return base64.b64decode(whole + "=" * (-len(whole) % 4))
    except binascii.Error:
        return b""


def _makes_sense(data: bytes) -> bool:
    """Whether bytes are text, in UTF-8 or UTF-16, or something packed."""
    if data.startswith((*_PACKED, *_BYTE_ORDER_MARKS)):
        return True
    try:
        text = data.replace(b"\0", b"").decode("utf-8")
    except UnicodeDecodeError:
        return False
    return all(one.isprintable() or one.isspace() for one in text)
