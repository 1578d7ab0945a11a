"""Published results in words, as chapters name them: never without their time, interval and source.

{{ fact:kendirci-2016.recurrence }}         in full, with its citation
{{ fact:kendirci-2016.recurrence.short }}   without what is compared, with its citation
"""

from __future__ import annotations

from typing import Final

from offmidline import messages
from offmidline.evidence import relative_risk, wilson
from offmidline.records import EvidenceRow, Library
from offmidline.records.evidence import RATIOS, TIMED, Arm, Estimate, Finding, Rate
from offmidline.site.template import unknown

_SHORT: Final = "short"
_BOTH: Final = 2


def fact(library: Library, name: str) -> str:
    """A row of the evidence in words, its citation still named. Raises UnknownNameError."""
    way, _, form = name.partition(f".{_SHORT}")
    rows = {
        f"{evidence.evidence}.{row.row}": (evidence.source, row)
        for evidence in library.evidence.values()
        for row in evidence.rows
    }
    if way not in rows or form:
        raise unknown(name, rows)
    source, row = rows[way]
    words = ", ".join(filter(None, (_result(row, short=way != name), time_words(row))))
    status = "" if row.status is None else f":{row.status}"
    return f"{words} {{{{ source:{source}{status} }}}}"


def time_words(row: EvidenceRow) -> str:
    """The follow-up time; that none was stated only where the result means nothing without."""
    if row.follow_up is not None:
        return _say("time", time=row.follow_up_text)
    return _say("no_time") if row.outcome in TIMED else ""


def _result(row: EvidenceRow, *, short: bool) -> str:
    if row.arms:
        return _arms(row.arms, short=short)
    if row.rate is not None:
        return _rate(row.rate)
    if row.estimate is not None:
        return _estimate(row.estimate, short=short)
    return _finding(row.finding) if row.finding is not None else ""


def _arms(arms: tuple[Arm, ...], *, short: bool) -> str:
    if len(arms) < _BOTH:
        share = wilson(arms[0].events, arms[0].of)
        return _say(
            "share",
            events=arms[0].events,
            of=arms[0].of,
            percent=_one(100 * share.value),
            interval=_interval(_one(100 * share.low), _one(100 * share.high)),
        )
    one, other = (
        _say(
            "arm_short" if short else "arm",
            events=arm.events,
            of=arm.of,
            who=operation(arm.operation),
        )
        for arm in arms
    )
    if arms[0].events == arms[1].events == 0:
        return _say("none_in_either", one=one, other=other)
    ratio = relative_risk(arms[0].events, arms[0].of, arms[1].events, arms[1].of)
    key = "compared_corrected" if ratio.corrected else "compared"
    return _say(
        key,
        one=one,
        other=other,
        value=_two(ratio.value),
        interval=_interval(_two(ratio.low), _two(ratio.high)),
    )


def _rate(rate: Rate) -> str:
    words = f"{_one(rate.percent)} %"
    if rate.limit is not None:
        words = _say("limit", limit=rate.limit, value=words)
    if rate.low is not None and rate.high is not None:
        words += f" ({_interval(_one(rate.low), _one(rate.high))})"
    return words if rate.of is None else _say("of", value=words, of=rate.of)


def _estimate(estimate: Estimate, *, short: bool) -> str:
    # Ratios are printed with two decimals, differences and percentages with one.
    number = _two if estimate.measure in RATIOS else _one
    words = f"{estimate.measure} {number(estimate.value)}"
    if estimate.unit is not None:
        words += f" {estimate.unit}"
    if estimate.low is not None and estimate.high is not None:
        words += f" ({_interval(number(estimate.low), number(estimate.high))})"
    if short:
        return words
    one, other = map(operation, estimate.between)
    return _say("between", value=words, one=one, other=other)


def _finding(finding: Finding) -> str:
    one, other = map(operation, finding.between)
    return _say(f"finding.{finding.compared.replace(' ', '_')}", one=one, other=other)


def operation(name: str) -> str:
    """What was done, or who was compared, in words."""
    return messages.text(f"site.operations.{name}")


def _interval(low: str, high: str) -> str:
    return _say("interval", low=low, high=high)


def _one(value: float) -> str:
    """A number with one decimal, or none where that is zero."""
    return f"{value:.1f}".removesuffix(".0").replace("-", "−")


def _two(value: float) -> str:
    return f"{value:.2f}"


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.facts.{name}", **values)
