"""What a chart is: the pictures that it makes of published results, or of the complications, and
their words. A chart shows no case.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from offmidline import messages
from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.room import with_room
from offmidline.figures.view import WHOLE, UnknownPartError
from offmidline.figures.words import Words, say

if TYPE_CHECKING:
    from offmidline.records import Complication, Evidence, Library


@dataclass(frozen=True)
class Subject:
    """What charts are drawn from; it can be pickled.

    Attributes:
        years: when the source of an evidence appeared, by its id; a source without a year is
            missing.
    """

    evidence: tuple[Evidence, ...] = ()
    complications: tuple[Complication, ...] = ()
    years: Mapping[str, int] = field(default_factory=dict)


def subject_of(library: Library) -> Subject:
    """What charts read of a library."""
    evidence = tuple(library.evidence.values())
    sources = (library.sources[one.source] for one in evidence)
    years = {source.id: source.year for source in sources if source.year is not None}
    return Subject(evidence, tuple(library.complications.values()), years)


@dataclass(frozen=True)
class Citation:
    """A source behind what a chart shows.

    Attributes:
        source: its id.
        rows: the numbers on the picture that it stands behind; none where it is behind all.
        status: how it was read, where that is worse for what is shown than for the source itself.
    """

    source: str
    rows: tuple[int, ...] = ()
    status: str | None = None


@dataclass(frozen=True)
class Chart:
    """A way to look at published results or complications, in one picture or in several.

    Attributes:
        name: by which it is asked for.
        keys: the names of its pictures, in order; ``(WHOLE,)`` where there is one, none where there
            is nothing to show.
        describe, paint: the words and the drawing of a picture, given its name.
        cites: the sources of a picture, in the order of its rows.
    """

    name: str
    keys: Callable[[Subject], tuple[str, ...]]
    describe: Callable[[Subject, str], Words]
    paint: Callable[[Subject, str], Drawing]
    cites: Callable[[Subject, str], tuple[Citation, ...]] = lambda _, __: ()

    @property
    def summary(self) -> str:
        """What the chart shows, in one line."""
        return say(f"charts.{self.name}.summary")

    def words(self, subject: Subject, key: str = WHOLE) -> Words:
        """Title, description and caption of a picture; raises UnknownPartError."""
        self._check(subject, key)
        return self.describe(subject, key)

    def draw(self, subject: Subject, key: str = WHOLE) -> Drawing:
        """A picture as a drawing; raises UnknownPartError."""
        self._check(subject, key)
        return with_room(lambda: self.paint(subject, key))

    def citations(self, subject: Subject, key: str = WHOLE) -> tuple[Citation, ...]:
        """The sources of a picture; raises UnknownPartError."""
        self._check(subject, key)
        return self.cites(subject, key)

    def _check(self, subject: Subject, key: str) -> None:
        known = self.keys(subject)
        if key not in known:
            names = messages.either(known) if any(known) else say("faults.no_parts")
            raise UnknownPartError(say("faults.unknown_key", key=key, chart=self.name, known=names))
