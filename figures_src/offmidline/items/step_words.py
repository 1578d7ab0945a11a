"""The texts of a technique's steps with its dimensions put in, as plain text."""

from __future__ import annotations

import re
from typing import Final

from offmidline.dimension_words import dimensions_of
from offmidline.records import Technique

_NAME: Final = re.compile(r"\{\{\s*(\w+)\s*\}\}")


def filled(text: str, technique: Technique) -> str:
    """A text of a step; raises KeyError for a name that no chapter knows either."""
    values = {**dimensions_of(technique.settings), "technique": technique.title}
    return _NAME.sub(lambda found: values[found[1]], text)


def phrase(text: str, technique: Technique) -> str:
    """The same as one of several options: without its full stop."""
    return filled(text, technique).removesuffix(".")
