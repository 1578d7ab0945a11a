"""The section at the widest level: what its leaders lead to, and what it says of rare forms."""

from __future__ import annotations

import numpy as np
import pytest
from tests.figures.published import drawn, extremes, shown

from offmidline import figures
from offmidline.figures.scene.cross_section import cross_section

# What a leader at least keeps from the end of a row on a wall, mm on the page.
_CLEAR = 1.0


def test_no_leader_ends_where_a_row_takes_hold_of_a_wall():
    """There it could name the wall as well as the row."""
    seen = 0
    for planned, _, figure in drawn("section"):
        cut = cross_section(shown(planned))
        holds = [(x, -cut.superficial) for x in cut.walls.at(cut.superficial)]
        # Under 1:2, and where the walls are next to each other, all ends are close together.
        if figure.scale < 0.5 or holds[1][0] - holds[0][0] < 10:
            continue
        ends = np.array([run[1] for run in figure.plan_runs("leaders") if len(run) == 2])
        for hold in holds:
            away = figure.scale * np.hypot(*(ends - hold).T)
            assert away.min() > _CLEAR, planned.case.case
        seen += 1
    assert seen > 30


def test_walls_are_named_from_their_own_side():
    """The name of the medial wall stands medial of that of the lateral wall."""
    for planned, _, figure in drawn("section"):
        if figure.scale < 0.5 or shown(planned).outline.width < 10:
            continue
        at = {t.gid: t.box.centroid.x for t in figure.texts if t.gid.startswith("label-")}
        sign = 1 if shown(planned).marking.side == "right" else -1
        medial, lateral = at["label-medial-wall"], at["label-lateral-wall"]
        assert (lateral - medial) * sign > 0, planned.case.case


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("no undermining", "no flap is raised."),
        ("walls that meet", "16 mm wide and 16 mm deep"),
    ],
)
def test_caption_tells_what_is_there(name, said):
    """No flap is described where none is raised, and no trough deeper than its walls go."""
    assert said in figures.captions(extremes()[name], "section").caption


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("centred on the midline", "The new midline lies on the midline."),
        ("offset to the other side", "The new midline lies 15 to the left of the midline."),
        ("short of the midline", "The new midline lies 20 to the right of the midline."),
    ],
)
def test_side_of_the_new_midline_is_told(name, said):
    """A new midline on the other side or on the midline is told as such, without a minus."""
    words = figures.captions(extremes()[name], "section-steps", "before")
    assert said in words.description
