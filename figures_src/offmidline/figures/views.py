"""The views: what can be drawn of a plan, each by its name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from offmidline import messages
from offmidline.figures.words import Words, marking_words, section_words
from offmidline.plan import CasePlan

if TYPE_CHECKING:
    from offmidline.figures.drawing import Drawing


@dataclass(frozen=True)
class View:
    """A view: its name, its words, and its drawing; both raise NoMarkingError where they need a
    marking.
    """

    name: str
    words: Callable[[CasePlan], Words]
    draw: Callable[[CasePlan], Drawing]

    @property
    def title(self) -> str:
        """What the view is called on a page."""
        return messages.text(f"figures.{self.name}.name")

    @property
    def summary(self) -> str:
        """What the view shows, in one line."""
        return messages.text(f"figures.{self.name}.summary")


def _draw_marking(planned: CasePlan) -> Drawing:
    from offmidline.figures import marking

    return marking.draw(planned)


def _draw_section(planned: CasePlan) -> Drawing:
    from offmidline.figures import section

    return section.draw(planned)


VIEWS: Final[Mapping[str, View]] = MappingProxyType(
    {
        view.name: view
        for view in (
            View("marking", marking_words, _draw_marking),
            View("section", section_words, _draw_section),
        )
    }
)
