"""What a view is: the pictures that it makes of a plan, and their words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from offmidline import messages
from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.room import with_room
from offmidline.figures.words import Words, say
from offmidline.plan import CasePlan, Plan

# The name of the only picture of a view that has one.
WHOLE: Final = ""

Needs = Literal["findings", "marking", "right marking"]


class NoMarkingError(LookupError):
    """A view needs a marking, and no marking satisfies the technique."""


class UnknownPartError(KeyError):
    """A view has no picture of that name for the case."""


@dataclass(frozen=True)
class View:
    """A way to look at a plan, in one picture or in several.

    Attributes:
        name: by which it is asked for.
        pictures: the names of its pictures for a plan, in order; ``(WHOLE,)`` where there is one.
        describe, paint: the words and the drawing of a picture, given its name.
        reads: what it is drawn from, as dotted keys of a ``case:`` or of a ``technique:``.
        needs: what of a plan it cannot do without.
        entitle: what a picture is called, given its name; where None, its ``parts`` in the
            messages tell.
        listed: whether a gallery shows it; what asks a question stands where it is asked.
    """

    name: str
    pictures: Callable[[CasePlan], tuple[str, ...]]
    describe: Callable[[CasePlan, str], Words]
    paint: Callable[[CasePlan, str], Drawing]
    reads: tuple[str, ...]
    needs: Needs = "marking"
    entitle: Callable[[str], str] | None = None
    listed: bool = True

    @property
    def title(self) -> str:
        """What the view is called on a page."""
        return say(f"{self.name}.name")

    @property
    def summary(self) -> str:
        """What the view shows, in one line."""
        return say(f"{self.name}.summary")

    def part_title(self, part: str) -> str:
        """What one of its pictures is called, beside the others."""
        if part == WHOLE:
            return self.title
        return say(f"{self.name}.parts.{part}") if self.entitle is None else self.entitle(part)

    def parts(self, planned: CasePlan) -> tuple[str, ...]:
        """The names of the pictures of a plan; raises NoMarkingError where it has none."""
        if self.needs != "findings":
            shown(planned)
        if self.needs == "right marking":
            right(planned)
        return self.pictures(planned)

    def words(self, planned: CasePlan, part: str = WHOLE) -> Words:
        """Title, description and caption of a picture.

        Raises:
            NoMarkingError: where the plan lacks what the view needs.
            UnknownPartError: where the view has no such picture for the plan.
        """
        self._check(planned, part)
        return self.describe(planned, part)

    def draw(self, planned: CasePlan, part: str = WHOLE) -> Drawing:
        """A picture as a drawing; raises as ``words`` does."""
        self._check(planned, part)
        return with_room(lambda: self.paint(planned, part))

    def _check(self, planned: CasePlan, part: str) -> None:
        known = self.parts(planned)
        if part not in known:
            names = messages.either(known) if known else say("faults.no_parts")
            raise UnknownPartError(
                say("faults.unknown_part", part=part, view=self.name, known=names)
            )


def single(
    name: str,
    describe: Callable[[CasePlan], Words],
    paint: Callable[[CasePlan], Drawing],
    reads: tuple[str, ...],
    needs: Needs = "marking",
) -> View:
    """A view that makes one picture of a plan."""
    return View(
        name,
        lambda _: (WHOLE,),
        lambda planned, _: describe(planned),
        lambda planned, _: paint(planned),
        reads,
        needs,
    )


def shown(planned: CasePlan) -> Plan:
    """The plan that a view shows; raises NoMarkingError where there is none."""
    if planned.shown is None:
        raise NoMarkingError(say("faults.no_marking", case=planned.case.case))
    return planned.shown


def right(planned: CasePlan) -> Plan:
    """The right plan of a case; raises NoMarkingError where there is none."""
    if planned.right is None:
        raise NoMarkingError(say("faults.no_marking", case=planned.case.case))
    return planned.right
