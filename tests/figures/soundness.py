"""What holds for every picture of every view, each as a function that returns the faults it finds.

A text is the box round its ink, as matplotlib lays it out. No test of its own: ``test_pictures``
runs these over all cases, ``test_soundness`` shows that each of them can find something.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any, Final

import numpy as np
import shapely
from tests.figures.published import FIGURE, SVG, Drawn, Published, Text

from offmidline import figures
from offmidline.figures.page import style

# Lines that no text may cover: the marked outline; what the knife cuts; the cavity.
EDGES: Final = ("outline", "medial-wall", "lateral-wall", "floor", "undermining", "cavity")
# What is drawn to tell where one is.
GROUND: Final = (
    "cleft-medial",
    "cleft-lateral",
    "buttock-medial",
    "buttock-lateral",
    "coccyx",
)
FINDING: Final = re.compile(r"(?:.*-)?(?:pit|opening)-\d+")
PHONE_PX: Final = 360
SMALLEST_PX: Final = 9
MOST_BYTES: Final = 40_000
ELEMENTS: Final = {"svg", "title", "desc", "g", "path", "text"}

Faults = list[str]


def texts_overlap(figure: Published) -> Faults:
    """The ink of one text reaches into that of another."""
    boxes = np.array([text.box for text in figure.texts])
    one, other = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    return [
        f"{figure.texts[i].words!r} and {figure.texts[j].words!r}"
        for i, j in zip(one, other, strict=True)
        if i < j
    ]


def text_off_the_page(figure: Published) -> Faults:
    """A text reaches over the edge of the page."""
    return [text.words for text in figure.texts if not figure.page.contains(text.box)]


def text_on_an_edge(figure: Published) -> Faults:
    """A text lies over the outline, a cut or the cavity's wall."""
    return _hit(figure.texts, _lines(figure, figure.named(*EDGES)))


def text_on_a_dimension(figure: Published) -> Faults:
    """A text lies over a dimension's line, extension line or arrow."""
    dimensions = [name for name in figure.paths if "dimension-" in name]
    return _hit(figure.texts, _lines(figure, dimensions))


def text_on_the_ground(figure: Published) -> Faults:
    """A text is struck through by a faint line of the ground, which has no gap for it."""
    return _hit(figure.texts, _lines(figure, figure.named(*GROUND)))


def text_on_a_finding(figure: Published) -> Faults:
    """A text lies over a pit or an opening."""
    found = [name for name in figure.paths if FINDING.fullmatch(name)]
    return _hit(figure.texts, [(name, shapely.Polygon(figure.runs(name)[0])) for name in found])


def leader_through_a_text(figure: Published) -> Faults:
    """A leader crosses a text, its own included."""
    leaders = [
        (name, shapely.LineString(run))
        for name in figure.named("leaders")
        for run in figure.runs(name)
        if len(run) == 2
    ]
    return _hit(figure.texts, leaders)


def line_off_the_page(figure: Published) -> Faults:
    """A line leaves the page."""
    found = []
    for name in figure.paths:
        points = np.vstack(figure.runs(name))
        low, high = points.min(axis=0), points.max(axis=0)
        if (low < -1e-6).any() or (high > (figure.width + 1e-6, figure.height + 1e-6)).any():
            found.append(name)
    return found


def text_on_its_head(figure: Published) -> Faults:
    """A text reads neither from the bottom nor from the right, or is mirrored."""
    turned = [text.words for text in figure.texts if not -90 < text.angle <= 90]
    mirrored = [e.get("id", "") for e in figure.root.iter() if "scale(" in e.get("transform", "")]
    return turned + mirrored


def text_too_small(figure: Published) -> Faults:
    """A text is smaller than 9 px where the page is shown 360 px wide."""
    least = SMALLEST_PX * figure.width / PHONE_PX
    small = [text.words for text in figure.texts if text.size < least - 1e-9]
    return small if figure.width == style.PAGE_WIDTH else [f"{figure.width} mm wide", *small]


def names_clash(figure: Published) -> Faults:
    """An id occurs twice or does not begin with the figure's own: two figures share a page."""
    ids = [name for element in figure.root.iter() if (name := element.get("id"))]
    foreign = [name for name in ids if name != FIGURE and not name.startswith(f"{FIGURE}-")]
    return foreign + [name for name, count in Counter(ids).items() if count > 1]


def reaches_beyond_itself(figure: Published) -> Faults:
    """There is a style sheet, script, link, metadata or reference in the file."""
    found = []
    for element in figure.root.iter():
        tag = element.tag.removeprefix(SVG)
        found += [] if tag in ELEMENTS else [tag]
        found += [key for key in element.attrib if "href" in key or key.startswith("on")]
        found += [value for value in element.attrib.values() if "url(" in value]
    return found


def colour_without_a_role(figure: Published) -> Faults:
    """On a page a colour is not a CSS variable with the light theme's colour as its fallback."""
    known = {f"var({name}, {value})" for name, value in style.css_variables("light").items()}
    paints = {
        element.get(key, "none") for element in figure.root.iter() for key in ("fill", "stroke")
    }
    return sorted(paints - known - {"none"})


def caution_is_missing(figure: Published) -> Faults:
    """The caution does not stand on the figure in full."""
    said = " ".join(text.words for text in figure.texts)
    return [] if figures.words.say("caution") in said else [said]


LAYOUT: Final[tuple[Callable[[Published], Faults], ...]] = (
    texts_overlap,
    text_off_the_page,
    text_on_an_edge,
    text_on_a_dimension,
    text_on_the_ground,
    text_on_a_finding,
    leader_through_a_text,
    line_off_the_page,
    text_on_its_head,
    text_too_small,
    names_clash,
    reaches_beyond_itself,
    colour_without_a_role,
    caution_is_missing,
)


def file_too_large(drawn: Drawn) -> Faults:
    """The file is larger than 40 kB."""
    size = len(drawn[1].svg.encode())
    return [f"{size} bytes"] if size > MOST_BYTES else []


def not_announced(drawn: Drawn) -> Faults:
    """The figure is not an image that is named by the title and the description it came with."""
    _, rendered, figure = drawn
    root = figure.root
    named = [figure.elements.get(name) for name in root.get("aria-labelledby", "").split()]
    said = [None if element is None else element.text for element in named]
    tags = [None if element is None else element.tag for element in named]
    sound = root.get("role") == "img" and tags == [f"{SVG}title", f"{SVG}desc"]
    return [] if sound and said == [rendered.title, rendered.description] else [str(said)]


def says_nothing_of_the_case(drawn: Drawn) -> Faults:
    """Case, technique or sides are not on the page, or the words lack a caption."""
    planned, rendered, figure = drawn
    said = " ".join(text.words for text in figure.texts)
    found = [] if planned.technique.title in said else ["technique"]
    found += [] if any(name.startswith("case-title") for name in figure.names) else ["case"]
    words = (rendered.title, rendered.description, rendered.caption)
    return found + [word for word in words if not word.strip() or "\n" in word or "{" in word]


FILE: Final[tuple[Callable[[Drawn], Faults], ...]] = (
    file_too_large,
    not_announced,
    says_nothing_of_the_case,
)


def faults(drawn: Drawn) -> Faults:
    """Everything that is wrong with a picture."""
    found = [f"{check.__name__}: {fault}" for check in LAYOUT for fault in check(drawn[2])]
    return found + [f"{check.__name__}: {fault}" for check in FILE for fault in check(drawn)]


def _lines(figure: Published, names: Iterable[str]) -> list[tuple[str, Any]]:
    return [
        (name, shapely.LineString(run) if len(run) > 1 else shapely.Point(run[0]))
        for name in names
        for run in figure.runs(name)
    ]


def _hit(texts: list[Text], things: list[tuple[str, Any]]) -> Faults:
    if not things:
        return []
    tree = shapely.STRtree([shape for _, shape in things])
    boxes = np.array([text.box for text in texts])
    which, thing = tree.query(boxes, predicate="intersects")
    pairs = {(int(i), things[j][0]) for i, j in zip(which, thing, strict=True)}
    return [f"{texts[i].words!r} on {name}" for i, name in sorted(pairs)]
