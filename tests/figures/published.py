"""A published figure read back from its SVG: paths and texts in millimetres, by their names.

Lengths are in mm on the page, y up, or in the frame of the plan where a name says so. Text is
measured by matplotlib's own layout, not with the measures that laid the figure out.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import shapely
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from tests.strategies import a_case, a_technique, generated_plans, shipped_plans

from offmidline import figures
from offmidline.figures import Rendered
from offmidline.plan import CasePlan, Plan, plan_case

SVG = "{http://www.w3.org/2000/svg}"
FIGURE = "figure"
_TOKEN = re.compile(r"([MLCz])|(-?\d+\.?\d*)", re.IGNORECASE)
_PLACE = re.compile(r"translate\((\S+) (\S+)\) rotate\((\S+)\)")
_T = np.linspace(0, 1, 33)[1:, None]


@dataclass(frozen=True)
class Text:
    """A line of text and the box round its letters."""

    gid: str
    words: str
    size: float
    angle: float
    box: Any


class Published:
    """One ``<svg>`` element read back."""

    def __init__(self, svg: str) -> None:
        self.root = ET.fromstring(svg)  # noqa: S314 - our own figure
        self.width, self.height = (float(n) for n in self.root.get("viewBox", "").split()[2:])
        self.elements = {e.get("id", ""): e for e in self.root.iter() if e.get("id")}

    @property
    def names(self) -> set[str]:
        """Names of all parts, without the figure's own."""
        return {name.removeprefix(f"{FIGURE}-") for name in self.elements}

    @cached_property
    def paths(self) -> dict[str, ET.Element]:
        """All paths by their names, those of groups under ``<group>-<gid>``."""
        return {
            element.get("id", "").removeprefix(f"{FIGURE}-"): element
            for element in self.root.iter(f"{SVG}path")
        }

    @cached_property
    def groups(self) -> dict[str, ET.Element]:
        """The groups with a frame of their own."""
        return {
            element.get("id", "").removeprefix(f"{FIGURE}-"): element
            for element in self.root.iter(f"{SVG}g")
        }

    def named(self, *gids: str) -> list[str]:
        """The paths of these names, on the page or in any group."""
        frames = ("", *(f"{group}-" for group in self.groups))
        wanted = [f"{frame}{gid}" for frame in frames for gid in gids]
        return [name for name in wanted if name in self.paths]

    def has(self, gid: str) -> bool:
        """Whether a part was drawn."""
        return f"{FIGURE}-{gid}" in self.elements

    def runs(self, gid: str) -> list[np.ndarray]:
        """The polylines of a path on the page; curves in 32 chords."""
        return _flatten(self.elements[f"{FIGURE}-{gid}"].get("d", ""), self.height)

    def plan_runs(self, gid: str) -> list[np.ndarray]:
        """The polylines of a path in the frame of its group or of the page (depth negative in a
        section).
        """
        frame = self._frame_of(gid)
        scale = float(frame.get("data-scale", ""))
        across = float(frame.get("data-across", scale))
        sign = -1 if frame.get("data-side") == "left" else 1
        origin = (
            float(frame.get("data-origin-x", "")),
            self.height - float(frame.get("data-origin-y", "")),
        )
        return [(run - origin) / (sign * across, scale) for run in self.runs(gid)]

    def _frame_of(self, gid: str) -> ET.Element:
        """The element that tells where the frame of a path lies."""
        for name, group in self.groups.items():
            if gid.startswith(f"{name}-") and self.elements[f"{FIGURE}-{gid}"] in list(group):
                return group
        return self.root

    def plan_path(self, gid: str) -> np.ndarray:
        """All points of a path in the plan's frame."""
        return np.vstack(self.plan_runs(gid))

    @cached_property
    def texts(self) -> list[Text]:
        """All texts with their boxes."""
        return [_text(element, self.height) for element in self.root.iter(f"{SVG}text")]

    @property
    def scale(self) -> float:
        """mm on the page for one mm of the patient."""
        return self.number("data-scale")

    def number(self, key: str) -> float:
        """A number of the root's attributes, without its unit."""
        return float((self.root.get(key) or "").removesuffix("mm"))

    def text_of(self, gid: str) -> str:
        """The words of an element."""
        return self.elements[f"{FIGURE}-{gid}"].text or ""

    @property
    def page(self) -> Any:
        """The page as a polygon."""
        return shapely.box(0, 0, self.width, self.height)


def _flatten(d: str, height: float) -> list[np.ndarray]:
    runs: list[list[Any]] = []
    command, numbers = "", []
    need = {"M": 2, "L": 2, "C": 6}
    for letter, number in _TOKEN.findall(d):
        if letter:
            command = letter
            if letter.upper() == "Z":
                runs[-1].append(runs[-1][0])
            continue
        numbers.append(float(number))
        if len(numbers) < need[command]:
            continue
        points = np.array(numbers).reshape(-1, 2) * (1, -1) + (0, height)
        numbers = []
        if command == "M":
            runs.append([points[0]])
        elif command == "L":
            runs[-1].append(points[0])
        else:
            a, (b, c, e) = runs[-1][-1], points
            s = 1 - _T
            runs[-1].extend(s**3 * a + 3 * s * s * _T * b + 3 * s * _T**2 * c + _T**3 * e)
    return [np.array(run) for run in runs]


def _text(element: ET.Element, height: float) -> Text:
    words, size = element.text or "", float(element.get("font-size", ""))
    angle = 0.0
    if place := _PLACE.fullmatch(element.get("transform", "")):
        x, y, turned = (float(value) for value in place.groups())
        angle = -turned
    else:
        x, y = float(element.get("x", "")), float(element.get("y", ""))
    width, top, depth = _extent(words, element.get("font-weight") == "bold")
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[element.get("text-anchor", "start")] * width
    corners = np.array([(0, -depth), (width, -depth), (width, top), (0, top)])
    corners = (corners - (back, 0)) * size
    turn = math.radians(angle)
    matrix = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    box = shapely.Polygon(corners @ matrix + (x, height - y))
    return Text(element.get("id", "").removeprefix(f"{FIGURE}-"), words, size, angle, box)


@lru_cache(maxsize=4096)
def _extent(words: str, bold: bool) -> tuple[float, float, float]:
    """Width of a text, its height above the baseline and its depth below it, in em."""
    font = FontProperties(family=["DejaVu Sans"], weight="bold" if bold else "normal", size=100)
    width, height, descent = text_to_path.get_text_width_height_descent(words, font, ismath=False)
    return width / 100, (height - descent) / 100, descent / 100


def published(planned: CasePlan, view: str, **options: Any) -> Published:
    """A view of a case drawn and read back."""
    return Published(figures.render(planned, view, figure_id=FIGURE, **options).svg)


def planned(*, technique: dict[str, str] | None = None, **parts: Any) -> CasePlan:
    """A crafted case planned under the usual technique."""
    return plan_case(a_case(**parts), a_technique(**(technique or {})))


def marked(*numbers: float, **more: Any) -> dict[str, Any]:
    """A prescribed marking: cranial apex, caudal apex, reach, then offset and caudal shift."""
    keys = ("cranial_apex", "caudal_apex", "reach", "offset", "caudal_shift")
    lengths = {key: f"{number} mm" for key, number in zip(keys, numbers, strict=False)}
    return {**lengths, **more}


@lru_cache(maxsize=1)
def extremes() -> dict[str, CasePlan]:
    """Cases at and beyond the limits of what is usual, by what is odd about them."""
    lengths = {"cavity_depth": "20 mm", "fascia_depth": "30 mm"}
    low = [(20, 2), (70, 2)]
    cases: dict[str, dict[str, Any]] = {
        "openings on both sides": {"openings": [(95, 25, "left", 5), (90, 30, "right", 4)]},
        "a distant opening": {"openings": [(140, 60, "right", 5)]},
        "an opening at the end of its range": {"openings": [(290, 140, "left", 30)]},
        "pits 80 mm apart": {"pits": [(50, 2), (130, 2)]},
        "pits 120 mm apart": {"pits": [(50, 2), (170, 2)], "side": "left"},
        "a low pit": {"pits": [(34, 2)]},
        "many findings": {
            "pits": [(40 + 6 * n, 2) for n in range(12)],
            "openings": [(50 + 9 * n, 10 + 5 * n, "right", 4) for n in range(8)],
        },
        "no marking possible": {"pits": [(8, 2), (60, 3)], "openings": [(80, 30, "right", 4)]},
        "no reach": {"marking": marked(120, 20, 0)},
        "short of the midline": {"marking": marked(120, 20, -8)},
        "offset to the other side": {"marking": marked(120, 20, 40, -15)},
        "centred on the midline": {"marking": marked(120, 20, 25, 0, 0), "side": "left"},
        "shift to the midline": {"marking": marked(120, 20, 5, 20, -20), "side": "left"},
        "the wrong side": {
            "openings": [(90, 20, "left", 4)],
            "marking": marked(120, 20, 5, side="right"),
            "side": None,
        },
        "past the verge": {"pits": low, "marking": marked(110, -30, 5)},
        "over the verge": {"pits": low, "marking": marked(100, -20, 15, 20, -20)},
        "far above the pits": {"pits": low, "marking": marked(300, 200, 5)},
        "as large as may be written": {"pits": low, "marking": marked(500, -50, 60, 60, 60)},
        "tiny": {"marking": marked(70, 60, -17)},
        "a shallow cavity": {"findings": {"cavity_depth": "5 mm", "fascia_depth": "20 mm"}},
        "a cavity in the skin": {"findings": {"cavity_depth": "1 mm", "fascia_depth": "3 mm"}},
        "a deep cavity": {"findings": {"cavity_depth": "40 mm", "fascia_depth": "60 mm"}},
        "a deep fascia": {"findings": {"cavity_depth": "10 mm", "fascia_depth": "120 mm"}},
        "180 mm wide": {"findings": lengths, "marking": marked(400, 20, 30, 60)},
        "a vertical wall": {"section": {"lateral_cut": "90 deg"}},
        "a widening wall": {"section": {"lateral_cut": "120 deg"}, "side": "left"},
        "two widening walls": {
            "findings": {"cavity_depth": "30 mm", "fascia_depth": "60 mm"},
            "section": {"lateral_cut": "150 deg", "medial_cut": "135 deg", "depth": "40 mm"},
        },
        "walls that meet": {"findings": lengths, "marking": marked(90, 30, -12)},
        "two narrowing walls": {
            "findings": {"cavity_depth": "30 mm", "fascia_depth": "40 mm"},
            "section": {"lateral_cut": "30 deg", "medial_cut": "60 deg"},
        },
        "above the cavity's floor": {"findings": lengths, "section": {"depth": "8 mm"}},
        "through the fascia": {"findings": lengths, "section": {"depth": "60 mm"}},
        "no undermining": {"section": {"undermining": "0 mm"}},
        "much undermining": {"section": {"undermining": "80 mm", "flap_thickness": "3 mm"}},
        "a flap below the floor": {"section": {"flap_thickness": "40 mm"}},
    }
    return {name: planned(**parts) for name, parts in cases.items()}


def plans() -> tuple[CasePlan, ...]:
    """All cases on which figures are tried: shipped, generated and extreme."""
    return (*shipped_plans(), *generated_plans(0, 100), *extremes().values())


def shown(planned: CasePlan) -> Plan:
    """The plan of a case that has one."""
    assert planned.shown is not None
    return planned.shown


Drawn = tuple[CasePlan, Rendered, Published]


@lru_cache(maxsize=2)
def drawn(view: str) -> tuple[Drawn, ...]:
    """Every picture of a view, for every case that has it."""
    return tuple(item for one in plans() for item in pictures(one, view))


def pictures(one: CasePlan, view: str) -> Iterator[Drawn]:
    """Every picture of a view of a case; none where the case lacks what the view needs."""
    try:
        parts = figures.VIEWS[view].parts(one)
    except figures.NoMarkingError:
        return
    for part in parts:
        rendered = figures.render(one, view, part=part, figure_id=FIGURE)
        yield one, rendered, Published(rendered.svg)
