"""Published results read back from their charts: places by the axis against the data, to 0.1 %."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from offmidline.figures import CHARTS
from offmidline.figures.charts.comparisons import comparisons
from offmidline.figures.charts.follow_up import followed
from offmidline.figures.charts.timeline import bars

from .read_back import centre, read, shipped, texts

FOREST = CHARTS["forest"].keys(shipped())


@pytest.mark.parametrize("key", FOREST)
def test_ratios_lie_where_the_axis_says(key: str) -> None:
    """By the places of the ticks, each mark lies at its ratio and its ends at the interval's."""
    figure = read("forest", key)
    ticks = [text for text in figure.texts if text.gid.startswith("plot-tick-")]
    places = [text.box.centroid.x for text in ticks]
    slope, start = np.polyfit(places, [math.log(float(text.words)) for text in ticks], 1)
    rows = [row for one in comparisons(shipped(), key) for row in one.rows]
    assert rows
    for row in rows:
        gid = f"plot-row-{row.number}"
        points = np.vstack(figure.runs(gid if row.ratio.weight is None else f"{gid}-interval"))
        ends = np.exp(slope * points[:, 0] + start)
        assert ends.min() == pytest.approx(row.ratio.low, rel=0.02)
        assert ends.max() == pytest.approx(row.ratio.high, rel=0.02)
        # In its own frame to 0.1 %: ticks are read from the middle of their texts.
        exact = 10 ** figure.plan_path(gid)[:, 0]
        middle = exact[1] if row.ratio.weight is None else math.sqrt(exact.min() * exact.max())
        assert middle == pytest.approx(row.ratio.value, rel=1e-3)


@pytest.mark.parametrize("key", FOREST)
def test_squares_have_the_area_of_their_weight(key: str) -> None:
    """Two squares compare in area as the inverse variances of their logarithms do."""
    figure = read("forest", key)
    areas = []
    for one in comparisons(shipped(), key):
        for row in one.rows:
            if row.ratio.weight is not None:
                low, high = (
                    figure.runs(f"plot-row-{row.number}")[0].min(axis=0),
                    figure.runs(f"plot-row-{row.number}")[0].max(axis=0),
                )
                areas.append(float(np.prod(high - low)) / row.ratio.weight)
    assert all(one == pytest.approx(other, rel=2e-3) for one, other in pairwise(areas))


@pytest.mark.parametrize("key", FOREST)
def test_a_row_prints_its_ratio_and_counts(key: str) -> None:
    """Beside each mark stand the ratio with its interval, and the counts of the two arms."""
    figure = read("forest", key)
    for one in comparisons(shipped(), key):
        for row in one.rows:
            said = " ".join(texts(figure, f"row-{row.number}-"))
            ratio = figure.text_of(f"row-{row.number}-ratio").rstrip("*†")
            printed = set(ratio.strip(")").replace("(", "").split())
            for value in (row.ratio.value, row.ratio.low, row.ratio.high):
                assert {f"{value:.{places}f}" for places in (1, 2, 3)} & printed
            for arm in row.result.row.arms:
                assert f"{arm.events}/{arm.of}" in said


def test_what_is_compared_is_kept_apart() -> None:
    """Under a heading all rows compare the same two, and no pair has two headings."""
    for key in FOREST:
        seen = set()
        for one in comparisons(shipped(), key):
            assert all(set(row.result.compared or ()) == set(one.pair) for row in one.rows)
            assert frozenset(one.pair) not in seen
            seen.add(frozenset(one.pair))


def test_a_printed_ratio_is_drawn_or_turned_round() -> None:
    """A ratio that a source prints is drawn as it is, or inverted with a mark that says so."""
    turned = 0
    for key in FOREST:
        figure = read("forest", key)
        for one in comparisons(shipped(), key):
            for row in one.rows:
                estimate = row.result.row.estimate
                if estimate is None:
                    continue
                same = row.result.compared == one.pair
                drawn = (row.ratio.value, row.ratio.low, row.ratio.high)
                if same:
                    assert drawn == (estimate.value, estimate.low, estimate.high)
                else:
                    assert estimate.high is not None
                    assert estimate.low is not None
                    inverse = (1 / estimate.value, 1 / estimate.high, 1 / estimate.low)
                    assert drawn == pytest.approx(inverse)
                    turned += 1
                assert figure.text_of(f"row-{row.number}-ratio").endswith("*") != same
    assert turned > 0


def test_relative_risk_of_a_published_trial() -> None:
    """4 of 176 against 20 of 176 is 0.20 (0.07 to 0.57), as kendirci-2016 was worked out."""
    rows = [row for one in comparisons(shipped(), "recurrence") for row in one.rows]
    row = next(row for row in rows if row.result.name == "kendirci-2016.recurrence")
    drawn = (row.ratio.value, row.ratio.low, row.ratio.high)
    assert drawn == pytest.approx((0.20, 0.07, 0.57), abs=0.005)


def test_followed_proportions_lie_where_the_axes_say() -> None:
    """Percent is exact to 0.1 % of the axis; months too where a mark has room, else it stands
    aside, in the order of the table.
    """
    figure = read("follow-up")
    shown = followed(shipped())
    assert len(shown) > 10
    places = []
    for index, one in enumerate(shown, 1):
        gid = f"plot-mark-{index}"
        low = figure.plan_path(gid)[:, 1].min()
        high = figure.plan_path(gid)[:, 1].max()
        assert low <= one.share.percent <= high
        if f"{gid}-interval" in figure.paths:
            ends = figure.plan_path(f"{gid}-interval")[:, 1]
            assert sorted(ends) == pytest.approx([one.share.low, one.share.high], abs=0.09)
        if f"{gid}-times" in figure.paths:
            months = 10 ** figure.plan_path(f"{gid}-times")[:, 0]
            assert sorted(months) == pytest.approx([one.first, one.last], rel=1e-3)
        places.append(centre(figure, gid)[0])
    assert all(other > one for one, other in pairwise(places))
    alone = [
        index
        for index, place in enumerate(places)
        if all(abs(place - other) > 2.7 for other in places if other != place)
    ]
    for index in alone:
        month = 10 ** np.mean(figure.plan_path(f"plot-mark-{index + 1}")[:, 0])
        assert month == pytest.approx(shown[index].middle, rel=0.02)
    assert alone


def test_the_table_has_every_proportion_with_its_time() -> None:
    """Row by row the table gives follow-up, percentage and interval."""
    figure = read("follow-up")
    for index, one in enumerate(followed(shipped()), 1):
        said = " ".join(texts(figure, f"table-{index}-"))
        assert one.result.follow_up.split()[-1] in said
        assert f"{one.share.percent:.1f}".removesuffix(".0") in said


@pytest.mark.parametrize("key", CHARTS["icons"].keys(shipped()))
def test_icons_are_a_hundred_persons(key: str) -> None:
    """Each group has 100 persons, so many of them marked as the percentage rounds to."""
    figure = read("icons", key)
    row = next(
        row
        for evidence in shipped().evidence
        for row in evidence.rows
        if f"{evidence.evidence}.{row.row}" == key
    )
    expected = [100 * arm.events / arm.of for arm in row.arms]
    if row.rate is not None:
        expected = [row.rate.percent]
    for index, percent in enumerate(expected, 1):
        affected, others = (
            len(figure.runs(f"arm-{index}-{kind}")) if f"arm-{index}-{kind}" in figure.paths else 0
            for kind in ("affected", "others")
        )
        assert affected + others == 100
        assert abs(affected - percent) <= 0.5
        assert any(word in " ".join(texts(figure, f"arm-{index}-foot")) for word in ("interval",))


def test_bars_span_the_window_of_their_complication() -> None:
    """By the named times of the axis, each bar begins and ends with its window; a window that goes
    on beyond ends in a point.
    """
    figure = read("timeline")
    shown = bars(shipped())
    assert len(shown) == len(shipped().complications) > 5
    for bar in shown:
        days = 10 ** figure.plan_path(f"plot-{bar.gid}")[:, 0]
        upright = sorted(set(np.round(days, 6)))
        if bar.first >= 1 / 24 and bar.last is not None:
            assert days.min() == pytest.approx(bar.first, rel=1e-3)
            assert days.max() == pytest.approx(bar.last, rel=1e-3)
        elif bar.last is not None:
            assert days.max() == pytest.approx(bar.last, rel=1e-3)
            assert days.min() < 1 / 24
        else:
            assert days.min() == pytest.approx(bar.first, rel=1e-3)
            assert days.max() > 5 * 365
        assert len(upright) >= 2
    assert [one.first for one in shown] == sorted(one.first for one in shown)


def test_only_what_a_source_pooled_is_a_diamond() -> None:
    """A single study has a square with its interval, also where it prints only a ratio; what was
    pooled has neither weight nor square.
    """
    forms = set()
    for key in FOREST:
        figure = read("forest", key)
        for one in comparisons(shipped(), key):
            for row in one.rows:
                pooled = row.result.evidence.design.startswith("pooled")
                square = figure.has(f"plot-row-{row.number}-interval")
                assert square != pooled
                forms.add((pooled, bool(row.result.row.arms)))
    assert len(forms) == 4


def test_rows_of_one_publication_are_told_apart() -> None:
    """Under a heading no two rows read alike."""
    for key in FOREST:
        figure = read("forest", key)
        for one in comparisons(shipped(), key):
            said = [
                (row.result.evidence.evidence, *texts(figure, f"row-{row.number}-study"))
                for row in one.rows
            ]
            assert len(set(said)) == len(said)
