"""A drawing as plain data: shapes and writings on a page, in mm from its lower left corner, y up.

Views build it; ``canvas`` hands it to matplotlib. Nothing here knows matplotlib, so that a view can
be laid out, and tested, without it; the codes of a path are those of ``matplotlib.path.Path``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from offmidline.figures.page.style import Line, Role
from offmidline.records.base import Side

Array = NDArray[np.float64]
Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
# How much of a text lies before its anchor.
ANCHOR_SHARE: Final[Mapping[Anchor, float]] = MappingProxyType(
    {"start": 0.0, "middle": 0.5, "end": 1.0}
)

MOVE: Final = 1
LINE: Final = 2
CUBIC: Final = 4
CLOSE: Final = 79
# Handle of a cubic that stands for a quarter of a circle, in radii.
_QUARTER: Final = 4 / 3 * math.tan(math.pi / 8)


@dataclass(frozen=True)
class Trace:
    """A path: points, shape (n, 2), and one code for each."""

    points: Array
    codes: tuple[int, ...]

    def moved(self, frame: Frame) -> Trace:
        """The same path on the page."""
        return Trace(frame.page(self.points), self.codes)


def polyline(points: Sequence[Point] | Array, *, closed: bool = False) -> Trace:
    """Straight lines from point to point."""
    array = np.asarray(points, dtype=float)
    codes = (MOVE,) + (LINE,) * (len(array) - 1)
    if closed:
        return Trace(np.vstack([array, array[:1]]), (*codes, CLOSE))
    return Trace(array, codes)


def segments(pairs: Sequence[tuple[Point, Point]] | Array) -> Trace:
    """Separate straight lines in one path."""
    array = np.asarray(pairs, dtype=float).reshape(-1, 2)
    return Trace(array, (MOVE, LINE) * len(pairs))


def hermite(points: Array, tangents: Array, *, closed: bool = False) -> Trace:
    """A smooth path through points whose derivatives by a parameter of step 1 are known."""
    ends, slopes = points[1:], tangents[1:]
    first = points[:-1] + tangents[:-1] / 3
    second = ends - slopes / 3
    body = np.stack([first, second, ends], axis=1).reshape(-1, 2)
    codes = (MOVE,) + (CUBIC,) * len(body)
    array = np.vstack([points[:1], body])
    return Trace(np.vstack([array, array[:1]]), (*codes, CLOSE)) if closed else Trace(array, codes)


def smooth(points: Sequence[Point] | Array) -> Trace:
    """A smooth path through points (Catmull-Rom)."""
    array = np.asarray(points, dtype=float)
    return hermite(array, np.gradient(array, axis=0))


def joined(*traces: Trace, closed: bool = False) -> Trace:
    """One path of several, each beginning where the last one ended."""
    points = np.vstack([traces[0].points, *(trace.points[1:] for trace in traces[1:])])
    codes = traces[0].codes + tuple(code for trace in traces[1:] for code in trace.codes[1:])
    return (
        Trace(np.vstack([points, points[:1]]), (*codes, CLOSE)) if closed else Trace(points, codes)
    )


def together(traces: Sequence[Trace]) -> Trace:
    """Several paths as one, each by itself."""
    points = np.vstack([trace.points for trace in traces])
    return Trace(points, tuple(code for trace in traces for code in trace.codes))


def ellipse(centre: Point, half_width: float, half_height: float) -> Trace:
    """An ellipse with its axes along x and y."""
    k = _QUARTER
    unit = [(1, 0), (1, k), (k, 1), (0, 1), (-k, 1), (-1, k), (-1, 0)]
    unit += [(-1, -k), (-k, -1), (0, -1), (k, -1), (1, -k), (1, 0), (1, 0)]
    points = np.asarray(unit, dtype=float) * (half_width, half_height) + centre
    return Trace(points, (MOVE, *(CUBIC,) * 12, CLOSE))


@dataclass(frozen=True)
class Shape:
    """A path with a border, a filling or both; ``gid`` names it in the published file."""

    gid: str
    trace: Trace
    stroke: Role | None = None
    line: Line | None = None
    fill: Role | None = None


@dataclass(frozen=True)
class Writing:
    """One line of text: ``x, y`` is its anchor on the baseline, ``angle`` is in degrees,
    counter-clockwise.
    """

    gid: str
    text: str
    x: float
    y: float
    size: float
    role: Role = "ink"
    anchor: Anchor = "start"
    angle: float = 0.0
    bold: bool = False


@dataclass(frozen=True)
class Frame:
    """Where the frame of a plan lies on the page: the only place where a side is mirrored.

    Attributes:
        scale: mm on the page for one mm of the patient.
        x, y: place (mm) of the frame's origin on the page.
        side: a left-sided plan has its x axis to the left.
        down: whether the second coordinate counts downwards (depth) instead of upwards.
        across: mm on the page for one unit of x, where that differs from ``scale``, as in a plot.
    """

    scale: float
    x: float
    y: float
    side: Side
    down: bool = False
    across: float | None = None

    @property
    def sign(self) -> float:
        """Direction on the page of the plan's x axis."""
        return -1.0 if self.side == "left" else 1.0

    def page(self, points: Sequence[Point] | Array) -> Array:
        """Points of the plan on the page, mm."""
        array = np.asarray(points, dtype=float)
        vertical = -self.scale if self.down else self.scale
        across = self.scale if self.across is None else self.across
        return array * (self.sign * across, vertical) + (self.x, self.y)

    def at(self, x: float, y: float) -> Point:
        """One point of the plan on the page, mm."""
        px, py = self.page(np.array([x, y]))
        return float(px), float(py)


@dataclass
class Group:
    """Items in a frame of their own, under a name that begins theirs in the published file."""

    gid: str
    frame: Frame
    items: list[Shape | Writing] = field(default_factory=list)

    def add(self, *items: Shape | Writing) -> None:
        """Paint items over what is there."""
        self.items.extend(items)


@dataclass
class Drawing:
    """A page (mm) and what is drawn on it, in the order of painting.

    ``frame`` is None where the page holds several frames, each with its own group.
    """

    width: float
    height: float
    frame: Frame | None = None
    items: list[Shape | Writing | Group] = field(default_factory=list)

    def add(self, *items: Shape | Writing | Group) -> None:
        """Paint items over what is there."""
        self.items.extend(items)

    @property
    def named(self) -> Iterator[tuple[str, Shape | Writing]]:
        """Every item with its full name, in the order of painting."""
        for item in self.items:
            if isinstance(item, Group):
                yield from ((full_name(item.gid, inner.gid), inner) for inner in item.items)
            else:
                yield item.gid, item


def full_name(group: str, gid: str) -> str:
    """The name of a group's item."""
    return f"{group}-{gid}"


_T: Final = np.linspace(0, 1, 7)[1:, None]
# Bernstein polynomials at the places where a cubic is sampled.
_FLAT: Final = np.hstack([(1 - _T) ** 3, 3 * (1 - _T) ** 2 * _T, 3 * (1 - _T) * _T**2, _T**3])


def flattened(trace: Trace) -> list[Array]:
    """The polylines that a path's curves run along, for what has to know where ink lies."""
    points, codes = trace.points, np.array(trace.codes)
    starts = np.flatnonzero(codes == MOVE)
    stops = np.append(starts[1:], len(codes))
    return [
        _flattened_run(points[start:stop], codes[start:stop])
        for start, stop in zip(starts, stops, strict=True)
    ]


def _flattened_run(points: Array, codes: Array) -> Array:
    curved = codes == CUBIC
    if not curved.any():
        return np.vstack([points[:-1], points[:1]]) if codes[-1] == CLOSE else points
    # Curves come in threes of control points; straight parts between them keep their ends.
    runs = [points[:1]]
    index = 1
    while index < len(points):
        if not curved[index]:
            runs.append(points[:1] if codes[index] == CLOSE else points[index : index + 1])
            index += 1
            continue
        stop = index
        while stop < len(points) and curved[stop]:
            stop += 1
        body = points[index:stop].reshape(-1, 3, 2)
        ends = np.concatenate([points[index - 1 : index], body[:-1, 2]])
        controls = np.concatenate([ends[:, None], body], axis=1)
        runs.append(np.einsum("ij,kjx->kix", _FLAT, controls).reshape(-1, 2))
        index = stop
    return np.concatenate(runs)
