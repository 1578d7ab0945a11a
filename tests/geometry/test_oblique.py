"""The camera that aims, what it seems to show, and four marks that put it right."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.transform import ProjectiveTransform
from tests.geometry.oracles import LATERAL, MEDIAL, bent, edge_x, polygon
from tests.strategies import examples, outlines, shipped_plans

from offmidline.geometry.oblique import (
    CAMERA_DISTANCE,
    TILTS_DEG,
    Camera,
    apparent,
    known_points,
    put_right,
    rectified,
    shortened_percent,
)
from offmidline.geometry.outline import Outline


def aimed(outline: Outline, tilt: float, distance: float = CAMERA_DISTANCE) -> Camera:
    """A camera aimed at the new midline at the widest level."""
    return Camera(tilt, distance, (outline.offset, outline.widest_level))


def measured(outline: Outline) -> np.ndarray:
    """The two edges, the midline and the new midline at the widest level, and the apexes."""
    y = outline.widest_level
    ends = [edge_x(outline, sign, y) for sign in (MEDIAL, LATERAL)]
    points = [(x, y) for x in (*ends, 0.0, outline.offset)]
    return np.array([*points, outline.cranial_point, outline.caudal_point])


@pytest.mark.parametrize(
    ("distance", "tilt", "width"),
    [
        (300, 15, 48.3188),
        (300, 30, 43.3766),
        (300, 45, 35.4785),
        (500, 15, 48.3044),
        (500, 30, 43.3284),
        (500, 45, 35.3996),
    ],
)
@pytest.mark.parametrize("side", [1, -1])
def test_apparent_width(distance, tilt, width, side):
    """50 mm centred on the aim look as wide as worked out, tilted to either side [derived]."""
    outline = bent(120)
    found = apparent(outline, aimed(outline, side * tilt, distance))
    assert found.width == pytest.approx(width, abs=6e-5)


@pytest.mark.parametrize(("tilt", "offset"), [(0, 20.0), (30, 17.674), (45, 14.554), (-30, 16.981)])
def test_apparent_offset(tilt, offset):
    """20 mm from the aim towards the camera look d 20 cos t / (d - 20 sin t) long, at d = 500
    (calc).
    """
    outline = bent(120)
    assert apparent(outline, aimed(outline, tilt)).offset == pytest.approx(offset, abs=5e-4)


@given(outlines(), st.floats(-60, 60))
@examples(40)
def test_apparent_by_closed_form(outline, tilt):
    """Whatever the level, points X from the aim are seen at d X cos t / (d + X sin t) [derived]."""

    def seen(x: float) -> float:
        turn = math.radians(tilt)
        return 500 * x * math.cos(turn) / (500 + x * math.sin(turn))

    found, half = apparent(outline, aimed(outline, tilt)), outline.half_width
    assert found.width == pytest.approx(seen(half) - seen(-half))
    assert found.offset == pytest.approx(-seen(-outline.offset))


def test_untilted_view_is_to_scale():
    """The first of the tilts shows every length as it is, about the aim."""
    outline = bent(120)
    straight = aimed(outline, TILTS_DEG[0])
    found = apparent(outline, straight)
    assert (found.width, found.offset) == pytest.approx((50.0, 20.0))
    assert straight.see(outline.ring()) == pytest.approx(outline.ring() - (20.0, 0.0))


@given(outlines(), st.floats(-60, 60), st.floats(400, 900))
@examples(40)
def test_aim_is_the_centre(outline, tilt, distance):
    """The aim is seen in the middle, and the side that is farther away looks the smaller."""
    camera = aimed(outline, tilt, distance)
    assert camera.see(np.array([camera.aim])) == pytest.approx(np.zeros((1, 2)))
    medial, lateral = np.abs(camera.see(measured(outline)[:2])[:, 0])
    assert np.sign(round(float(medial - lateral), 9)) in {0.0, math.copysign(1, tilt)}


@given(outlines(), st.floats(5, 60))
@examples(40)
def test_tilt_shortens(outline, tilt):
    """A tilt makes the marking look narrower than it is: what is read off is too little."""
    assert apparent(outline, aimed(outline, tilt)).width < outline.width


@given(outlines(), st.sampled_from(TILTS_DEG))
@examples(60)
def test_four_marks_put_it_right(outline, tilt):
    """Rectified by the known marks, width and offset are true again to a billionth, and so is the
    place of every point that was measured.
    """
    camera, marks, true = aimed(outline, tilt), known_points(outline), measured(outline)
    found = rectified(camera.see(true), camera.see(marks), marks)
    assert math.dist(found[0], found[1]) == pytest.approx(outline.width, abs=1e-9)
    assert math.dist(found[2], found[3]) == pytest.approx(outline.offset, abs=1e-9)
    assert found == pytest.approx(true, abs=1e-9)
    right = put_right(outline, camera)
    assert right.width == pytest.approx(outline.width, abs=1e-9)
    assert right.offset == pytest.approx(outline.offset, abs=1e-9)


def test_shortening_in_percent():
    """From far away a tilt of 60 degrees halves a lateral length: it looks 50 % shorter [derived];
    at 30 degrees and 500 mm a width of 50 mm looks 43.3284 mm wide, 13.3432 % too little (calc).
    """
    far = Camera(60, 1e9, (20.0, 0.0))
    assert shortened_percent(apparent(bent(120), far).width, 50) == pytest.approx(50, abs=1e-5)
    near = apparent(bent(120), aimed(bent(120), 30)).width
    assert shortened_percent(near, 50) == pytest.approx(13.3432, abs=1e-4)
    with pytest.raises(ValueError, match="above 0"):
        shortened_percent(0, 0)


@given(outlines(), st.floats(-60, 60), st.integers(0, 2**32 - 1))
@examples(40)
def test_against_scikit_image(outline, tilt, seed):
    """Any points of any picture come back to where scikit-image's estimate brings them
    [scikit-image].
    """
    marks = known_points(outline)
    seen_marks = aimed(outline, tilt).see(marks)
    seen = np.random.default_rng(seed).uniform(-30, 30, (12, 2))
    expected = ProjectiveTransform.from_estimate(seen_marks, marks)(seen)
    assert rectified(seen, seen_marks, marks) == pytest.approx(expected, abs=1e-6)


def test_known_points():
    """Round the outline of the tables the marks stand at whole centimetres, 5 mm or more away
    from it, counter-clockwise from the medial caudal corner (calc).
    """
    # -5 to 45 mm across, -60 to 60 mm along.
    expected = [(-10, -70), (50, -70), (50, 70), (-10, 70)]
    assert known_points(bent(120)).tolist() == [list(map(float, corner)) for corner in expected]


@given(outlines())
@examples(60)
def test_marks_are_clear_of_the_outline(outline):
    """The marks are a rectangle at whole centimetres whose sides clear the outline, by no more than
    reaching the next centimetre takes.
    """
    marks = known_points(outline)
    assert marks == pytest.approx(10 * np.round(marks / 10), abs=0)
    left, low, right, high = polygon(outline).bounds
    gaps = [left - marks[0, 0], low - marks[0, 1], marks[2, 0] - right, marks[2, 1] - high]
    assert min(gaps) >= 5 - 1e-2
    assert max(gaps) < 15 + 1e-2
    assert marks[1].tolist() == [marks[2, 0], marks[0, 1]]
    assert marks[3].tolist() == [marks[0, 0], marks[2, 1]]


def test_shipped_cases_are_in_view():
    """Of every shipped marking all marks lie in front of the camera, and it looks too narrow."""
    for planned in shipped_plans():
        if planned.shown is not None:
            outline = planned.shown.outline
            seen = [apparent(outline, aimed(outline, tilt)).width for tilt in TILTS_DEG]
            assert seen == sorted(seen, reverse=True)
            for tilt in TILTS_DEG:
                assert np.isfinite(aimed(outline, tilt).see(known_points(outline))).all()


@pytest.mark.parametrize(
    ("tilt", "distance", "fault"),
    [(90, 500, "tilted"), (-90, 500, "tilted"), (math.nan, 500, "tilted"), (0, 0, "distance")],
)
def test_impossible_cameras(tilt, distance, fault):
    """A camera in the plane, or beyond it, is refused."""
    with pytest.raises(ValueError, match=fault):
        Camera(tilt, distance, (0.0, 0.0))


def test_point_behind_the_camera():
    """What lies behind the camera has no picture, nor has a marking that reaches there."""
    with pytest.raises(ValueError, match="in front of the camera"):
        Camera(60, 300, (0.0, 0.0)).see(np.array([[-400.0, 0.0]]))
    with pytest.raises(ValueError, match="in front of the camera"):
        apparent(bent(120), Camera(60, 20, (20.0, 0.0)))


def test_marks_on_a_line():
    """Three marks on a line tell nothing about the tilt."""
    row = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, 0.0], [0.0, 30.0]])
    with pytest.raises(ValueError, match="line"):
        rectified(row, row, row)
