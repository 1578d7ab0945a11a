"""Bytes to plain text: UTF-8, line feeds, nothing that cannot be seen, each exception noted."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from typing import Final

from offmidline.records.document import START, Document, Mark

_WIDE_ENCODINGS: Final = (b"\xff\xfe", b"\xfe\xff")
_UTF8_BOM: Final = b"\xef\xbb\xbf"
# Controls but tab and line feed, other line ends, the byte order mark, surrogates, no characters.
UNPRINTABLE: Final = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff\ufdd0-\ufdef"
    + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(17))
    + "]"
)
_TAB: Final = re.compile("\t")
_REPLACEMENT: Final = "\ufffd"


def plain_text(data: bytes, document: Document) -> str | None:
    """The text of a file with what is wrong replaced, so that reading can go on; tabs stay.

    Notes the faults in the document; returns None where the encoding is another one altogether.
    """
    text = _decode(data, document)
    return None if text is None else _without_strange_characters(text, document)


def _decode(data: bytes, document: Document) -> str | None:
    """The text with plain line ends; of bytes that are no UTF-8 the first of a line is reported."""
    if data.startswith(_WIDE_ENCODINGS):
        document.fault(START, "utf16")
        return None
    if data.startswith(_UTF8_BOM):
        document.fault(START, "byte_order_mark")
        data = data[len(_UTF8_BOM) :]
    data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        lines = [_decode_line(line, n, document) for n, line in enumerate(data.split(b"\n"), 1)]
        return "\n".join(lines)


def _decode_line(data: bytes, number: int, document: Document) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as bad:
        before = data[: bad.start].decode("utf-8")
        document.fault(Mark(number, len(before) + 1), "not_utf8", byte=f"0x{data[bad.start]:02X}")
        return data.decode("utf-8", errors="replace")


def _without_strange_characters(text: str, document: Document) -> str:
    """Report what cannot be seen and tabs, the first of a line; replace what YAML would refuse."""
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    for pattern, key in ((UNPRINTABLE, "unprintable"), (_TAB, "tab")):
        reported = 0
        for match in pattern.finditer(text):
            line = bisect_right(starts, match.start())
            if line > reported:
                reported = line
                column = match.start() - starts[line - 1] + 1
                document.fault(Mark(line, column), key, character=named(match[0]))
    return UNPRINTABLE.sub(_REPLACEMENT, text)


def named(character: str) -> str:
    """A character by its number and, where it has one, its name."""
    name = unicodedata.name(character, "")
    return f"U+{ord(character):04X}" + (f" {name.lower()}" if name else "")
