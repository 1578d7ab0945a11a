"""Published results in words: counts, interval, follow-up and source, from the evidence alone."""

from __future__ import annotations

import re

import pytest
from tests.generated import SCENARIOS

from offmidline.evidence import relative_risk, wilson
from offmidline.records import AUDIENCES, load_library
from offmidline.records.evidence import TIMED
from offmidline.site.facts import fact, operation
from offmidline.site.template import UnknownNameError


@pytest.fixture(scope="module")
def library():
    """The shipped records."""
    return load_library(SCENARIOS, AUDIENCES)


def rows(library):
    """Every row of the evidence with its name."""
    return [
        (f"{evidence.evidence}.{row.row}", row)
        for evidence in library.evidence.values()
        for row in evidence.rows
    ]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (
            "kendirci-2016.recurrence",
            (
                "4 of 176 (this operation) against 20 of 176 (midline closure), relative risk 0.20 "
                "(95 % interval 0.07 to 0.57), follow-up not stated where it was read "
                "{{ source:kendirci-2016 }}"
            ),
        ),
        (
            "kendirci-2016.recurrence.short",
            (
                "4 of 176 against 20 of 176, relative risk 0.20 (95 % interval 0.07 to 0.57), "
                "follow-up not stated where it was read {{ source:kendirci-2016 }}"
            ),
        ),
        (
            "recurrent-kf-92.recurrence",
            (
                "1 of 92 (1.1 %, 95 % interval 0.2 to 5.9), follow-up mean 39.7 months "
                "{{ source:recurrent-kf-92 }}"
            ),
        ),
        (
            "original-series.recurrence",
            "under 1 %, follow-up 2 years to 20 years {{ source:karydakis-1992:memory }}",
        ),
        (
            "emile-2021.infection",
            (
                "odds ratio 1.87 (95 % interval 1.15 to 3.04), this operation against "
                "rhomboid flap {{ source:emile-2021 }}"
            ),
        ),
        (
            "brown-2024.complications-minimal.short",
            (
                "risk difference −17.5 percentage points (95 % interval −25.9 to −9.1), "
                "follow-up 6 months {{ source:brown-2024 }}"
            ),
        ),
        (
            "tokac-2015.infection",
            (
                "no difference between this operation and modified rhomboid flap "
                "{{ source:tokac-2015 }}"
            ),
        ),
    ],
)
def test_a_fact_in_words(library, name, words):
    """Each form of result, in full and short."""
    assert fact(library, name) == words


def test_every_row_can_be_told(library):
    """Each has words for whom it compares, ends with its source, and says how it is known."""
    for name, row in rows(library):
        told = fact(library, name)
        assert re.search(r" \{\{ source:[a-z0-9.-]+(:[a-z-]+)? \}\}$", told), name
        assert (row.status or "") in told, name
        assert fact(library, f"{name}.short").endswith(told.rpartition(" {{")[2]), name
        compared = row.estimate or row.finding
        for one in () if compared is None else compared.between:
            assert operation(one) in told, name


def test_no_recurrence_is_told_without_its_time(library):
    """In both forms: the time with its unit, or that none was stated."""
    timed = [name for name, row in rows(library) if row.outcome in TIMED]
    assert len(timed) > 30
    for name in timed:
        for form in ("", ".short"):
            told = fact(library, name + form)
            assert re.search(r"follow-up (not stated|.*\d (weeks|months|years?))", told), name


def test_told_numbers_are_the_computed_ones(library):
    """Every interval beside counts is that of the counts, to the decimals shown."""
    seen = 0
    for name, row in rows(library):
        if not row.arms:
            continue
        counts = [number for arm in row.arms for number in (arm.events, arm.of)]
        if len(row.arms) == 1:
            share = wilson(*counts)
            low, high, scale, decimals = share.low, share.high, 100, 1
        else:
            ratio = relative_risk(*counts)
            low, high, scale, decimals = ratio.low, ratio.high, 1, 2
        told = re.search(r"interval ([\d.]+) to ([\d.]+)", fact(library, name))
        assert told is not None, name
        assert [float(end) for end in told.groups()] == pytest.approx(
            [scale * low, scale * high], abs=0.51 * 10**-decimals
        ), name
        seen += 1
    assert seen > 30


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("kendirci-2016.recurence", "kendirci-2016.recurrence"),
        ("kendirchi-2016.recurrence.short", "kendirci-2016.recurrence"),
        ("kendirci-2016.recurrence.shorter", "kendirci-2016.recurrence"),
    ],
)
def test_an_unknown_fact_is_named_with_the_nearest(library, name, near):
    """Whoever writes a chapter learns which row may have been meant."""
    with pytest.raises(UnknownNameError, match=f"did you mean {near}"):
        fact(library, name)
