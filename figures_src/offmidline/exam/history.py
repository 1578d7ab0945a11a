"""How the items of each model did at the sittings that a paper's record notes."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from offmidline.evidence import Proportion, wilson
from offmidline.records import Paper
from offmidline.records.paper import Sitting


@dataclass(frozen=True)
class History:
    """The sittings of one item model, in the order of the record; one at least."""

    model: str
    sittings: tuple[Sitting, ...]

    @property
    def candidates(self) -> int:
        """Candidates of all sittings."""
        return sum(one.candidates for one in self.sittings)

    @property
    def right(self) -> int:
        """Right answers at all sittings."""
        return sum(one.right for one in self.sittings)

    @property
    def pooled(self) -> Proportion:
        """Share of right answers over all sittings, as if they had been one, with the interval of
        Wilson.
        """
        return wilson(self.right, self.candidates)


def histories(paper: Paper) -> tuple[History, ...]:
    """The history of every model that a paper knows, in the order of their first sittings."""
    found: dict[str, list[Sitting]] = defaultdict(list)
    for sitting in paper.history:
        found[sitting.model].append(sitting)
    return tuple(History(model, tuple(sittings)) for model, sittings in found.items())
