"""Faint lines are interrupted where a text lies over them, and nowhere else."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from offmidline.figures.page.drawing import Writing
from offmidline.figures.page.gaps import with_gaps
from offmidline.figures.page.metrics import ASCENT, DESCENT, width

SIZE = 4.0


def _text(x: float, y: float, angle: float = 0.0) -> Writing:
    return Writing("text", "words", x, y, SIZE, angle=angle)


def _inside(points: np.ndarray, text: Writing) -> np.ndarray:
    """Which points lie in the box of a level text."""
    dx, dy = (points - (text.x, text.y)).T
    wide = (dx > 0) & (dx < width(text.text, SIZE))
    return np.asarray(wide & (dy > -DESCENT * SIZE) & (dy < ASCENT * SIZE))


def test_a_line_under_a_text_has_a_gap_there():
    """An upright line through the middle of a text ends below it and goes on above it."""
    text = _text(10, 20)
    x = 10 + width("words", SIZE) / 2
    run = np.array([(x, 0.0), (x, 40.0)])
    below, above = with_gaps([run], [text])
    assert np.array_equal(below[0], run[0])
    assert np.array_equal(above[-1], run[1])
    assert 20 - DESCENT * SIZE - 1 < below[-1][1] < 20 - DESCENT * SIZE
    assert 20 + ASCENT * SIZE < above[0][1] < 20 + ASCENT * SIZE + 1


def test_a_line_beside_a_text_stays_whole():
    """A line that meets no text, although it runs round one, is given back as it is."""
    text = _text(10, 20)
    run = np.array([(5.0, 15.0), (5.0, 30.0), (40.0, 30.0)])
    (same,) = with_gaps([run], [text])
    assert np.array_equal(same, run)


def test_no_part_of_a_curve_is_left_under_any_text():
    """Of a curve under two texts no point is left under either, and no point is new."""
    angles = np.linspace(0, np.pi, 40)
    run = np.column_stack([30 + 20 * np.cos(angles), 10 + 20 * np.sin(angles)])
    texts = [_text(24, 29), _text(44, 18)]
    parts = with_gaps([run], texts)
    assert len(parts) == 3
    for part in parts:
        filled = np.vstack(
            [
                start + (end - start) * np.linspace(0, 1, 20)[:, None]
                for start, end in pairwise(part)
            ]
        )
        for text in texts:
            assert not _inside(filled, text).any()
        assert np.hypot(*(filled - (30, 10)).T) == pytest.approx(20, abs=0.05)


def test_a_turned_text_has_its_gap_where_it_stands():
    """A text that reads upwards interrupts a level line over no more than its height."""
    text = _text(20, 10, angle=90.0)
    run = np.array([(0.0, 14.0), (40.0, 14.0)])
    left, right = with_gaps([run], [text])
    assert left[-1][0] == pytest.approx(20 - ASCENT * SIZE, abs=0.5)
    assert right[0][0] == pytest.approx(20 + DESCENT * SIZE, abs=0.5)


def test_scraps_between_gaps_are_left_out():
    """Less than a millimetre of a line between two texts is not drawn."""
    x = 10 + width("words", SIZE) / 2
    run = np.array([(x, 0.0), (x, 40.0)])
    parts = with_gaps([run], [_text(10, 20), _text(10, 20 + SIZE * (ASCENT + DESCENT) + 1)])
    assert len(parts) == 2
