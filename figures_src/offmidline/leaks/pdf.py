"""What a PDF holds: every string and stream of every object, and the text of its pages.

Earlier versions of objects and streams that nothing refers to are found by their bytes, in
``containers``.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from typing import Any, Final

from offmidline.leaks.way import Shut, Step

# A reader accepts what stands before the header, up to here. [iso-32000-1, annex H, memory]
_HEADER_WITHIN: Final = 1024
_MOST_DEPTH: Final = 64


def is_pdf(data: bytes) -> bool:
    """Whether some bytes are a PDF."""
    return b"%PDF-" in data[:_HEADER_WITHIN]


def of_pdf(data: bytes) -> Iterator[bytes | Shut]:
    """Its texts and its streams, decoded; Shut where it, or a part of it, cannot be read."""
    from pypdf import PdfReader

    # What is wrong with a file is told by Shut.
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        reader = PdfReader(io.BytesIO(data), strict=False)
        if reader.is_encrypted and not reader.decrypt(""):
            yield Shut(Step("pdf"))
            return
    except Exception:  # noqa: BLE001 - pypdf raises of every kind on a broken file
        yield Shut(Step("pdf"))
        return
    try:
        yield "\n".join(page.extract_text() for page in reader.pages).encode()
    except Exception:  # noqa: BLE001 - as above
        yield Shut(Step("pdf"))
    for generation, number in _numbers(reader):
        try:
            strings, streams = _held(_object(reader, generation, number), _MOST_DEPTH)
            yield from (b"\n".join(strings), *streams)
        except Exception:  # noqa: BLE001 - as above
            yield Shut(Step("pdf"))


def _numbers(reader: Any) -> Iterator[tuple[int, int]]:
    for generation, numbers in reader.xref.items():
        for number in numbers:
            yield generation, number
    for number in reader.xref_objStm:
        yield 0, number


def _object(reader: Any, generation: int, number: int) -> Any:
    from pypdf.generic import IndirectObject

    return reader.get_object(IndirectObject(number, generation, reader))


def _held(value: Any, depth: int) -> tuple[list[bytes], list[bytes]]:
    """The strings and streams of an object; what it refers to is an object of its own."""
    from pypdf.generic import ArrayObject, DictionaryObject, StreamObject

    if depth == 0:
        raise ValueError("too deep")
    strings: list[bytes] = []
    streams = [value.get_data()] if isinstance(value, StreamObject) else []
    parts: list[Any] = []
    if isinstance(value, DictionaryObject):
        parts = [part for entry in value.items() for part in entry]
    elif isinstance(value, ArrayObject):
        parts = list(value)
    elif isinstance(value, bytes):
        strings.append(bytes(value))
    elif isinstance(value, str):
        strings.append(value.encode("utf-8", "replace"))
    for part in parts:
        more_strings, more_streams = _held(part, depth - 1)
        strings += more_strings
        streams += more_streams
    return strings, streams
