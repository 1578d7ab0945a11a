r"""The template syntax of chapters: ``{{ name }}`` is replaced, ``\{{`` stands for two braces.

A name is looked up by a function that the caller gives. What it does not know is a fault with its
line and column, and all the faults of a text are found in one run. A name may stand for a piece of
text or for a whole block (a figure, a table), which stands alone on its line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from offmidline import messages
from offmidline.records import Fault

_TOKEN: Final = re.compile(r"\\\{\{|\{\{(?:(?P<name>[^{}\n]*)\}\})?")


@dataclass(frozen=True)
class Block:
    """HTML or Markdown that stands as a paragraph of its own."""

    source: str


class UnknownNameError(LookupError):
    """A name that stands for nothing; its text says what is known instead."""


Look = Callable[[str], "str | Block"]


def unknown(name: str, known: Iterable[str]) -> UnknownNameError:
    """The error for an unknown name, with the nearest known one."""
    choice = sorted(known)
    near = get_close_matches(name, choice, n=1, cutoff=0.5)
    if near:
        hint = messages.text("site.faults.nearest", name=near[0])
    else:
        hint = messages.text("site.faults.known", names=", ".join(choice) or "–")
    return UnknownNameError(messages.text("site.faults.unknown", name=name, hint=hint))


def expand(
    text: str, path: str, look: Look, plain: Callable[[str], str] = str
) -> tuple[str, list[Fault]]:
    """Replace the names in a text. Returns the new text and the faults.

    ``plain`` is applied to everything between the names: texts that are not Markdown are escaped
    by it.
    """
    out: list[str] = []
    faults: list[Fault] = []
    end = 0
    for token in _TOKEN.finditer(text):
        out.append(plain(text[end : token.start()]))
        end = token.end()
        try:
            out.append(_replacement(text, token, look, plain))
        except UnknownNameError as error:
            faults.append(Fault(path, *_place(text, token.start()), str(error)))
    out.append(plain(text[end:]))
    return "".join(out), faults


def _replacement(text: str, token: re.Match[str], look: Look, plain: Callable[[str], str]) -> str:
    if token[0] == r"\{{":
        return plain("{{")
    if token["name"] is None:
        raise UnknownNameError(messages.text("site.faults.unclosed"))
    name = token["name"].strip()
    found = look(name)
    if isinstance(found, str):
        return found
    if not _stands_alone(text, token):
        raise UnknownNameError(messages.text("site.faults.block", name=name))
    return f"\n{found.source}\n"


def _stands_alone(text: str, token: re.Match[str]) -> bool:
    before = text[: token.start()].rpartition("\n")[2]
    after = text[token.end() :].partition("\n")[0]
    return not before and not after.strip()


def _place(text: str, offset: int) -> tuple[int, int]:
    """Line and column of an offset, both from 1."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
