"""Drawing beside the build: a second process draws while this one goes on making pages.

``python -m offmidline.site.artist FOLDER`` reads pickled jobs from its input until that ends, draws
each, and keeps it in the cache in that folder. What it fails to draw is missing there, and the
build draws it itself.
"""

from __future__ import annotations

import gc
import pickle
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from typing import IO, TYPE_CHECKING, Any, Protocol, cast

from offmidline.records import Setting
from offmidline.site.cache import Cache

if TYPE_CHECKING:
    from offmidline.exam.analysis import Group
    from offmidline.figures.chart import Subject
    from offmidline.plan import CasePlan


class Picture(Protocol):
    """What can be drawn; it can be pickled."""

    def svg(self, figure_id: str) -> str:
        """The drawing, whose ids all begin with that of its figure."""


@dataclass(frozen=True)
class ViewPicture:
    """A picture of a view of a case."""

    planned: CasePlan
    view: str
    part: str

    def svg(self, figure_id: str) -> str:
        """The drawing of the view."""
        from offmidline import figures

        return figures.render(self.planned, self.view, figure_id=figure_id, part=self.part).svg


@dataclass(frozen=True)
class ChartPicture:
    """A picture of a chart."""

    subject: Subject
    chart: str
    part: str

    def svg(self, figure_id: str) -> str:
        """The drawing of the chart."""
        from offmidline import figures

        return figures.render_chart(
            self.subject, self.chart, figure_id=figure_id, key=self.part
        ).svg


@dataclass(frozen=True)
class CohortPicture:
    """A plot of the answers of a group, whose forms are called so."""

    group: Group
    plot: str
    forms: str

    def svg(self, figure_id: str) -> str:
        """The drawing of the plot."""
        from offmidline.exam.analysis_plots import PLOTS

        return PLOTS[self.plot](figure_id, self.group, self.forms).svg


@dataclass(frozen=True)
class Job:
    """One drawing: its key in the cache, its id on a page, and what it shows."""

    key: str
    figure_id: str
    picture: Picture

    def draw(self) -> dict[str, Any]:
        """The entry of the cache."""
        return {"svg": self.picture.svg(self.figure_id)}


class Artist:
    """A process that draws; started when made, so that it is ready when the first job comes."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "offmidline.site.artist", str(folder)]
        self._process = subprocess.Popen(  # noqa: S603 - our own module
            command, stdin=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self._pipe = cast(IO[bytes], self._process.stdin)
        self._jobs: SimpleQueue[Job | None] = SimpleQueue()
        # A thread writes, as a process that is still starting lets its input run full.
        self._writer = threading.Thread(target=self._write, daemon=True)
        self._writer.start()

    def take(self, job: Job) -> None:
        """Hand over a job."""
        self._jobs.put(job)

    def works_on(self) -> bool:
        """Whether the process still draws; there will be no further jobs."""
        self._jobs.put(None)
        return self._process.poll() is None

    def finish(self) -> None:
        """Wait until every job is done, or the process has given up."""
        self._jobs.put(None)
        self._writer.join()
        self._process.wait()

    def stop(self) -> None:
        """Let go of what is not done."""
        self._process.kill()
        self.finish()

    def _write(self) -> None:
        try:
            with self._pipe:
                while (job := self._jobs.get()) is not None:
                    _Pickler(self._pipe).dump(job)
                    self._pipe.flush()
        except OSError:  # the process has gone
            return


class _Pickler(pickle.Pickler):
    """Pickles settings of a technique as well, whose class pydantic makes while it runs."""

    def reducer_override(self, obj: object) -> Any:
        """A setting as its fields."""
        if isinstance(obj, Setting):
            return _setting, (dict(obj),)
        return NotImplemented


def _setting(values: dict[str, Any]) -> Setting[float]:
    return Setting.model_construct(**values)


def _jobs(pipe: IO[bytes]) -> Any:
    while True:
        try:
            yield pickle.load(pipe)  # noqa: S301 - from the process that started this one
        except EOFError:
            return


def main(folder: str) -> None:
    """Draw what comes until the input ends."""
    import offmidline.figures.page.canvas  # noqa: F401 - slow, and done while the first plan is made

    # What a drawing leaves behind is little, and the process ends soon: collecting costs more.
    gc.disable()
    cache = Cache(Path(folder))
    for job in _jobs(sys.stdin.buffer):
        cache.get(job.key, job.draw)


if __name__ == "__main__":
    main(sys.argv[1])
