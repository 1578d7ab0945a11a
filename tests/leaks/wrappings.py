"""Ways in which a text may come into a file of a site without being there to be read."""

from __future__ import annotations

import base64
import bz2
import gzip
import html
import io
import json
import lzma
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Callable
from typing import Final
from urllib.parse import quote

from pypdf import PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject
from reportlab.pdfgen import canvas

Wrap = Callable[[str], bytes]


def entities(text: str) -> bytes:
    """Every character as a numeric reference, decimal and hexadecimal in turn."""
    refs = (f"&#{ord(one)};" if at % 2 else f"&#x{ord(one):x};" for at, one in enumerate(text))
    return f"<p>{''.join(refs)}</p>".encode()


def percent(text: str) -> bytes:
    """Every byte behind a percent sign, in an address."""
    escaped = "".join(f"%{byte:02X}" for byte in text.encode())
    return f'<a href="?q={escaped}">x</a>'.encode()


def script_escapes(text: str) -> bytes:
    """As a string of a script."""
    escaped = "".join(f"\\u{{{ord(one):x}}}" if one == "a" else one for one in text)
    return f'const words = "{escaped}";'.encode()


def zipped(data: bytes, name: str = "inner.txt", comment: bytes = b"") -> bytes:
    """A zip of one member."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, data)
        archive.comment = comment
    return file.getvalue()


def tarred(text: str) -> bytes:
    """A packed tar of one member."""
    file = io.BytesIO()
    data = text.encode()
    with tarfile.open(fileobj=file, mode="w:gz") as archive:
        entry = tarfile.TarInfo("inner.txt")
        entry.size = len(data)
        archive.addfile(entry, io.BytesIO(data))
    return file.getvalue()


def png(*chunks: tuple[bytes, bytes]) -> bytes:
    """A picture of one pixel with further chunks."""
    header = (b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    every = [header, *chunks, (b"IDAT", zlib.compress(b"\0\0")), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in every
    )


def jpeg_comment(text: str) -> bytes:
    """The beginning of a photograph, with a comment."""
    data = text.encode()
    return b"\xff\xd8\xff\xfe" + struct.pack(">H", len(data) + 2) + data + b"\xff\xd9"


def jpeg_title(text: str) -> bytes:
    """The same with a title as some systems write it: UTF-16 at an odd place."""
    data = b"Exif\0\0" + b"x" + text.encode("utf-16-le") + b"\0\0"
    return b"\xff\xd8\xff\xe1" + struct.pack(">H", len(data) + 2) + data + b"\xff\xd9"


def svg_metadata(text: str) -> bytes:
    """A drawing that says it where nobody looks."""
    about = f'<rdf xmlns="urn:x"><title>{html.escape(text)}</title></rdf>'
    return f'<svg xmlns="http://www.w3.org/2000/svg"><metadata>{about}</metadata></svg>'.encode()


def _pdf(draw: Callable[[canvas.Canvas], None]) -> bytes:
    file = io.BytesIO()
    page = canvas.Canvas(file, pageCompression=1, invariant=1)
    draw(page)
    page.showPage()
    page.save()
    return file.getvalue()


def pdf_page(text: str) -> bytes:
    """A page in a packed stream."""
    return _pdf(lambda page: page.drawString(72, 700, text))


def pdf_pieces(text: str) -> bytes:
    """A page on which the word is put down letter by letter."""

    def draw(page: canvas.Canvas) -> None:
        for at, one in enumerate(text):
            page.drawString(72 + 7 * at, 700, one)

    return _pdf(draw)


def pdf_title(text: str) -> bytes:
    """The title among the data about the document."""
    return _pdf(lambda page: page.setTitle(text))


def pdf_bookmark(text: str) -> bytes:
    """An entry of the outline."""

    def draw(page: canvas.Canvas) -> None:
        page.bookmarkPage("here")
        page.addOutlineEntry(text, "here")

    return _pdf(draw)


def pdf_attachment(text: str) -> bytes:
    """A file in the file, which nothing shows."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment("notes.txt.gz", gzip.compress(text.encode()))
    file = io.BytesIO()
    writer.write(file)
    return file.getvalue()


def pdf_unused(text: str) -> bytes:
    """An object that nothing refers to, in a filter that no other format has."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    stream = DecodedStreamObject()
    stream.set_data(base64.a85encode(text.encode()) + b"~>")
    stream[NameObject("/Filter")] = NameObject("/ASCII85Decode")
    writer._add_object(stream)
    file = io.BytesIO()
    writer.write(file)
    return file.getvalue()


# By the names under which a failing test tells them.
WRAPPINGS: Final[dict[str, Wrap]] = {
    "plain": str.encode,
    "comment": lambda text: f"<p>x</p><!-- {text} -->".encode(),
    "data attribute": lambda text: f'<p data-answer="{html.escape(text)}">x</p>'.encode(),
    "hidden element": lambda text: f"<div hidden>{html.escape(text)}</div>".encode(),
    "across elements": lambda text: f"<b>{text[:4]}</b><i>{text[4:]}</i>".encode(),
    "broken lines": lambda text: "\n".join(text).encode(),
    "soft hyphens": lambda text: "\u00ad".join(text).encode(),
    "heading's id": lambda text: f'<h2 id="{"-".join(text.lower().split())}">x</h2>'.encode(),
    "entities": entities,
    "entities twice": lambda text: html.escape(entities(text).decode()).encode(),
    "percent signs": percent,
    "percent signs twice": lambda text: quote(percent(text).decode()).encode(),
    "entities in an address": lambda text: quote(entities(text).decode()).encode(),
    "query": lambda text: f"?q={'+'.join(text.split())}".encode(),
    "script escapes": script_escapes,
    "search index": lambda text: json.dumps({"docs": [{"text": f"ä\n{text}"}]}).encode(),
    "source map": lambda text: json.dumps({"sourcesContent": [f"// {text}\n"]}).encode(),
    "sitemap": lambda text: f"<urlset><loc>http://x/{quote(text)}.html</loc></urlset>".encode(),
    "latin-1": lambda text: f"{text} é".encode("latin-1"),
    "utf-16": lambda text: text.encode("utf-16"),
    "utf-16 big": lambda text: text.encode("utf-16-be"),
    "utf-32": lambda text: text.encode("utf-32"),
    "gzip": lambda text: gzip.compress(text.encode()),
    "gzip, second member": lambda text: gzip.compress(b"x") + gzip.compress(text.encode()),
    "bzip2": lambda text: bz2.compress(text.encode()),
    "xz": lambda text: lzma.compress(text.encode()),
    "tar": tarred,
    "zip": lambda text: zipped(text.encode()),
    "zip in zip": lambda text: zipped(zipped(text.encode()), "inner.zip"),
    "zip, name": lambda text: zipped(b"x", f"{text}.txt"),
    "zip, comment": lambda text: zipped(b"x", comment=text.encode()),
    "zip behind a picture": lambda text: png() + zipped(text.encode()),
    "png text": lambda text: png((b"tEXt", b"Description\0" + text.encode("latin-1"))),
    "png packed text": lambda text: png((b"zTXt", b"Comment\0\0" + zlib.compress(text.encode()))),
    "png international text": lambda text: png(
        (b"iTXt", b"Title\0\1\0\0\0" + zlib.compress(text.encode()))
    ),
    "png, behind the end": lambda text: png() + text.encode(),
    "jpeg comment": jpeg_comment,
    "jpeg title": jpeg_title,
    "svg metadata": svg_metadata,
    "packed svg": lambda text: gzip.compress(svg_metadata(text)),
    "pdf page": pdf_page,
    "pdf letter by letter": pdf_pieces,
    "pdf title": pdf_title,
    "pdf bookmark": pdf_bookmark,
    "pdf attachment": pdf_attachment,
    "pdf, unused object": pdf_unused,
    "base64": lambda text: b'<p data-x="' + base64.b64encode(text.encode()) + b'">x</p>',
    "base64 for addresses": lambda text: b"#" + base64.urlsafe_b64encode(f"{text}???".encode()),
    "data address": lambda text: (
        b'<img src="data:image/png;base64,'
        + base64.b64encode(png((b"tEXt", b"Title\0" + text.encode("latin-1"))))
        + b'">'
    ),
    "data address of text": lambda text: f'<a href="data:,{quote(text)}">x</a>'.encode(),
    "hexadecimal": lambda text: f'<p data-x="{text.encode().hex()}">x</p>'.encode(),
}
