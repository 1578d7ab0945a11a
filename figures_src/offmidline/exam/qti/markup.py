"""Elements of XML with what is inside them, and documents of them."""

from __future__ import annotations

import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterable, Mapping
from typing import Final

_NO_ATTRIBUTES: Final[Mapping[str, str]] = {}


def element(
    name: str, attributes: Mapping[str, str] = _NO_ATTRIBUTES, *inside: ET.Element | str
) -> ET.Element:
    """An element with elements and texts inside it, in their order."""
    made = ET.Element(name, dict(attributes))
    for part in inside:
        if isinstance(part, ET.Element):
            made.append(part)
        elif len(made):
            made[-1].tail = (made[-1].tail or "") + part
        else:
            made.text = (made.text or "") + part
    return made


def paragraphs(texts: Iterable[str]) -> list[ET.Element]:
    """Each text as a paragraph."""
    return [element("p", {}, text) for text in texts]


def document(root: ET.Element) -> bytes:
    """A file of an element, indented for whoever reads it."""
    ET.indent(root)
    text = ET.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()
