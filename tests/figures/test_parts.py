"""The parts of the drawing: paths, frame, measures of text, places on the raster, words."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from offmidline.figures.page import drawing, metrics
from offmidline.figures.page.drawing import Frame, ellipse, flattened, hermite, polyline, smooth
from offmidline.figures.page.labels import Column, Label, place_label
from offmidline.figures.page.raster import TAKEN, Raster, dense
from offmidline.figures.page.room import NoRoomError
from offmidline.figures.words import isolated, number


@pytest.mark.parametrize(
    ("value", "text"),
    [(20.0, "20"), (118.5, "118.5"), (0.04, "0"), (-0.04, "0"), (-5.25, "−5.2"), (99.96, "100")],
)
def test_numbers_show_decimals_only_where_there_are_some(value: float, text: str):
    """One decimal, none for whole numbers, no negative zero, a true minus."""
    assert number(value) == text


def test_foreign_writing_direction_is_isolated():
    """A text with marks of direction cannot turn the words around it; others stay as they are."""
    assert isolated("plain") == "plain"
    assert isolated("\u202eturned") == "\u2068\u202eturned\u2069"


def test_frame_mirrors_only_the_lateral_axis():
    """The left side is drawn with -x; depth counts downwards in a section."""
    right, left = (Frame(0.5, 70, 30, side) for side in ("right", "left"))
    assert right.at(20, 40) == (80, 50)
    assert left.at(20, 40) == (60, 50)
    assert Frame(1, 70, 30, "right", down=True).at(20, 10) == (90, 20)


def test_flattened_follows_straight_and_curved_parts():
    """Curves come as chords, straight parts as they are, closed paths back to their start."""
    (circle,) = flattened(ellipse((1, 2), 3, 3))
    assert np.hypot(*(circle - (1, 2)).T) == pytest.approx(np.full(len(circle), 3), abs=1e-3)
    (square,) = flattened(polyline([(0, 0), (1, 0), (1, 1)], closed=True))
    assert square.tolist() == [[0, 0], [1, 0], [1, 1], [0, 0]]
    mixed = drawing.joined(polyline([(0, 0), (1, 0)]), smooth([(1, 0), (2, 1), (3, 0)]))
    (run,) = flattened(mixed)
    assert run[[0, 1, -1]].tolist() == [[0, 0], [1, 0], [3, 0]]


def test_hermite_keeps_points_and_directions():
    """The path passes its points with the given derivatives."""
    points = np.array([(0.0, 0.0), (1.0, 1.0)])
    trace = hermite(points, np.array([(3.0, 0.0), (0.0, 3.0)]))
    assert trace.points.tolist() == [[0, 0], [1, 0], [1, 0], [1, 1]]


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", ["midline covered", "to verge 29.6", "AVATAR", "↑ cranial", "−5°"])
def test_text_takes_the_room_that_the_font_gives_it(text: str, bold: bool):
    """The measured width is the ink's, give or take the letters' own margins and kerning."""
    font = FontProperties(family=["DejaVu Sans"], weight="bold" if bold else "normal")
    ink = TextPath((0, 0), text, size=100, prop=font).get_extents()
    measured = metrics.width(text, 100.0, bold=bold)
    assert ink.width <= measured <= 1.15 * ink.width + 20


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=200), st.floats(10, 140))
def test_wrapped_lines_fit_and_lose_nothing(text: str, room: float):
    """Every line fits unless it is a single letter, and together they hold all the words."""
    lines = metrics.wrap(text, room, 5.0)
    for line in lines:
        assert metrics.width(line, 5.0) <= room + 1e-9 or len(line.strip()) <= 12
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_shortened_text_ends_in_an_ellipsis():
    """What is left over is told by an ellipsis within the room."""
    lines = metrics.wrap("many words " * 20, 60.0, 5.0, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert metrics.width(lines[-1], 5.0) <= 60


def test_a_mark_is_not_torn_from_its_letter():
    """A long word is broken before a letter, never before its accent."""
    lines = metrics.wrap("e\u0301" * 60, 50.0, 5.0)
    assert len(lines) > 1
    assert all(line.startswith("e") for line in lines)


def test_missing_glyphs_become_boxes():
    """Pictures with their own font show a box for what it lacks and nothing for what is unseen."""
    assert metrics.shown_glyphs("a\u6f22\U000e0001b") == "a□b"


def test_dense_points_miss_no_cell():
    """Points along a line lie closer together than half a cell, ends included."""
    points = dense([(0, 0), (3, 4), (3, 4), (10, 4)])
    assert points[0].tolist() == [0, 0]
    assert points[-1].tolist() == [10, 4]
    assert np.hypot(*np.diff(points, axis=0).T).max() <= 0.5


def test_raster_sums_what_lies_under_a_box():
    """Costs of boxes by the table are those counted cell by cell."""
    raster = Raster((0.0, 0.0), (20.0, 10.0))
    raster.charge(raster.cells(np.array([(3.5, 4.5), (3.6, 4.4), (7.5, 4.5)])), 2.0)
    raster.take_box((15, 0), (20, 10))
    costs, bottoms = raster.column_costs(2.0, 6.0, 2.0)
    assert costs[bottoms == 3.0] == 4.0
    assert costs[bottoms == 5.0] == 0.0
    grid, lefts, lows = raster.grid_costs(6.0, 2.0, raster.window((0, 0), (20, 10)), 1)
    assert grid[(lefts == 2) & (lows == 4)] == 4.0
    assert grid[(lefts == 10) & (lows == 0)] >= TAKEN


def _raster() -> Raster:
    return Raster((0.0, 0.0), (100.0, 60.0))


def test_label_stands_in_its_column_at_the_level_of_what_it_names():
    """A free column is taken, and the leader runs level."""
    label = Label("a", ("name",), ((49.0, 30.0),), (Column(40.0, "end"),))
    (writing,), leader = place_label(_raster(), label)
    assert writing.anchor == "end"
    assert writing.x == pytest.approx(40.0)
    assert leader is not None
    assert abs(leader[0][1] - 30.0) < 1.0
    assert leader[1] == (49.0, 30.0)


def test_labels_evade_each_other():
    """Labels for one and the same point all find places of their own."""
    raster = _raster()
    boxes = []
    for index in range(8):
        label = Label(f"label-{index}", ("words",), ((50.0, 30.0),), (Column(40.0, "end"),))
        (writing,), _ = place_label(raster, label)
        boxes.append((writing.x, writing.y))
    assert len(set(boxes)) == 8


def test_labels_keep_the_space_that_they_ask_for():
    """A label that asks for more space above and below pushes the next one further away."""
    gaps = []
    for apart in (0.5, 3.0):
        raster, column = _raster(), (Column(40.0, "end"),)
        levels = [
            place_label(raster, Label(gid, ("words",), ((50.0, 30.0),), column, apart=apart))[0][
                0
            ].y
            for gid in ("a", "b")
        ]
        gaps.append(abs(levels[1] - levels[0]))
    assert gaps[1] > gaps[0] + 1


def test_no_room_is_said():
    """Where every cell is taken a label is refused by name."""
    raster = _raster()
    raster.take_box((0, 0), (100, 60))
    with pytest.raises(NoRoomError, match="words"):
        place_label(raster, Label("a", ("words",), ((50.0, 30.0),)))


def test_leader_leaves_a_symbol_free():
    """The leader ends at the rim of what it points to."""
    label = Label("a", ("name",), ((49.0, 30.0),), (Column(40.0, "end"),), clear=3.0)
    _, leader = place_label(_raster(), label)
    assert leader is not None
    assert math.dist(leader[1], (49, 30)) == pytest.approx(3.0)
