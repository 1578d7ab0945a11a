"""Figures as pictures of dots, whose names and alternative texts tell nothing of the answer.

A picture is called by a hash of what it shows; what a drawing program notes inside a file is
dropped.
"""

from __future__ import annotations

import hashlib
import struct
import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from offmidline.exam.qti.markup import element
from offmidline.figures import VIEWS, Words
from offmidline.figures.page.drawing import Drawing, Point
from offmidline.figures.page.export import png_file
from offmidline.items.item import Picture
from offmidline.plan import CasePlan

FOLDER: Final = "images"
MEDIA_TYPE: Final = "image/png"
# Pixels to the millimetre of the figure's page: for a figure of its own, and for one of several
# drawings to choose from, whose texts are larger. Common practice, no source.
FINE: Final = 6.0
COARSE: Final = 4.0

_NAME_LENGTH: Final = 16
_MM_PER_INCH: Final = 25.4
# The parts of a PNG file that make the picture.
_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
_KEPT: Final = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND"})
_NO_WORDS: Final = Words("", "", "")


@dataclass(frozen=True)
class Image:
    """A picture as a file of the package.

    Attributes:
        data: a PNG file.
        width, height: in pixels.
        alternative: what stands instead of it: which picture it is, and no more.
    """

    data: bytes
    width: int
    height: int
    alternative: str

    @property
    def path(self) -> str:
        """Where it lies in the package."""
        return f"{FOLDER}/{hashlib.sha256(self.data).hexdigest()[:_NAME_LENGTH]}.png"

    @property
    def markup(self) -> ET.Element:
        """The picture in the text of a question, whose file lies in another folder."""
        return element(
            "img",
            {
                "src": f"../{self.path}",
                "alt": self.alternative,
                "width": str(self.width),
                "height": str(self.height),
            },
        )

    def pixel(self, page: Point, drawing: Drawing) -> tuple[int, int]:
        """The whole pixel, from the upper left, of a point on the drawing's page (mm, y up)."""
        density = self.width / drawing.width
        # matplotlib counts from the lower edge; what is less than a pixel is cut off above.
        return round(page[0] * density), round(self.height - page[1] * density)


def image_of(picture: Picture, planned: CasePlan, density: float, alternative: str) -> Image:
    """A picture of a case; ``density`` is pixels to the millimetre of its page."""
    return image(VIEWS[picture.view].draw(planned, picture.part), density, alternative)


def image(drawing: Drawing, density: float, alternative: str) -> Image:
    """A drawing as a picture."""
    # Not imported before something is drawn.
    from offmidline.figures.page.canvas import DOTS_PER_INCH

    width_mm = drawing.width * density * _MM_PER_INCH / DOTS_PER_INCH
    data = _bare(png_file(drawing, "light", _NO_WORDS, "", width_mm))
    width, height = struct.unpack(">II", data[16:24])
    return Image(data, width, height, alternative)


def _bare(png: bytes) -> bytes:
    """A PNG file with nothing but its picture."""
    return _SIGNATURE + b"".join(chunk for kind, chunk in _chunks(png) if kind in _KEPT)


def _chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Each part of a PNG file by its kind: length, kind, content, checksum."""
    at = len(_SIGNATURE)
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        end = at + 12 + length
        yield png[at + 4 : at + 8], png[at:end]
        at = end
