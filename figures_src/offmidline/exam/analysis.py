"""Everything that the answers to a paper say, as one object."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from offmidline.exam.families import Family, families
from offmidline.exam.flags import flags, sample
from offmidline.exam.form import Form
from offmidline.exam.item_statistics import ItemStatistic, item_statistics
from offmidline.exam.marks import Marks, marks_of
from offmidline.exam.misunderstood import Misunderstanding, by_model, misunderstandings
from offmidline.exam.reliability import (
    Interval,
    alpha_interval,
    error_of_measurement,
    kr20,
    kr21,
    times_as_long,
)
from offmidline.exam.responses import Sheet
from offmidline.exam.timing import Times, times

# A reliability to which a paper's length is related; common practice, no source.
WANTED = 0.80


@dataclass(frozen=True)
class Reliability:
    """How dependable the totals of a group are; None where a measure does not exist.

    Attributes:
        error: standard error of measurement, in marks, with alpha.
        times: how many times as long the paper must be for a reliability of 0.80.
    """

    alpha: Interval | None
    kr20: float | None
    kr21: float | None
    error: float | None
    times: float | None


@dataclass(frozen=True)
class Group:
    """A group of forms that ask the same questions.

    Attributes:
        deviation: of the totals, ddof 1; None with one candidate.
        sample: whether the candidates are few, some or enough.
    """

    marks: Marks
    mean: float
    deviation: float | None
    reliability: Reliability
    items: tuple[ItemStatistic, ...]
    times: Times | None

    @property
    def people(self) -> int:
        """Candidates."""
        return len(self.marks.candidates)

    @property
    def sample(self) -> str:
        """Whether the candidates are few, some or enough."""
        return sample(self.people)

    @property
    def flagged(self) -> tuple[tuple[ItemStatistic, tuple[str, ...]], ...]:
        """The questions that raise flags, and which."""
        raised = [(one, flags(one)) for one in self.items]
        return tuple((one, names) for one, names in raised if names)


@dataclass(frozen=True)
class Analysis:
    """What the answers to a paper say.

    Attributes:
        specimen: whether the keys are those of a specimen, and of no real paper.
    """

    paper: str
    title: str
    specimen: bool
    groups: tuple[Group, ...]
    families: tuple[Family, ...]
    mistakes: tuple[Misunderstanding, ...]
    mistakes_by_model: tuple[Misunderstanding, ...]


def analyse(sheets: Sequence[Sheet], forms: Mapping[str, Form]) -> Analysis:
    """The statistics of a paper from the answers to its forms, of which there is one at least."""
    found = marks_of(sheets, forms)
    groups = tuple(map(_group, found))
    first = next(iter(forms.values()))
    return Analysis(
        first.paper,
        first.title,
        first.specimen,
        groups,
        families(group.items for group in groups),
        misunderstandings(found),
        by_model(found),
    )


def _group(marks: Marks) -> Group:
    totals = marks.totals
    deviation = float(totals.std(ddof=1)) if len(totals) > 1 else None
    return Group(
        marks,
        float(np.mean(totals)),
        deviation,
        _reliability(marks, deviation),
        item_statistics(marks),
        times(marks),
    )


def _reliability(marks: Marks, deviation: float | None) -> Reliability:
    alpha = alpha_interval(marks.right)
    return Reliability(
        alpha,
        kr20(marks.right),
        kr21(marks.right),
        None
        if alpha is None or deviation is None
        else error_of_measurement(deviation, alpha.value),
        None if alpha is None else times_as_long(alpha.value, WANTED),
    )
