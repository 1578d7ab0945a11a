"""Questions by family: the item model and the case that forms ask with different numbers.

Variants of a family are alike in what they ask, not proved equal in difficulty [westacott-2023]:
what they have in common and how far they differ is told together.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from offmidline.evidence import Proportion, wilson
from offmidline.exam.item_statistics import ItemStatistic

# A difference of difficulty between variants that deserves a look. [westacott-2023]
DIFFERS_ABOVE: Final = 0.15


@dataclass(frozen=True)
class Family:
    """The variants of one family.

    Attributes:
        questions: where they stand: form and number.
        answers, right: of the candidates, each of whom had one variant.
        difficulty: share of right answers, with the interval of Wilson.
        spread: the easiest variant's difficulty less the hardest's; None where there is one.
        corrected, discrimination: means over the variants that have them; None where none has.
    """

    model: str
    case: str
    topic: str
    questions: tuple[str, ...]
    answers: int
    right: int
    difficulty: Proportion
    spread: float | None
    corrected: float | None
    discrimination: float | None

    @property
    def differs(self) -> bool:
        """Whether its variants differ in difficulty by more than 0.15."""
        return self.spread is not None and self.spread > DIFFERS_ABOVE


def families(groups: Iterable[Sequence[ItemStatistic]]) -> tuple[Family, ...]:
    """Every family of the questions of some groups of forms, the hardest first."""
    found: dict[tuple[str, str], list[ItemStatistic]] = defaultdict(list)
    for group in groups:
        for one in group:
            found[one.asked.item.model, one.asked.item.case].append(one)
    made = map(_family, found.values())
    return tuple(sorted(made, key=lambda one: (one.difficulty.value, one.model, one.case)))


def _family(variants: Sequence[ItemStatistic]) -> Family:
    item = variants[0].asked.item
    shares = [one.difficulty.value for one in variants]
    answers = sum(one.people for one in variants)
    right = sum(one.right for one in variants)
    return Family(
        item.model,
        item.case,
        item.topic,
        tuple(place for one in variants for place in one.asked.named),
        answers,
        right,
        wilson(right, answers),
        max(shares) - min(shares) if len(shares) > 1 else None,
        _mean(one.corrected.value if one.corrected else None for one in variants),
        _mean(one.discrimination for one in variants),
    )


def _mean(values: Iterable[float | None]) -> float | None:
    """The mean of what is known; None where nothing is."""
    known = [value for value in values if value is not None]
    return sum(known) / len(known) if known else None
