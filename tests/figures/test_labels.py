"""Nothing covers anything: labels, dimensions' texts, outlines, the page."""

from __future__ import annotations

from itertools import combinations

import pytest
import shapely
from tests.figures.published import Published, drawn

VIEWS = ("marking", "section")
# Lines that no text may cover: the marked outline; what the knife cuts; the cavity.
EDGES = ("outline", "medial-wall", "lateral-wall", "floor", "undermining", "cavity")


def _edges(figure: Published) -> list[shapely.LineString]:
    return [shapely.LineString(run) for gid in EDGES if figure.has(gid) for run in figure.runs(gid)]


@pytest.mark.parametrize("view", VIEWS)
def test_no_two_texts_overlap(view: str):
    """On no case does the ink of one text reach into that of another."""
    for planned, _, figure in drawn(view):
        for one, other in combinations(figure.texts, 2):
            assert not one.box.intersects(other.box), (planned.case.case, one.words, other.words)


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_leaves_the_page(view: str):
    """On no case does a text reach over the edge of the page."""
    for planned, _, figure in drawn(view):
        for text in figure.texts:
            assert figure.page.contains(text.box), (planned.case.case, text.words)


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_covers_an_outline(view: str):
    """On no case does a text lie over the outline, a cut or the cavity's wall."""
    for planned, _, figure in drawn(view):
        edges = _edges(figure)
        assert edges or planned.shown is None
        for text in figure.texts:
            assert not any(text.box.intersects(edge) for edge in edges), (
                planned.case.case,
                text.words,
            )


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_covers_a_finding(view: str):
    """On no case does a text lie over a pit or an opening."""
    for planned, _, figure in drawn(view):
        symbols = [
            shapely.Polygon(figure.runs(name)[0])
            for name in figure.names
            if name.rpartition("-")[0] in ("pit", "opening")
        ]
        for text in figure.texts:
            assert not any(text.box.intersects(symbol) for symbol in symbols), (
                planned.case.case,
                text.words,
            )


@pytest.mark.parametrize("view", VIEWS)
def test_leaders_run_clear_of_texts(view: str):
    """On no case does a leader cross a text, its own included."""
    for planned, _, figure in drawn(view):
        if not figure.has("leaders"):
            continue
        leaders = shapely.MultiLineString([run for run in figure.runs("leaders") if len(run) == 2])
        for text in figure.texts:
            assert not text.box.intersects(leaders), (planned.case.case, text.words)


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_is_drawn_outside_the_page(view: str):
    """On no case does a line leave the page."""
    for planned, _, figure in drawn(view):
        for element in figure.root:
            if not element.tag.endswith("path"):
                continue
            gid = element.get("id", "").removeprefix("figure-")
            for run in figure.runs(gid):
                inside = figure.page.buffer(1e-6).contains(shapely.MultiPoint(run))
                assert inside, (planned.case.case, gid)


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_stands_on_its_head(view: str):
    """Every text reads from the bottom or from the right, on left-sided figures too."""
    for _, _, figure in drawn(view):
        assert all(-90 < text.angle <= 90 for text in figure.texts)
        assert "scale(" not in "".join(e.get("transform", "") for e in figure.root.iter())
