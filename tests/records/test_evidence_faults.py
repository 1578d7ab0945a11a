"""What is wrong with a file of evidence, and where; and what the shipped files hold."""

from __future__ import annotations

from math import sqrt

import pytest

from offmidline.records import FaultsError, load_library
from offmidline.records.checker import check_paths
from offmidline.records.evidence import TIMED

from .conftest import SHIPPED

EVIDENCE = """\
evidence: tile-2020
source: kendirci-2016
design: randomised trial
subject: 352 patients
rows:
  - row: counted
    outcome: recurrence
    follow_up: 2 years
    follow_up_to: 5 years
    arms:
      - {operation: this-operation, events: 4, of: 176}
      - {operation: midline-closure, events: 20, of: 176}
  - row: printed
    outcome: infection
    follow_up: 12 months
    follow_up_is: mean
    rate: {operation: rhomboid, percent: 5.5, low: 2.5, high: 9, of: 120, limit: up to}
  - row: ratio
    outcome: fluid
    estimate: {measure: odds ratio, value: 2.1, low: 1.2, high: 3.5, between: [flaps, open]}
  - row: difference
    outcome: healing-time
    estimate: {measure: mean difference, unit: days, value: -5.4, between: [off-midline, open]}
  - row: direction
    outcome: infection
    follow_up: not stated
    finding: {compared: lower, between: [flaps, direct-closure]}
"""


@pytest.fixture
def faults(folder):
    """Write a file of evidence; gives its faults as ``line:column: text``."""
    path = folder / "evidence" / "tile-2020.yml"
    path.parent.mkdir()

    def check(text: str) -> list[str]:
        path.write_text(text, encoding="utf-8")
        return [str(fault).removeprefix(f"{path}:") for fault in check_paths([path], folder)]

    return check


def test_evidence_with_every_key_has_no_fault(faults):
    """The file that the other tests spoil."""
    assert faults(EVIDENCE) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("evidence: tile-2020", "evidence: tile", "1:11: evidence: the id tile is not the file"),
        ("kendirci-2016", "kendirci-2061", "2:9: source: there is no kendirci-2061 in sources.yml"),
        ("randomised trial", "randomized trial", "3:9: design: randomized trial is not one of"),
        ("row: printed", "row: counted", "13:10: row: counted is given twice"),
        ("outcome: recurrence", "outcome: recurence", "did you mean recurrence?"),
        ("    follow_up: 2 years\n    follow_up_to: 5 years\n", "", "6:5: a recurrence is nothing"),
        ("follow_up: 2 years", "follow_up: 2", "8:16: follow_up: 2 is no time of follow-up"),
        ("follow_up: 2 years", "follow_up: 200 years", "8:16: follow_up: 200 years is out of"),
        ("follow_up: 2 years", "follow_up: not stated", "9:19: follow_up_to: there is no time"),
        ("follow_up_to: 5 years", "follow_up_to: 20 months", "9:19: follow_up_to: the follow-up"),
        ("    follow_up: 12 months\n", "", "15:19: follow_up_is: there is no time"),
        ("events: 20, of: 176", "events: 177, of: 176", "12:46: events: there are more than"),
        ("events: 20, of: 176", "events: 20.5, of: 176", "12:46: events: 20.5 is not a whole"),
        ("midline-closure", "midline-closre", "12:21: there are no words for midline-closre"),
        ("{operation: rhomboid", "{operation: rombhoid", "did you mean rhomboid?"),
        ("[off-midline, open]", "[off-midline, opn]", "23:90: there are no words for opn"),
        ("[off-midline, open]", "[off-midline]", "between"),
        ("percent: 5.5", "percent: 55", "17:42: the value lies outside its own interval"),
        ("percent: 5.5", "percent: 105", "17:42: percent: 105 is out of range"),
        (", low: 2.5", "", "17:11: an interval has two ends"),
        ("value: 2.1, low: 1.2", "value: 2.1, low: 0", "low: a ratio is more than 0"),
        ("unit: days, ", "", "23:25: measure: a ratio has no unit and a difference has one"),
        ("odds ratio,", "odds ratio, unit: days,", "20:25: measure: a ratio has no unit"),
        ("    arms:", "    rate: {operation: open, percent: 1}\n    arms:", "6:5: a row holds one"),
        ("    finding: {compared: lower, between: [flaps, direct-closure]}\n", "", "one result"),
        ("subject:", "subjct:", "4:1: the key subjct is not known: did you mean subject?"),
    ],
)
def test_a_fault_of_evidence_is_found_where_it_is(faults, old, new, fault):
    """One slip, its place, and what would be right."""
    assert old in EVIDENCE
    found = faults(EVIDENCE.replace(old, new, 1))
    assert any(fault in said for said in found), found


def test_all_faults_of_a_file_are_found_in_one_run(faults):
    """Three slips in three rows, in their order."""
    text = EVIDENCE.replace("events: 4,", "events: 400,")
    text = text.replace("percent: 5.5", "percent: 55").replace("value: 2.1", "value: 21")
    assert [said.partition(":")[0] for said in faults(text)] == ["11", "17", "20"]


def test_a_library_with_a_fault_in_the_evidence_is_refused(folder, faults):
    """A site is not built on it."""
    assert faults(EVIDENCE.replace("events: 4,", "events: 400,"))
    with pytest.raises(FaultsError, match="there are more than patients"):
        load_library(folder, ())


def test_a_library_without_evidence_is_empty_of_it(folder):
    """A small project needs no such folder."""
    assert load_library(folder, ()).evidence == {}


def test_the_shipped_evidence_is_complete():
    """Of every publication something is used, and what was compared was different."""
    evidence = load_library(SHIPPED, ()).evidence
    assert len(evidence) > 50
    for record in evidence.values():
        for row in record.rows:
            between = [arm.operation for arm in row.arms]
            compared = row.estimate or row.finding
            between += [] if compared is None else compared.between
            assert len(set(between)) == len(between), (record.evidence, row.row)
            assert row.outcome not in TIMED or row.follow_up_as_read, (record.evidence, row.row)


# What the sources are known to have printed wrongly, or could not be read with certainty.
LEFT_OUT = {
    "menoufia-2018": None,
    "bali-2015": None,
    "sozen-2016": None,
    "tavassoli-2011": None,
    "emile-2021": {"operating-time", "normal-activity"},
}


def test_what_must_not_be_printed_is_not_there():
    """Values that contradict themselves, or belong to another operation, are in no file; of the
    pooled recurrence by time only the months that were read [stauffer-2018].
    """
    evidence = load_library(SHIPPED, ()).evidence
    for name, outcomes in LEFT_OUT.items():
        assert (name in evidence) == (outcomes is not None)
        rows = evidence[name].rows if outcomes is not None else ()
        assert not {row.outcome for row in rows} & (outcomes or set())
    assert {row.follow_up for row in evidence["stauffer-2018"].rows} == {12, 24, 240}
    percents = [row.rate.percent for e in evidence.values() for row in e.rows if row.rate]
    assert 0.08 not in percents
    assert 6.25 not in percents


def test_printed_estimates_hang_together():
    """A printed ratio is the middle of its printed interval on the log scale, as far as its two
    decimals tell; a printed difference is the plain middle of its own.
    """
    checked = 0
    for record in load_library(SHIPPED, ()).evidence.values():
        for row in record.rows:
            found = row.estimate
            if found is None or found.low is None or found.high is None:
                continue
            if found.unit is None:
                low, high = found.low - 0.005, found.high - 0.005
                ends = [sqrt(max(low, 0) * high), sqrt((found.low + 0.005) * (found.high + 0.005))]
                slack = 0.005
            else:
                middle = (found.low + found.high) / 2
                ends, slack = [middle - 0.05, middle + 0.05], 0.05
            checked += 1
            assert ends[0] - slack <= found.value <= ends[1] + slack, (record.evidence, row.row)
    assert checked > 20
