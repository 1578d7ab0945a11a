"""The drawings of a site: found in the cache, or drawn beside the build, or drawn here."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from offmidline.site.cache import Cache

if TYPE_CHECKING:
    from offmidline.site.artist import Artist, Job, Picture

_PAUSE: Final = (
    0.004  # seconds between two looks for a drawing, of which one takes three times this
)


class Drawings:
    """The drawings of a site, by the ids of their figures.

    More than a ``few`` that are missing are drawn by a second process while pages are made, where
    there is a second processor for it.
    """

    def __init__(self, kept: Cache, few: int) -> None:
        self._kept = kept
        self._few = few if (os.cpu_count() or 1) > 1 else sys.maxsize
        self._drawn: dict[str, str] = {}
        self._waiting: dict[str, Job] = {}
        self._artist: Artist | None = None

    def prepare(self) -> None:
        """Have the second process ready, if it will be needed."""
        if self._few == 0:
            self._hire()

    def want(self, figure_id: str, key: str, picture: Callable[[], Picture]) -> None:
        """See to it that a drawing is there when it is asked for; ``picture`` is called only where
        the cache has none.
        """
        if figure_id in self._drawn or figure_id in self._waiting:
            return
        found = self._kept.find(key)
        if found is not None:
            self._drawn[figure_id] = found["svg"]
            return
        from offmidline.site.artist import Job

        job = self._waiting[figure_id] = Job(key, figure_id, picture())
        if self._artist is not None:
            self._artist.take(job)
        elif len(self._waiting) > self._few:
            for waiting in self._waiting.values():
                self._hire().take(waiting)

    def _hire(self) -> Artist:
        from offmidline.site.artist import Artist

        self._artist = self._artist or Artist(self._kept.folder)
        return self._artist

    def svg(self, figure_id: str) -> str:
        """A drawing that was wanted before; waits for it where it is not ready."""
        if figure_id in self._waiting:
            job = self._waiting.pop(figure_id)
            self._drawn[figure_id] = self._awaited(job)["svg"]
        return self._drawn[figure_id]

    def finish(self) -> None:
        """Wait until all is drawn."""
        if self._artist is not None:
            self._artist.finish()
            self._artist = None

    def close(self) -> None:
        """Let go of what nobody asks for any more."""
        if self._artist is not None:
            self._artist.stop()
            self._artist = None

    def _awaited(self, job: Job) -> dict[str, Any]:
        """An entry as soon as the other process has made it; made here where it has given up."""
        while self._artist is not None and self._artist.works_on():
            found = self._kept.find(job.key)
            if found is not None:
                return found
            time.sleep(_PAUSE)
        return self._kept.get(job.key, job.draw)
