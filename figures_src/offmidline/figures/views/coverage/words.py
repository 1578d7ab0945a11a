"""What a caudal shift costs in covered midline, and its words: two markings compared."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from offmidline.figures.scene.marking_dimensions import LEAST
from offmidline.figures.view import shown
from offmidline.figures.words import Words, isolated, number, say
from offmidline.plan import CasePlan, PitMeasure, Plan
from offmidline.rules import Requirement
from offmidline.variants import without_and_with_shift

Levels = tuple[float, float]
PitFate = Literal["kept", "short", "left"]


@dataclass(frozen=True)
class Compared:
    """A marking laid out without a caudal shift, the same with it, and the one that is fitted with
    it, where that is another one.
    """

    straight: Plan
    shifted: Plan
    fitted: Plan | None

    @property
    def lost(self) -> Levels | None:
        """The levels between which the shift uncovers the midline, if there is such a stretch."""
        change = self.change
        return change if change is not None and change[0] < change[1] else None

    @property
    def change(self) -> Levels | None:
        """From where to where the shift moves the lower end of what is covered, if it does."""
        before, after = self.straight.midline_covered, self.shifted.midline_covered
        if before is None or after is None or abs(after[0] - before[0]) < LEAST:
            return None
        return before[0], after[0]


def compared(planned: CasePlan) -> Compared | None:
    """What is to be compared; None where there is no shift, or no marking without it."""
    plan = shown(planned)
    if abs(plan.outline.caudal_shift) < LEAST:
        return None
    both = without_and_with_shift(planned)
    if both is None:
        return None
    return Compared(*both, None if plan.outline == both[1].outline else plan)


def covered_length(plan: Plan) -> float:
    """How much of the midline an outline takes, mm."""
    low, high = plan.midline_covered or (0.0, 0.0)
    return high - low


def pit_kept(plan: Plan, pit: PitMeasure) -> PitFate:
    """Whether a pit keeps the margin that is asked, keeps too little of it, or is left behind."""
    if not pit.excised:
        return "left"
    asked = Requirement("at least", plan.technique.settings.pit_margin)
    return "kept" if asked.met_by(pit.margin) else "short"


def coverage_words(planned: CasePlan) -> Words:
    """Title, description and caption of the coverage."""
    plan, both = shown(planned), compared(planned)
    return Words(
        title=say("coverage.title", case=isolated(planned.case.title)),
        description=say(
            "coverage.description",
            side=say(plan.marking.side),
            pictures=say("coverage.description_one", outline=_described(plan))
            if both is None
            else _described_both(both),
            margin=number(plan.technique.settings.pit_margin),
        ),
        caption=_caption(plan) if both is None else _caption_both(both),
    )


def _caption(plan: Plan) -> str:
    pits = _pits_in_short(plan)
    if plan.midline_covered is None:
        return say("coverage.caption_one_none", pits=pits)
    low, high = map(number, plan.midline_covered)
    return say("coverage.caption_one", low=low, high=high, pits=pits)


def _caption_both(both: Compared) -> str:
    values = {
        "pits": _pits_in_short(both.shifted),
        "shift": number(both.shifted.outline.caudal_shift),
    }
    before, after = both.straight.midline_covered, both.shifted.midline_covered
    if before is None or after is None:
        return say("coverage.caption_both_none", **values)
    low, high = map(number, before)
    low_with, high_with = map(number, after)
    return say(
        "coverage.caption_both",
        low=low,
        high=high,
        low_with=low_with,
        high_with=high_with,
        **values,
    )


def _pits_in_short(plan: Plan) -> str:
    """What becomes of the pits, the worst first."""
    fates = [pit_kept(plan, pit) for pit in plan.pits]
    worst: tuple[PitFate, ...] = ("left", "short")
    told = [_told(fate, fates.count(fate), len(fates)) for fate in worst if fate in fates]
    return " and ".join(told) or say("coverage.pits_kept")


def _told(fate: PitFate, count: int, pits: int) -> str:
    """How many of the pits share what becomes of them."""
    number_of = "" if count > 1 else "_only" if pits == 1 else "_one"
    return say(f"coverage.pits_{fate}{number_of}", count=count, all=pits)


def _described_both(both: Compared) -> str:
    """Both pictures in words, and what the shift costs."""
    shift, fitted = number(both.shifted.outline.caudal_shift), both.fitted
    sentences = [
        say("coverage.description_without", outline=_described(both.straight)),
        say("coverage.description_with", shift=shift, outline=_described(both.shifted)),
        _cost(both.change),
    ]
    if fitted is not None:
        length, width = number(fitted.outline.length), number(fitted.outline.width)
        sentences.append(say("coverage.described_fitted", length=length, width=width))
    return " ".join(sentences)


def _cost(change: Levels | None) -> str:
    if change is None:
        return say("coverage.cost_nothing")
    key = "coverage.cost_uncovered" if change[0] < change[1] else "coverage.cost_covered"
    return say(key, before=number(change[0]), after=number(change[1]))


def _described(plan: Plan) -> str:
    """An outline in words: its size, what it covers, and every pit's margin."""
    if plan.midline_covered is None:
        covered = say("coverage.described_none")
    else:
        low, high = map(number, plan.midline_covered)
        value = number(covered_length(plan))
        covered = say("coverage.described_covered", low=low, high=high, value=value)
    return say(
        "coverage.described",
        length=number(plan.outline.length),
        width=number(plan.outline.width),
        covered=covered,
        pits=" ".join(
            say(
                f"coverage.described_{pit_kept(plan, pit)}",
                at=number(pit.at),
                margin=number(pit.margin),
            )
            for pit in plan.pits
        ),
    )
