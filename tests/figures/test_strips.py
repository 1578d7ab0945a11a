"""The strips below a drawing: a table whose cells are wrapped, and the key of a line."""

from __future__ import annotations

import itertools

import pytest

from offmidline.figures.page.drawing import Shape, Writing
from offmidline.figures.page.foot_table import FootTable
from offmidline.figures.page.line_key import LineKey
from offmidline.figures.page.metrics import width
from offmidline.figures.page.sheet import ROOM
from offmidline.figures.page.style import DOUBLE_DOT, MARGIN, SMALL_SIZE

ROWS = [("Rule", "Measured"), ("a rule whose title is too long for its column", "5 mm"), ("b", "")]


def _table() -> FootTable:
    return FootTable("t", ROWS, (1.0, 2.0))


def test_cells_stand_in_their_columns():
    """Texts begin at their column's left, fit into it, and are named by row and column."""
    texts = {writing.gid: writing for writing in _table().writings(100.0)}
    assert texts["t-0-1"].x == texts["t-2-1"].x == MARGIN
    assert texts["t-0-2"].x == texts["t-1-2"].x == pytest.approx(MARGIN + (ROOM + 3) / 3)
    assert texts["t-1-1-1"].text.startswith("a rule")
    assert "t-2-2" not in texts
    for writing in texts.values():
        room = (
            (ROOM + 3) * (2 if writing.gid.endswith("-2") and "1-1" not in writing.gid else 1) / 3
        )
        assert width(writing.text, SMALL_SIZE, bold=writing.bold) <= room - 3 + 1e-9


def test_only_the_first_row_is_bold():
    """The heads are told from the rows by weight."""
    assert [w.bold for w in _table().writings(0.0)] == [
        w.gid.startswith("t-0-") for w in _table().writings(0.0)
    ]


def test_rows_follow_each_other_and_stay_within_the_height():
    """Lines of one column never come closer than a line, and the last one is above the bottom."""
    table = _table()
    lines = sorted({writing.y for writing in table.writings(100.0)}, reverse=True)
    assert all(one - other >= SMALL_SIZE for one, other in itertools.pairwise(lines))
    assert lines[-1] > 100.0 - table.height


def test_a_line_key_shows_the_line_it_names():
    """The piece of line is drawn as the line is, at the height of its text."""
    key = LineKey("key", "mistakes.right_outline", "muted", DOUBLE_DOT)
    shape, writing = key.writings(50.0)
    assert isinstance(shape, Shape)
    assert isinstance(writing, Writing)
    assert (shape.stroke, shape.line) == ("muted", DOUBLE_DOT)
    assert writing.text == "correct outline"
    assert writing.y < shape.trace.points[0, 1] < writing.y + SMALL_SIZE
    assert writing.y > 50.0 - key.height
