"""The oblique view: what each photograph shows, read back from the published file."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.figures.published import Published, marked, planned, published, shown
from tests.strategies import shipped_plans

from offmidline import figures
from offmidline.figures.words import number
from offmidline.geometry.oblique import CAMERA_DISTANCE, TILTS_DEG, known_points

GROUPS = [*(f"tilt-{tilt:g}" for tilt in TILTS_DEG), "rectified"]
TILTED = GROUPS[:-1]


def seen(x: float, y: float, tilt: float) -> tuple[float, float]:
    """Where a point so far from the aim is seen [derived: geometry of a pinhole]."""
    turn = math.radians(tilt)
    near = CAMERA_DISTANCE / (CAMERA_DISTANCE + x * math.sin(turn))
    return x * math.cos(turn) * near, y * near


def widest(figure: Published, group: str) -> tuple[float, float]:
    """Least and greatest x of the outline at the height of the aim."""
    points = figure.plan_path(f"{group}-outline")
    level = points[np.abs(points[:, 1]) < 1e-3][:, 0]
    return float(level.min()), float(level.max())


CASES = [one for one in shipped_plans() if one.shown is not None]


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_outlines_are_seen_to_scale(one):
    """Every photograph shows the outline as wide as a pinhole does, to a thousandth, on either
    side.
    """
    figure, outline = published(one, "oblique"), shown(one).outline
    half = outline.half_width
    for group, tilt in zip(TILTED, TILTS_DEG, strict=True):
        low, high = widest(figure, group)
        expected = seen(half, 0, tilt)[0] - seen(-half, 0, tilt)[0]
        assert high - low == pytest.approx(expected, rel=1e-3)
        assert figure.text_of(f"{group}-dimension-width-text") == f"width {number(expected)}"


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_offsets_are_seen_to_scale(one):
    """Between the drawn midlines lies the offset that a pinhole shows, which the dimension says."""
    figure, offset = published(one, "oblique"), shown(one).outline.offset
    for group, tilt in zip(TILTED, TILTS_DEG, strict=True):
        midline = figure.plan_path(f"{group}-midline")
        new_midline = figure.plan_path(f"{group}-new-midline")
        expected = -seen(-offset, 0, tilt)[0]
        assert new_midline[:, 0] == pytest.approx(0, abs=0.02)
        assert -midline[:, 0] == pytest.approx(expected, rel=2e-3)
        assert figure.text_of(f"{group}-dimension-offset-text") == f"offset {number(expected)}"


@pytest.mark.parametrize("one", CASES, ids=lambda one: one.case.case)
def test_the_picture_put_right_is_the_true_one(one):
    """The rectified outline, the marks and the midlines lie where they are on the skin."""
    figure, outline = published(one, "oblique"), shown(one).outline
    aim = np.array([outline.offset, outline.widest_level])
    low, high = widest(figure, "rectified")
    assert high - low == pytest.approx(outline.width, rel=1e-3)
    frame = figure.plan_path("rectified-marks-frame") + aim
    assert frame[:4] == pytest.approx(known_points(outline), abs=0.02)
    assert figure.plan_path("rectified-midline")[:, 0] + aim[0] == pytest.approx(0, abs=0.02)
    true = figure.plan_path("rectified-true-outline")
    for point in figure.plan_path("rectified-outline"):
        assert np.hypot(*(true - point).T).min() < 1.0
        assert outline.half_width_at(point[1] + aim[1]) == pytest.approx(
            abs(point[0] + aim[0] - float(outline.axis(point[1] + aim[1]))), abs=0.05
        )


def test_tilted_pictures_lie_over_the_true_outline():
    """The true outline is in every photograph but the straight one, and is wider than what a
    tilted one shows.
    """
    one = planned(pits=[(60, 2), (74, 3)])
    figure = published(one, "oblique")
    assert not figure.has("tilt-0-true-outline")
    for group in GROUPS[1:]:
        true = figure.plan_path(f"{group}-true-outline")[:, 0]
        assert true.max() - true.min() > 0.99 * shown(one).outline.width
    for group in ("tilt-30", "tilt-45"):
        low, high = widest(figure, group)
        true = figure.plan_path(f"{group}-true-outline")[:, 0]
        assert high < true.max() - 2
        assert low > true.min() + 2


def test_only_the_picture_put_right_is_said_to_be_true():
    """A slanted picture names the true outline beside its own; put right, it lies on it."""
    figure = published(planned(), "oblique")
    said = {
        panel: " ".join(t.words for t in figure.texts if t.gid.startswith(f"{panel}-label-true"))
        for panel in ("tilt-30", "tilt-45", "rectified")
    }
    assert said == {
        "tilt-30": "true outline",
        "tilt-45": "true outline",
        "rectified": "= true outline",
    }


def test_the_marks_of_a_tilted_picture_are_a_trapezium():
    """Far from the camera the two marks stand closer together than near it; straight on, equally
    far.
    """
    figure = published(planned(), "oblique")

    def sides(group: str) -> tuple[float, float]:
        low_near, low_far, high_far, high_near = figure.plan_path(f"{group}-marks-frame")[:4]
        return high_near[1] - low_near[1], high_far[1] - low_far[1]

    near, far = sides("tilt-0")
    assert near == pytest.approx(far, rel=1e-3)
    near, far = sides("tilt-45")
    assert near > 1.05 * far
    crosses = figure.runs("tilt-45-marks")
    assert len(crosses) == 8


def test_pits_lie_on_the_midline_of_every_picture():
    """A pit's symbol is centred on the midline, at the height at which a pinhole shows it; one
    beyond the marks is not in the picture, and one that is left behind is crossed.
    """
    one = planned(pits=[(60, 2), (74, 3), (34, 2)], marking=marked(130, 40, 5))
    figure, outline = published(one, "oblique"), shown(one).outline
    assert figure.has("tilt-0-pit-3-cross")
    for group, tilt in zip(TILTED, TILTS_DEG, strict=True):
        x, y = figure.plan_path(f"{group}-pit-1").mean(axis=0)
        expected = seen(-outline.offset, 60 - outline.widest_level, tilt)
        assert (x, y) == pytest.approx(expected, abs=0.15)
    far = planned(pits=[(20, 2), (70, 2)], marking=marked(300, 200, 5))
    assert not published(far, "oblique").named("pit-1", "pit-2")


def test_left_is_the_mirror_of_right():
    """The same case on the other side has every path mirrored about the page's own frames."""
    right, left = (
        published(planned(side=side, pits=[(60, 2), (74, 3)]), "oblique")
        for side in ("right", "left")
    )
    for group in GROUPS:
        for gid in ("outline", "midline", "new-midline", "marks-frame"):
            one, other = (figure.plan_path(f"{group}-{gid}") for figure in (right, left))
            assert one == pytest.approx(other, abs=0.02)
        pits = [figure.plan_path(f"{group}-pit-1") for figure in (right, left)]
        one, other = (pit.max(axis=0) + pit.min(axis=0) for pit in pits)
        assert one == pytest.approx(other, abs=0.02)
        one, other = (figure.runs(f"{group}-outline")[0] for figure in (right, left))
        assert np.sign(one[5, 0] - one[15, 0]) == -np.sign(other[5, 0] - other[15, 0])


def test_the_words_carry_the_numbers():
    """Caption and description say the true width, the apparent ones and the marks' distances."""
    one = planned(marking=marked(130, 20, 5), pits=[(70, 2)])
    words = figures.captions(one, "oblique")
    assert "50 mm" in words.caption
    assert "35.4 mm wide at 45 degrees" in words.caption
    # 50 mm and 20 mm at 30 and 45 degrees from 500 mm (calc: tests of the geometry).
    assert "Tilted 30 degrees, they look 43.3 and 17.7." in words.description
    assert "Tilted 45 degrees, they look 35.4 and 14.6." in words.description
    assert "width is 50 again, the offset 20" in words.description
    marks = known_points(shown(one).outline)
    across, along = marks[2] - marks[0]
    assert f"{across:g} apart across and {along:g} along" in words.description


def test_shortening_is_said_above_each_picture():
    """A width that looks 43.3 of 50 mm is 13 % too short; without an offset only the width is."""
    figure = published(planned(marking=marked(130, 20, 5), pits=[(70, 2)]), "oblique")
    assert figure.text_of("title-tilt-30-note") == "width 13 %, offset 12 % too short"
    assert figure.text_of("title-rectified-note") == "width and offset true"
    centred = planned(marking=marked(120, 20, 25, 0, 0), side="left")
    figure = published(centred, "oblique")
    assert figure.text_of("title-tilt-45-note") == "width 29 % too short"
    assert not figure.has("tilt-45-dimension-offset")
