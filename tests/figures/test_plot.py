"""Small plots: where values lie on the page, which ticks an axis gets, and that its texts fit."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.figures.published import FIGURE, Published

from offmidline.figures.page import export
from offmidline.figures.page.axes import Axis, above, axes, axes_beside, below, beside
from offmidline.figures.page.drawing import Drawing, Frame, Shape, Writing
from offmidline.figures.page.plot import Plot, open_plot
from offmidline.figures.page.style import CUT
from offmidline.figures.words import number
from offmidline.records.base import Side

LOW, HIGH = (4.0, 4.0), (74.0, 84.0)
POINTS = np.array([(0.0, 10.0), (20.0, 60.0), (45.0, 90.0), (50.0, 140.0)])

ends = st.floats(-1e7, 1e7).map(lambda value: round(value, 3))
spans = st.floats(1e-3, 1e7)


def a_plot(x: Axis, y: Axis, side: Side = "right") -> tuple[Drawing, Plot]:
    """A plot that fills a rectangle of a page with the texts round it."""
    across, up = HIGH[0] - LOW[0], HIGH[1] - LOW[1]
    low = below(x, across)
    up -= low + above(y, across)
    outer = beside(y, up)
    # In less room there are fewer ticks, but no wider ones.
    inner = max((tick.width / 2 for tick in x.ticks(across - outer, "x")), default=0.0)
    left = LOW[0] + (outer if side == "right" else inner)
    made = axes((left, LOW[1] + low), (across - outer - inner, up), x, y, side=side)
    page = Drawing(150, 90)
    return page, open_plot(page, "plot", made, LOW, HIGH)


def read_back(page: Drawing) -> Published:
    """A page as it is published."""
    return Published(export.svg(page, "css", figure_id=FIGURE, title="t", description="d"))


def shape(page: Drawing, gid: str) -> Shape:
    """A shape of the page by its full name."""
    found = dict(page.named)[gid]
    assert isinstance(found, Shape)
    return found


@pytest.mark.parametrize("side", ["right", "left"])
def test_values_lie_where_their_axes_put_them(side):
    """Each value lies at its share of the way between the ends; the left side is mirrored."""
    made = axes((10, 20), (60, 40), Axis(-5, 25, "a"), Axis(100, 300, "b"), side=side)
    x, y = made.frame.at(4, 150)
    assert x == pytest.approx(10 + 60 * (0.3 if side == "right" else 0.7), abs=1e-9)
    assert y == pytest.approx(20 + 40 * 0.25, abs=1e-9)
    assert made.low == pytest.approx((10, 20), abs=1e-9)
    assert made.high == pytest.approx((70, 60), abs=1e-9)


def test_levels_are_shared_with_the_surface_beside():
    """A plot beside a surface has each level at the same height, and starts where it is told."""
    frame = Frame(0.5, 80, 31.7, "left")
    made = axes_beside(frame, 90, 30, Axis(15, 75), Axis(20, 140))
    assert made.frame.at(0, 84)[1] == pytest.approx(frame.at(0, 84)[1], abs=1e-9)
    assert made.low == pytest.approx((90, 31.7 + 0.5 * 20), abs=1e-9)
    assert made.high == pytest.approx((120, 31.7 + 0.5 * 140), abs=1e-9)


def test_ticks_stand_at_round_values():
    """An axis of 60 mm from 0 to 100 has its ticks at every twentieth, ends included."""
    assert [tick.value for tick in Axis(0, 100).ticks(60, "x")] == [0, 20, 40, 60, 80, 100]
    assert [tick.text for tick in Axis(-0.1, 0.1).ticks(60, "x")] == [
        "−0.1",
        "−0.05",
        "0",
        "0.05",
        "0.1",
    ]
    assert [tick.value for tick in Axis(3, 4).ticks(30, "y")] == [3, 3.5, 4]


@given(ends, spans, st.floats(12, 130), st.sampled_from(["x", "y"]))
def test_any_axis_gets_round_ticks_within_it(low, span, length, which):
    """Ticks are multiples of 1, 2 or 5 times a power of ten, evenly spread from end to end, and no
    two are written alike.
    """
    axis = Axis(low, low + span)
    found = axis.ticks(length, which)
    values = [tick.value for tick in found]
    slack = 1e-6 * span
    assert all(low - slack <= value <= low + span + slack for value in values)
    assert len({tick.text for tick in found}) == len(found)
    for tick in found:
        assert float(tick.text.replace("−", "-")) == pytest.approx(tick.value, rel=1e-12, abs=1e-12)
    if len(values) > 1:
        steps = np.diff(values)
        step = float(steps[0])
        assert steps == pytest.approx(np.full(len(steps), step), rel=1e-3)
        factor = step / 10 ** math.floor(math.log10(step) + 1e-6)
        assert min(abs(factor - one) for one in (1, 2, 5)) < 1e-2
        assert step * length / span >= 7
        # One more at either end would lie off the axis.
        assert values[0] - step < low
        assert values[-1] + step > low + span


@given(ends, spans, ends, spans, st.sampled_from(["right", "left"]))
def test_texts_of_any_axes_stay_apart_and_on_the_page(x, across, y, up, side):
    """Whatever the ranges, no tick text or name meets another or leaves the rectangle."""
    page, plot = a_plot(
        Axis(x, x + across, "width at the level, mm"), Axis(y, y + up, "level, mm"), side
    )
    plot.draw_axes()
    figure = read_back(page)
    for one, other in combinations(figure.texts, 2):
        assert not one.box.intersects(other.box), (one.words, other.words)
    for text in figure.texts:
        x0, y0, x1, y1 = text.box.bounds
        assert LOW[0] - 0.3 <= x0
        assert LOW[1] <= y0
        assert x1 <= HIGH[0] + 0.3
        assert y1 <= HIGH[1]


def test_a_curve_and_its_area_are_read_back():
    """From the published file the curve has its points, and the area under it its size."""
    page, plot = a_plot(Axis(0, 60, "gap, mm"), Axis(0, 150, "level, mm"))
    plot.curve("curve", POINTS, "scar", CUT)
    plot.area("under", POINTS, "flap-tint")
    plot.area("beside", POINTS, "flap-tint", to="y")
    figure = read_back(page)
    assert figure.plan_path("plot-curve") == pytest.approx(POINTS, abs=0.01)
    x, y = POINTS.T
    for gid, area in (("under", np.trapezoid(y, x)), ("beside", np.trapezoid(x, y))):
        ring = figure.plan_path(f"plot-{gid}")
        u, v = ring.T
        shoelace = abs(float(np.sum(u * np.roll(v, -1) - v * np.roll(u, -1)))) / 2
        assert shoelace == pytest.approx(area, rel=1e-3)


def test_a_small_scale_is_read_back_exactly():
    """Thousands of units to the millimetre keep a thousandth of their length on the way."""
    page, plot = a_plot(Axis(0, 60), Axis(0, 123456))
    plot.curve("curve", np.array([(0, 0), (60, 98765)]), "scar", CUT)
    assert read_back(page).plan_path("plot-curve")[-1] == pytest.approx((60, 98765), rel=1e-5)


def test_a_smooth_curve_passes_its_points():
    """A smooth curve goes through every point that it is given."""
    page, plot = a_plot(Axis(0, 60), Axis(0, 150))
    plot.curve("curve", POINTS, "scar", CUT, smooth=True)
    drawn = read_back(page).plan_path("plot-curve")
    for point in POINTS:
        assert np.hypot(*(drawn - point).T).min() < 0.01


@pytest.mark.parametrize("to", ["x", "y"])
def test_bars_reach_from_zero_to_their_values(to):
    """A bar is as long as its value, as thick as told, and stands on the zero of the values."""
    page, plot = a_plot(Axis(-10, 60), Axis(-20, 150))
    plot.bars("bars", POINTS[1:3], 6.0, ("flap", "flap-tint"), to=to)
    runs = read_back(page).plan_runs("plot-bars")
    assert len(runs) == 2
    value, place = (1, 0) if to == "x" else (0, 1)
    for run, point in zip(runs, POINTS[1:3], strict=True):
        low, high = run.min(axis=0), run.max(axis=0)
        assert (low[value], high[value]) == pytest.approx((0, point[value]), abs=0.02)
        assert (low[place], high[place]) == pytest.approx(
            (point[place] - 3, point[place] + 3), abs=0.02
        )


def test_guides_cross_the_whole_plot():
    """Guide lines run from end to end of the other axis, at their values."""
    page, plot = a_plot(Axis(0, 60), Axis(0, 150))
    plot.guides("levels", [40, 90])
    plot.guides("places", [12], "x")
    figure = read_back(page)
    assert figure.plan_path("plot-levels") == pytest.approx(
        np.array([(0, 40), (60, 40), (0, 90), (60, 90)]), abs=0.02
    )
    assert figure.plan_path("plot-places") == pytest.approx(
        np.array([(12, 0), (12, 150)]), abs=0.02
    )


def test_texts_can_be_left_to_the_surface_beside():
    """An axis without texts has ticks but neither values nor a name beside them."""
    page, plot = a_plot(Axis(0, 60, "gap, mm"), Axis(0, 150, texts=False))
    plot.draw_axes()
    names = [gid for gid, item in page.named if isinstance(item, Writing)]
    assert "plot-name-x" in names
    assert not any("-y" in gid for gid in names)
    assert len(shape(page, "plot-axes").trace.points) > 2 * (2 + 6)


def test_labels_keep_off_the_texts_of_a_plot():
    """What the axes write is taken: nothing else may be put there."""
    page, plot = a_plot(Axis(0, 60, "gap, mm"), Axis(0, 150, "level, mm"))
    plot.draw_axes()
    raster = plot.board.raster
    for text in read_back(page).texts:
        x, y = text.box.centroid.coords[0]
        row, column = raster.cells(np.array([(x, y)]))
        assert raster.cost[row, column] >= 1e6


@pytest.mark.parametrize(("low", "high"), [(3, 3), (4, 3), (0, math.inf), (math.nan, 1)])
def test_an_axis_needs_two_ends(low, high):
    """An axis without extent is refused."""
    with pytest.raises(ValueError, match="below its high end"):
        Axis(low, high)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [(2.25, 2, "2.25"), (100, 0, "100"), (2.0, 2, "2"), (-0.001, 2, "0")],
)
def test_numbers_with_more_or_fewer_decimals(value, places, text):
    """As many decimals as asked, but no closing zero and no sign at nothing."""
    assert number(value, places) == text
