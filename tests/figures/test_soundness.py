"""The checks of soundness find what they look for: each on a figure that is spoilt on purpose."""

from __future__ import annotations

import dataclasses
import xml.etree.ElementTree as ET
from collections.abc import Callable
from typing import Any

import pytest
from tests.figures import soundness
from tests.figures.published import FIGURE, SVG, Drawn, Published, planned, published

from offmidline import figures
from offmidline.plan import CasePlan

Spoil = Callable[[Published], None]


def _case() -> CasePlan:
    return planned(pits=[(60, 2), (74, 3)])


def _move_text(figure: Published, gid: str, x: float, y: float) -> None:
    """Set a text at a place of the page, y up."""
    element = figure.elements[f"{FIGURE}-{gid}"]
    element.attrib.pop("transform", None)
    element.set("x", str(x))
    element.set("y", str(figure.height - y))


def _on_path(gid: str) -> Spoil:
    def spoil(figure: Published) -> None:
        x, y = figure.runs(gid)[0][0]
        _move_text(figure, "label-verge", x, y)

    return spoil


def _on_text(figure: Published) -> None:
    other = next(text for text in figure.texts if text.gid == "letter-left").box.centroid
    _move_text(figure, "label-verge", other.x, other.y)


def _off_page(figure: Published) -> None:
    _move_text(figure, "label-verge", figure.width - 2, 30)


def _line_off(figure: Published) -> None:
    figure.elements[f"{FIGURE}-midline"].set("d", "M 10 10 L 160 20")


def _leader(figure: Published) -> None:
    box = next(text for text in figure.texts if text.gid == "subtitle").box
    y = figure.height - box.centroid.y
    figure.elements[f"{FIGURE}-leaders"].set("d", f"M 1 {y} L 100 {y}")


def _set(gid: str, key: str, value: str) -> Spoil:
    def spoil(figure: Published) -> None:
        figure.elements[f"{FIGURE}-{gid}"].set(key, value)

    return spoil


def _script(figure: Published) -> None:
    ET.SubElement(figure.root, f"{SVG}script")


def _no_caution(figure: Published) -> None:
    figure.elements[f"{FIGURE}-caution-1"].text = "Teaching material."


@pytest.mark.parametrize(
    ("check", "spoil"),
    [
        (soundness.texts_overlap, _on_text),
        (soundness.text_off_the_page, _off_page),
        (soundness.text_on_an_edge, _on_path("outline")),
        (soundness.text_on_a_dimension, _on_path("dimension-width")),
        (soundness.text_on_the_ground, _on_path("cleft-medial")),
        (soundness.text_on_a_finding, _on_path("pit-1")),
        (soundness.leader_through_a_text, _leader),
        (soundness.line_off_the_page, _line_off),
        (soundness.text_on_its_head, _set("outline", "transform", "scale(-1 1)")),
        (soundness.text_too_small, _set("label-verge", "font-size", "3.7")),
        (soundness.names_clash, _set("outline", "id", "outline")),
        (soundness.names_clash, _set("outline", "id", f"{FIGURE}-midline")),
        (soundness.reaches_beyond_itself, _script),
        (soundness.reaches_beyond_itself, _set("outline", "fill", "url(#pattern)")),
        (soundness.colour_without_a_role, _set("outline", "stroke", "#000000")),
        (soundness.caution_is_missing, _no_caution),
    ],
)
def test_a_spoilt_layout_is_found(check: Callable[[Published], list[str]], spoil: Spoil):
    """A sound figure has no fault; the same one spoilt has the fault that the check is for."""
    figure = published(_case(), "marking")
    assert check(figure) == []
    spoil(figure)
    assert check(Published(ET.tostring(figure.root, encoding="unicode")))


@pytest.mark.parametrize(
    ("check", "spoilt"),
    [
        (soundness.file_too_large, {"svg": " " * 40_001}),
        (soundness.not_announced, {"description": "Another one."}),
        (soundness.says_nothing_of_the_case, {"caption": " "}),
        (soundness.says_nothing_of_the_case, {"title": "A {name} left over"}),
    ],
)
def test_a_spoilt_file_is_found(check: Callable[[Drawn], list[str]], spoilt: dict[str, Any]):
    """A file that is too large, or whose words are not those announced, is a fault."""
    case = _case()
    rendered = figures.render(case, "marking", figure_id=FIGURE)
    figure = Published(rendered.svg)
    assert check((case, rendered, figure)) == []
    assert check((case, dataclasses.replace(rendered, **spoilt), figure))
