"""The marking as one would usually draw it: a figure with axes, patches and texts, saved as SVG.

The same shapes and texts in the same places, so that the ratio compares two ways of drawing and
nothing else. The places of the labels are given to this way for nothing: our own time includes
finding them.
"""

from __future__ import annotations

import io
from typing import Any

from matplotlib import rc_context
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from offmidline.figures.page.drawing import Drawing, Shape
from offmidline.figures.page.style import FONT, PALETTES

POINTS_PER_MM = 72 / 25.4
SETTINGS: Any = {"svg.fonttype": "none", "svg.hashsalt": "baseline", "font.sans-serif": [FONT]}
ANCHORS = {"start": "left", "middle": "center", "end": "right"}


def axes_svg(drawing: Drawing) -> str:
    """A drawing through axes that fill the page, with millimetres as data units."""
    palette = PALETTES["light"]
    out = io.StringIO()
    with rc_context(SETTINGS):
        figure = Figure(figsize=(drawing.width / 25.4, drawing.height / 25.4))
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_xlim(0, drawing.width)
        axes.set_ylim(0, drawing.height)
        axes.axis("off")
        for _, item in drawing.named:
            if isinstance(item, Shape):
                axes.add_patch(_patch(item, palette))
            else:
                axes.text(
                    item.x,
                    item.y,
                    item.text.replace("$", r"\$"),
                    fontsize=item.size * POINTS_PER_MM,
                    color=palette[item.role],
                    ha=ANCHORS[item.anchor],
                    va="baseline",
                    rotation=item.angle,
                    rotation_mode="anchor",
                    weight="bold" if item.bold else "normal",
                    gid=item.gid,
                )
        figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()


def _patch(shape: Shape, palette: Any) -> PathPatch:
    line = shape.line
    dashes: Any = "-"
    if line is not None and line.dashes:
        dashes = (0, line.dashes)
    return PathPatch(
        Path(shape.trace.points, shape.trace.codes),
        facecolor="none" if shape.fill is None else palette[shape.fill],
        edgecolor="none" if shape.stroke is None else palette[shape.stroke],
        linewidth=0 if line is None else line.width * POINTS_PER_MM,
        linestyle=dashes,
        gid=shape.gid,
    )
