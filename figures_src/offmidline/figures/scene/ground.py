"""The ground of a plan view: landmarks, midlines, and which way is which."""

from __future__ import annotations

from typing import Final

import numpy as np

from offmidline.figures.page.board import Board
from offmidline.figures.page.drawing import (
    Array,
    Writing,
    ellipse,
    flattened,
    polyline,
    smooth,
)
from offmidline.figures.page.labels import Label
from offmidline.figures.page.metrics import ASCENT, width, wrap
from offmidline.figures.page.style import CENTRE, HIDDEN, TEXT_SIZE, THIN
from offmidline.figures.scene import anatomy
from offmidline.figures.scene.surface import HEAD_LINE, HEAD_ROW, Surface
from offmidline.figures.words import say

_LETTER_SIZE: Final = 6.0
_BESIDE_LETTER: Final = 8.5
_HEAD_INSET: Final = 2.0


def draw_ground(surface: Surface, *, coccyx: bool = True) -> None:
    """Cleft, buttocks, verge, where wanted the coccyx, and the letters that tell which way is
    which.
    """
    board = surface.board
    name_sides(board)
    _name_ends(board)
    for half, name in ((-1, "medial"), (1, "lateral")):
        wall = [part for run in anatomy.cleft(half) for part in board.clipped(run, _top(board))]
        board.faint(f"cleft-{name}", wall, THIN)
        board.faint(f"buttock-{name}", buttock_seen(board, half), THIN)
    if coccyx:
        tip = [board.frame.page(run) for run in flattened(anatomy.coccyx())]
        board.faint("coccyx", tip, HIDDEN)
    size = (anatomy.VERGE_HALF_WIDTH, anatomy.VERGE_HALF_HEIGHT)
    board.line("verge", ellipse((0, 0), *size), "muted", THIN)
    board.line("verge-folds", anatomy.verge_folds(), "faint", THIN)
    x, y = board.frame.at(0, 0)
    reach = np.array(size) * board.frame.scale
    board.guard((x, y), float(reach[0]), float(reach[1]))


def buttock_seen(board: Board, half: int) -> list[Array]:
    """The parts of the contour of a buttock (-1 or 1) that lie in the field, on the page."""
    return board.clipped(flattened(smooth(anatomy.buttock(half)))[0], _top(board))


def _top(board: Board) -> float:
    """The height up to which the ground is drawn, below the names of the midlines."""
    return board.high[1] - HEAD_ROW - HEAD_LINE


def name_sides(board: Board) -> None:
    """The patient's left and right at the upper corners of the field."""
    y = board.high[1] - _LETTER_SIZE * ASCENT
    left, right = board.low[0], board.high[0]
    board.write(
        Writing("letter-left", say("labels.left"), left, y, _LETTER_SIZE, "muted", bold=True),
        Writing(
            "letter-right", say("labels.right"), right, y, _LETTER_SIZE, "muted", "end", bold=True
        ),
    )


def _name_ends(board: Board) -> None:
    """Where the head and where the feet are."""
    left, top = board.low[0], board.high[1] - _LETTER_SIZE * ASCENT
    cranial, caudal = (
        f"{sign} {say(f'labels.{end}')}" for sign, end in (("↑", "cranial"), ("↓", "caudal"))
    )
    board.write(
        Writing("letter-cranial", cranial, left + _BESIDE_LETTER, top, TEXT_SIZE, "muted"),
        Writing("letter-caudal", caudal, left, board.low[1] + 2, TEXT_SIZE, "muted"),
    )


def label_landmarks(surface: Surface, *, coccyx: bool = True) -> None:
    """Names of the verge and, where it is drawn, of the coccyx."""
    board, frame = surface.board, surface.board.frame
    landmarks = (
        ("verge", say("labels.verge"), ((0.0, 0.0),), anatomy.VERGE_HALF_HEIGHT),
        ("coccyx", say("labels.coccyx"), anatomy.COCCYX_ANCHORS, 0.0),
    )
    for gid, text, points, clear in landmarks if coccyx else landmarks[:1]:
        board.label(
            Label(
                f"label-{gid}",
                wrap(text, surface.room, TEXT_SIZE),
                tuple(frame.at(*point) for point in points),
                surface.columns,
                clear=clear * frame.scale,
                role="muted",
            )
        )


def name_midlines(
    board: Board,
    offset: float,
    *,
    new: bool = True,
    midline: float = 0.0,
    top: float | None = None,
) -> None:
    """The names of the midline and, unless there is none yet, of the new midline at their upper
    ends, or from another height of the page downwards; both lines are given by their x.
    """
    y = (board.high[1] - HEAD_ROW if top is None else top) - TEXT_SIZE * ASCENT
    ends = sorted(
        (board.frame.at(x, 0)[0], gid, say(f"labels.{word}"))
        for x, gid, word in (
            (midline, "midline", "midline"),
            (offset, "new-midline", "new_midline"),
        )
    )
    (left, left_gid, left_text), (right, right_gid, right_text) = ends
    # Both texts begin at their lines, turned away from each other, with a space between them, and
    # go only so far back as a narrow field makes them.
    inset = min(_HEAD_INSET, (right - left - TEXT_SIZE) / 2)
    left_end = max(left + inset, board.low[0] + width(left_text, TEXT_SIZE))
    right_start = max(right - inset, left_end + _HEAD_INSET)
    right_start = min(right_start, board.high[0] - width(right_text, TEXT_SIZE))
    left_end = min(left_end, right_start - _HEAD_INSET)
    names = (
        Writing(f"label-{left_gid}", left_text, left_end, y, TEXT_SIZE, "ink", "end"),
        Writing(f"label-{right_gid}", right_text, right_start, y, TEXT_SIZE),
    )
    board.write(*(name for name in names if new or name.gid == "label-midline"))


def name_midline(board: Board) -> None:
    """The name of the midline at its upper end, where no other line is named there."""
    y = board.high[1] - HEAD_ROW - TEXT_SIZE * ASCENT
    x = board.frame.at(0, 0)[0]
    board.write(Writing("label-midline", say("labels.midline"), x, y, TEXT_SIZE, "ink", "middle"))


def draw_midline(surface: Surface) -> None:
    """The midline, over the whole height of the field below its name."""
    lowest, highest = surface.levels
    surface.board.line("midline", polyline([(0, lowest), (0, highest)]), "midline", CENTRE)
