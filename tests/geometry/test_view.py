"""Oblique views and their rectification, against worked-out numbers and scikit-image."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from skimage.transform import ProjectiveTransform
from tests.strategies import examples

from offmidline.geometry.view import apply_homography, homography, orthographic, pinhole

SIDES = np.array([[-25.0, 0.0], [25.0, 0.0]])
FRAME = np.array([[-30.0, -70.0], [30.0, -70.0], [30.0, 70.0], [-30.0, 70.0]])
# The camera: 1200 px of focal length, 300 mm away, tilted by 30 degrees; the picture's
# centre.
FOCAL, DISTANCE, TILT, CENTRE = 1200.0, 300.0, 30.0, np.array([800.0, 600.0])


def seen(points: np.ndarray) -> np.ndarray:
    """Pixels in which the camera shows points of the marked plane."""
    return np.asarray(pinhole(points, TILT, DISTANCE, FOCAL) + CENTRE)


def span(points: np.ndarray) -> float:
    """Lateral distance of two points."""
    return float(points[1, 0] - points[0, 0])


@pytest.mark.parametrize(
    ("tilt", "fifty", "loss", "long"),
    [
        (15, 48.296291, -3.407, 115.911),
        (30, 43.301270, -13.397, 103.923),
        (45, 35.355339, -29.289, 84.853),
    ],
)
def test_orthographic(tilt, fifty, loss, long):
    """From afar 50 and 120 mm across the tilt shrink by its cosine, and lengths along it do not
    [derived].
    """
    found = span(orthographic(SIDES, tilt))
    assert found == pytest.approx(fifty, abs=1e-6)
    assert 100 * (found / 50 - 1) == pytest.approx(loss, abs=1e-3)
    assert span(orthographic(2.4 * SIDES, tilt)) == pytest.approx(long, abs=1e-3)
    assert orthographic(FRAME, tilt)[:, 1] == pytest.approx(FRAME[:, 1])
    area = shapely.Polygon(orthographic(FRAME, tilt)).area
    assert area == pytest.approx(60 * 140 * math.cos(math.radians(tilt)))


@pytest.mark.parametrize(
    ("distance", "tilt", "fifty"),
    [
        (300, 15, 48.3188),
        (300, 30, 43.3766),
        (300, 45, 35.4785),
        (500, 15, 48.3044),
        (500, 30, 43.3284),
        (500, 45, 35.3996),
    ],
)
def test_pinhole(distance, tilt, fifty):
    """From 300 and 500 mm away 50 mm look as long as worked out [derived]."""
    assert span(pinhole(SIDES, tilt, distance)) == pytest.approx(fifty, abs=6e-5)


@pytest.mark.parametrize(("tilt", "long"), [(15, 116.2225), (30, 104.9728), (45, 86.5845)])
def test_pinhole_of_the_whole_length(tilt, long):
    """120 mm across the tilt look as long as worked out from 300 mm [derived]."""
    assert span(pinhole(2.4 * SIDES, tilt, 300)) == pytest.approx(long, abs=6e-5)


def test_pinhole_displaces_the_centre():
    """At 30 degrees the two halves of 50 mm look -22.592 and +20.785 mm long [derived]."""
    halves = pinhole(SIDES, 30, 300)[:, 0]
    assert halves == pytest.approx((-22.592, 20.785), abs=6e-4)
    assert -halves.mean() == pytest.approx(0.90, abs=0.005)


def test_pinhole_without_a_tilt():
    """Untilted, the default camera shows the plane to scale."""
    assert pinhole(FRAME, 0, 300) == pytest.approx(FRAME)


def test_point_behind_the_camera():
    """A point at or behind the camera has no picture."""
    with pytest.raises(ValueError, match="in front of the camera"):
        pinhole(np.array([[-400.0, 0.0]]), 60, 300)
    with pytest.raises(ValueError, match="in front of the camera"):
        pinhole(np.array([[-300.0, 0.0]]), 90, 300)


def test_pixels():
    """The frame's corners and the 50 mm have the pixels worked out [derived]."""
    corners = [
        (690.6073, 305.2632),
        (898.9743, 333.3333),
        (898.9743, 866.6667),
        (690.6073, 894.7368),
    ]
    assert seen(FRAME) == pytest.approx(np.array(corners), abs=6e-5)
    assert seen(SIDES)[:, 0] == pytest.approx((709.6321, 883.1384), abs=6e-5)
    assert span(seen(SIDES)) / 4 == pytest.approx(43.3766, abs=6e-5)


def test_homography_of_the_camera():
    """The four corners give back the camera's matrix K (r1 r2 t) [derived]."""
    expected = [[4.79743495, 0, 800], [1, 4, 600], [0.00166666667, 0, 1]]
    assert homography(FRAME, seen(FRAME)) == pytest.approx(np.array(expected), abs=1e-8)


def test_rectification():
    """Rectified by the four corners, 50 mm and an ellipse's area are true again [derived]."""
    back = homography(seen(FRAME), FRAME)
    assert apply_homography(back, seen(SIDES)) == pytest.approx(SIDES, abs=1e-9)
    turn = np.linspace(0, 2 * math.pi, 4000, endpoint=False)
    ellipse = np.column_stack([25 * np.cos(turn), 60 * np.sin(turn)])
    assert shapely.Polygon(ellipse).area == pytest.approx(4712.38, abs=0.02)
    assert shapely.Polygon(seen(ellipse)).area / 16 == pytest.approx(4091.69, abs=0.02)
    rectified = shapely.Polygon(apply_homography(back, seen(ellipse)))
    assert rectified.area == pytest.approx(4712.38, abs=0.02)


def test_noise_on_the_corners():
    """A pixel of noise on the four corners leaves a standard deviation of 0.24 mm in the 50 mm
    [derived].
    """
    chance, corners = np.random.default_rng(11), seen(FRAME)
    spans = [
        span(
            apply_homography(homography(corners + chance.normal(0, 1, (4, 2)), FRAME), seen(SIDES))
        )
        for _ in range(1500)
    ]
    assert np.std(spans) == pytest.approx(0.24, abs=0.02)


@given(st.integers(0, 2**32 - 1), st.integers(4, 9))
@examples(60)
def test_against_scikit_image(seed, count):
    """Any four pairs, or more on a common map, give the matrix of scikit-image's estimate
    [scikit-image].
    """
    chance = np.random.default_rng(seed)
    turn = np.sort(chance.uniform(0, 1, count) + np.arange(count)) * 2 * math.pi / count
    source = np.column_stack([50 * np.cos(turn), 80 * np.sin(turn)]) + chance.normal(
        0, 3, (count, 2)
    )
    target = seen(source) if count > 4 else seen(source) + chance.normal(0, 8, (count, 2))
    expected = ProjectiveTransform.from_estimate(source, target).params
    found = homography(source, target)
    assert found[2, 2] == 1.0
    assert apply_homography(found, source) == pytest.approx(target, abs=1e-6)
    assert found == pytest.approx(expected / expected[2, 2], rel=1e-6, abs=1e-7)


@given(st.floats(0, 60), st.floats(250, 900), st.integers(0, 2**32 - 1))
@examples(40)
def test_round_trip(tilt, distance, seed):
    """Whatever the camera, four known corners bring every point back to its place."""
    points = np.random.default_rng(seed).uniform((-60, -100), (60, 100), (12, 2))
    back = homography(pinhole(FRAME, tilt, distance), FRAME)
    assert apply_homography(back, pinhole(points, tilt, distance)) == pytest.approx(
        points, abs=1e-6
    )


@pytest.mark.parametrize(
    "source",
    [
        [[0, 0], [1, 1], [2, 2], [5, 0]],
        [[0, 0], [0, 0], [1, 0], [0, 1]],
        [[0, 0], [1, 0], [2, 0], [3, 0]],
    ],
)
def test_degenerate_points(source):
    """Corners that coincide, or of which three lie on a line, give no homography."""
    with pytest.raises(ValueError, match="line"):
        homography(np.array(source, dtype=float), FRAME)


def test_too_few_points():
    """Three pairs, all points the same, or two lists of unlike length are refused."""
    with pytest.raises(ValueError, match="four pairs"):
        homography(FRAME[:3], FRAME[:3])
    with pytest.raises(ValueError, match="four pairs"):
        homography(FRAME, FRAME[:3])
    with pytest.raises(ValueError, match="the same"):
        homography(np.ones((4, 2)), FRAME)
