"""How much room text takes (mm), measured with the font that comes with matplotlib.

Characters that the font lacks are left to the reader's device; they get the width of their kind, on
the generous side. Text is broken only where no mark is torn from its letter.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

# Share of the em above and below the baseline that the tallest and deepest letters take.
ASCENT: Final = 0.78
DESCENT: Final = 0.24
ELLIPSIS: Final = "…"

_EM: Final = 1000
_WIDE_EM: Final = 1.3
_NARROW_EM: Final = 0.8
_JOINER: Final = "\u200d"
_INVISIBLE: Final = frozenset({"Mn", "Me", "Cf"})


@lru_cache(maxsize=4096)
def width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text at a size (mm), mm."""
    return size * sum(_advance(character, bold) for character in text)


@lru_cache(maxsize=512)
def wrap(
    text: str, room: float, size: float, *, bold: bool = False, most: int = 99
) -> tuple[str, ...]:
    """Text in lines that fit into a width (mm), at most so many; what is left over ends in an
    ellipsis.
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width(longer, size, bold=bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while width(line, size, bold=bold) > room:
            head = _head(line, room, size, bold)
            lines.append(head)
            line = line[len(head) :]
    lines.append(line)
    if len(lines) <= most:
        return tuple(lines)
    rest = " ".join(lines[most - 1 :])
    return (*lines[: most - 1], shorten(rest, room, size, bold=bold))


def shorten(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """Text cut so that it fits into a width (mm) together with the ellipsis that then ends it."""
    if width(text, size, bold=bold) <= room:
        return text
    return _head(text, room - width(ELLIPSIS, size, bold=bold), size, bold).rstrip() + ELLIPSIS


def shown_glyphs(text: str, *, bold: bool = False) -> str:
    """Text in which each character that the font lacks is a box, for pictures with the font built
    in.
    """
    return "".join(
        character if _glyph(character, bold) else "" if _is_invisible(character) else "□"
        for character in text
    )


def _head(text: str, room: float, size: float, bold: bool) -> str:
    """The longest beginning that fits, at least one character, and no mark torn from its letter."""
    taken = 0.0
    count = 0
    for index, character in enumerate(text):
        taken += size * _advance(character, bold)
        if taken > room:
            break
        count = index + 1
    while 0 < count < len(text) and (_is_invisible(text[count]) or text[count - 1] == _JOINER):
        count -= 1
    return text[: max(count, 1)]


def _is_invisible(character: str) -> bool:
    return unicodedata.category(character) in _INVISIBLE


@lru_cache(maxsize=4096)
def _advance(character: str, bold: bool) -> float:
    """Advance of a character in em."""
    if _is_invisible(character):
        return 0.0
    if not _glyph(character, bold):
        wide = unicodedata.east_asian_width(character) in ("W", "F")
        return _WIDE_EM if wide else _NARROW_EM
    font = _font(bold)
    from matplotlib.ft2font import LoadFlags

    glyph = font.load_char(ord(character), flags=LoadFlags.NO_HINTING)
    return float(glyph.linearHoriAdvance) / 65536 / _EM


@lru_cache(maxsize=4096)
def _glyph(character: str, bold: bool) -> int:
    return int(_font(bold).get_char_index(ord(character)))


@lru_cache(maxsize=2)
def _font(bold: bool) -> FT2Font:
    from pathlib import Path

    from matplotlib import get_data_path
    from matplotlib.ft2font import FT2Font

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    font = FT2Font(str(Path(get_data_path(), "fonts", "ttf", name)))
    font.set_size(_EM, 72)
    return font
