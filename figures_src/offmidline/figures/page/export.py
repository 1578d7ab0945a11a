"""From a drawing to files: SVG for a page or a file, PNG, PDF.

matplotlib's SVG is taken apart and put together again: ids carry the figure's name, so that two
figures can stand on one page; colours become CSS variables with the light colours as fallback, or
stay as they are for a theme; the figure gets its title and description for readers who do not see
it. No style sheet and no metadata remain that could reach beyond the figure.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET  # our own drawing is parsed, never a stranger's
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from offmidline.figures.page.drawing import (
    Drawing,
    Frame,
    Group,
    Shape,
    Writing,
    full_name,
    polyline,
)
from offmidline.figures.page.style import FONT_STACK, PALETTES, Role, Theme, variable
from offmidline.figures.words import Words

_SVG: Final = "{http://www.w3.org/2000/svg}"
_NAMESPACE: Final = "http://www.w3.org/2000/svg"
# matplotlib writes six decimals; a ten-thousandth of a millimetre is far finer than any line.
_SURPLUS_DECIMALS: Final = re.compile(r"(?<=\.\d{4})\d+")
_PLACE: Final = re.compile(r"translate\((\S+) (\S+)\)")
# XML 1.0 knows no other control characters.
_FORBIDDEN: Final = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


def svg(
    drawing: Drawing,
    theme: Theme,
    *,
    figure_id: str,
    title: str,
    description: str,
    width_mm: float | None = None,
) -> str:
    """The drawing as one ``<svg>`` element, ready to stand in a page or (after a declaration) in
    a file.
    """
    from offmidline.figures.page.canvas import to_svg

    if theme != "css":
        drawing = _on_paper(drawing)
    source = ET.fromstring(to_svg(drawing, theme, figure_id))  # noqa: S314 - our own drawing
    drawn = {group.get("id"): group for group in source.iter(f"{_SVG}g")}
    root = _root(drawing, figure_id, title, description, width_mm or drawing.width)
    for item in drawing.items:
        if isinstance(item, Group):
            attributes = {"id": f"{figure_id}-{item.gid}", **_placed(item.frame, drawing.height)}
            group = ET.SubElement(root, "g", attributes)
            for inner in item.items:
                name = full_name(item.gid, inner.gid)
                group.append(_element(inner, drawn[name][0], f"{figure_id}-{name}", theme))
        else:
            root.append(_element(item, drawn[item.gid][0], f"{figure_id}-{item.gid}", theme))
    return ET.tostring(root, encoding="unicode")


def svg_file(
    drawing: Drawing, theme: Theme, words: Words, figure_id: str, width_mm: float
) -> bytes:
    """The drawing as an SVG file."""
    element = svg(
        drawing,
        theme,
        figure_id=figure_id,
        title=words.title,
        description=words.description,
        width_mm=width_mm,
    )
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{element}\n'.encode()


def png_file(
    drawing: Drawing, theme: Theme, words: Words, figure_id: str, width_mm: float
) -> bytes:
    """The drawing as a PNG picture for print."""
    from offmidline.figures.page.canvas import to_png

    del figure_id
    return to_png(_on_paper(drawing), theme, width_mm, words.title, words.description)


def pdf_file(
    drawing: Drawing, theme: Theme, words: Words, figure_id: str, width_mm: float
) -> bytes:
    """The drawing as a PDF of one page."""
    from offmidline.figures.page.canvas import to_pdf

    del figure_id
    return to_pdf(_on_paper(drawing), theme, width_mm, words.title, words.description)


FORMATS: Final = MappingProxyType({"svg": svg_file, "png": png_file, "pdf": pdf_file})


def _on_paper(drawing: Drawing) -> Drawing:
    """The drawing on a page in the colour of its theme."""
    width, height = drawing.width, drawing.height
    sheet = polyline([(0, 0), (width, 0), (width, height), (0, height)], closed=True)
    return replace(drawing, items=[Shape("paper", sheet, fill="paper"), *drawing.items])


def _root(
    drawing: Drawing, figure_id: str, title: str, description: str, width_mm: float
) -> ET.Element:
    """The root with title, description, and where the plan's frame lies on the page."""
    root = ET.Element(
        "svg",
        {
            "xmlns": _NAMESPACE,
            "id": figure_id,
            "width": f"{_number(width_mm)}mm",
            "height": f"{_number(width_mm * drawing.height / drawing.width)}mm",
            "viewBox": f"0 0 {_number(drawing.width)} {_number(drawing.height)}",
            "role": "img",
            "aria-labelledby": f"{figure_id}-title {figure_id}-desc",
            **({} if drawing.frame is None else _placed(drawing.frame, drawing.height)),
            "font-family": FONT_STACK,
            "fill": "none",
            "stroke-linejoin": "round",
        },
    )
    ET.SubElement(root, "title", {"id": f"{figure_id}-title"}).text = _clean(title)
    ET.SubElement(root, "desc", {"id": f"{figure_id}-desc"}).text = _clean(description)
    return root


def _placed(frame: Frame, height: float) -> dict[str, str]:
    """Where a frame lies on a page of a height, and at which scale."""
    placed = {
        "data-scale": _ratio(frame.scale),
        "data-side": frame.side,
        "data-origin-x": _number(frame.x),
        "data-origin-y": _number(height - frame.y),
    }
    if frame.across is not None:
        placed["data-across"] = _ratio(frame.across)
    return placed


def _element(item: Shape | Writing, drawn: ET.Element, name: str, theme: Theme) -> ET.Element:
    """One item with its name, its colours and nothing else."""
    if isinstance(item, Writing):
        return _text(item, drawn, name, theme)
    path = _SURPLUS_DECIMALS.sub("", " ".join(drawn.get("d", "").split()))
    attributes = {"id": name, "d": path}
    if item.stroke is not None and item.line is not None:
        attributes["stroke"] = _paint(item.stroke, theme)
        attributes["stroke-width"] = _number(item.line.width)
        if item.line.dashes:
            dashes = (_number(item.line.width * part) for part in item.line.dashes)
            attributes["stroke-dasharray"] = " ".join(dashes)
    if item.fill is not None:
        attributes["fill"] = _paint(item.fill, theme)
    return ET.Element("path", attributes)


def _text(item: Writing, drawn: ET.Element, name: str, theme: Theme) -> ET.Element:
    attributes = {"id": name, "font-size": _number(item.size), "fill": _paint(item.role, theme)}
    if item.bold:
        attributes["font-weight"] = "bold"
    if item.anchor != "start":
        attributes["text-anchor"] = item.anchor
    x, y = (_number(float(value)) for value in _PLACE.findall(drawn.get("transform", ""))[0])
    if item.angle:
        attributes["transform"] = f"translate({x} {y}) rotate({_number(-item.angle)})"
    else:
        attributes |= {"x": x, "y": y}
    element = ET.Element("text", attributes)
    element.text = _clean(item.text)
    return element


def _paint(role: Role, theme: Theme) -> str:
    colour = PALETTES[theme][role]
    return f"var({variable(role)}, {colour})" if theme == "css" else colour


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _ratio(value: float) -> str:
    # A scale of a plot may be small, and what is read back is divided by it.
    return f"{value:.9g}"


def _clean(text: str) -> str:
    return _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text)
