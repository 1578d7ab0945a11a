"""What a run of bytes holds besides its text: packed files, and streams in other formats.

Formats are known by their bytes, as names tell nothing. A container that is known and cannot be
opened is told as such: what was not looked into is not clean.
"""

from __future__ import annotations

import bz2
import io
import lzma
import re
import tarfile
import zipfile
import zlib
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

from offmidline.leaks.pdf import is_pdf, of_pdf
from offmidline.leaks.way import Shut, Step

# More than any file of a handbook unpacks to, and little enough for any machine; common practice,
# no source.
MOST_BYTES: Final = 256 * 1024 * 1024
_PIECE: Final = 64 * 1024
# How a zlib stream begins, with the window sizes that writers use. [rfc1950]
_ZLIB: Final = re.compile(rb"\x78[\x01\x5e\x9c\xda]|\x48\x89|\x68[\x81\xde]")
_GZIP_WINDOW: Final = 16 + zlib.MAX_WBITS


class Inner(NamedTuple):
    """Bytes that stood in others, and the way to them."""

    step: Step
    data: bytes


def inside(data: bytes) -> Iterator[Inner | Shut]:
    """What some bytes hold, one level down; those of a zlib stream stand wherever it begins."""
    for begins, name, unpack in _PACKED:
        if data.startswith(begins):
            yield from _whole(name, unpack, data)
    if zipfile.is_zipfile(io.BytesIO(data)):
        yield from _members(data)
    if _is_tar(data):
        yield from _files(data)
    if is_pdf(data):
        yield from (
            part if isinstance(part, Shut) else Inner(Step("pdf"), part) for part in of_pdf(data)
        )
    for found in _ZLIB.finditer(data):
        stream = _inflated(data, found.start())
        if stream:
            yield Inner(Step("zlib"), stream)


def _gunzip(data: bytes) -> bytes:
    """All members of a file, one after the other."""
    parts, left = [], data
    while left.startswith(b"\x1f\x8b"):
        unpacker = zlib.decompressobj(_GZIP_WINDOW)
        parts.append(unpacker.decompress(left, MOST_BYTES))
        if not unpacker.eof:
            raise ValueError
        left = unpacker.unused_data
    return b"".join(parts)


def _bunzip(data: bytes) -> bytes:
    return _ended(bz2.BZ2Decompressor(), data)


def _unxz(data: bytes) -> bytes:
    return _ended(lzma.LZMADecompressor(), data)


def _ended(unpacker: bz2.BZ2Decompressor | lzma.LZMADecompressor, data: bytes) -> bytes:
    found = unpacker.decompress(data, MOST_BYTES)
    if not unpacker.eof:
        raise ValueError
    return found


# How a packed file begins, what it is called, and what opens it.
_PACKED: Final[tuple[tuple[bytes, str, Callable[[bytes], bytes]], ...]] = (
    (b"\x1f\x8b", "gzip", _gunzip),
    (b"BZh", "bzip2", _bunzip),
    (b"\xfd7zXZ\x00", "xz", _unxz),
)


def _whole(name: str, unpack: Callable[[bytes], bytes], data: bytes) -> Iterator[Inner | Shut]:
    try:
        yield Inner(Step(name), unpack(data))
    except (ValueError, OSError, EOFError, zlib.error, lzma.LZMAError):
        yield Shut(Step(name))


def _inflated(data: bytes, start: int) -> bytes:
    """What can be unpacked from a place on, also where the end is missing; b"" for nothing."""
    unpacker = zlib.decompressobj()
    parts: list[bytes] = []
    size = 0
    view = memoryview(data)
    try:
        for at in range(start, len(data), _PIECE):
            part = unpacker.decompress(view[at : at + _PIECE])
            parts.append(part)
            size += len(part)
            if unpacker.eof or size > MOST_BYTES:
                break
    except zlib.error:
        pass
    return b"".join(parts)


def _members(data: bytes) -> Iterator[Inner | Shut]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            yield Inner(Step("zip"), archive.comment)
            for entry in archive.infolist():
                yield from _member(archive, entry)
    except (zipfile.BadZipFile, OSError, ValueError):
        yield Shut(Step("zip"))


def _member(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Iterator[Inner | Shut]:
    step = Step("zip", entry.filename)
    yield Inner(step, b"\n".join([entry.filename.encode(), entry.comment, entry.extra]))
    if entry.file_size > MOST_BYTES:
        yield Shut(step)
        return
    try:
        yield Inner(step, archive.read(entry))
    # RuntimeError: a password is needed; NotImplementedError, one of its kind: unknown packing.
    except (zipfile.BadZipFile, RuntimeError, OSError, EOFError, ValueError, zlib.error):
        yield Shut(step)


def _is_tar(data: bytes) -> bool:
    """Whether it is a tar that is not packed in its turn."""
    try:
        tarfile.open(fileobj=io.BytesIO(data), mode="r:").close()
    except tarfile.TarError:
        return False
    return True


def _files(data: bytes) -> Iterator[Inner | Shut]:
    try:
        with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as archive:
            for entry in archive:
                file = archive.extractfile(entry) if entry.isfile() else None
                if file is not None:
                    yield Inner(Step("tar", entry.name), file.read())
    except (tarfile.TarError, OSError, EOFError, ValueError):
        yield Shut(Step("tar"))
