"""Charts of the shipped scenarios, drawn and read back from their SVG."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from tests.figures.published import FIGURE, Published
from tests.generated import SCENARIOS

from offmidline.figures import CHARTS, Rendered, render_chart
from offmidline.figures.chart import Subject, subject_of
from offmidline.records import load_library


@lru_cache(maxsize=1)
def shipped() -> Subject:
    """What the shipped scenarios give charts to read."""
    return subject_of(load_library(SCENARIOS, ()))


@lru_cache(maxsize=256)
def rendered(name: str, key: str = "") -> Rendered:
    """A chart of the shipped scenarios."""
    return render_chart(shipped(), name, key=key, figure_id=FIGURE)


@lru_cache(maxsize=256)
def read(name: str, key: str = "") -> Published:
    """The same, read back."""
    return Published(rendered(name, key).svg)


def every() -> list[tuple[str, str]]:
    """The names of all charts that the shipped scenarios make."""
    return [(name, key) for name, chart in CHARTS.items() for key in chart.keys(shipped())]


def texts(figure: Published, beginning: str) -> list[str]:
    """The texts whose names begin so, in the order in which they are drawn."""
    return [text.words for text in figure.texts if text.gid.startswith(beginning)]


def centre(figure: Published, gid: str) -> np.ndarray:
    """The middle of a mark on the page (mm)."""
    points = np.vstack(figure.runs(gid))
    return np.asarray((points.min(axis=0) + points.max(axis=0)) / 2)
