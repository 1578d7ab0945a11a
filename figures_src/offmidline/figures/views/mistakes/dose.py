"""A mistake of the dose: both doses as bars, to scale in mg, against the smaller limit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np

from offmidline.figures.page.axes import Axes, Axis, axes, below
from offmidline.figures.page.drawing import Drawing, Point, Writing, polyline
from offmidline.figures.page.metrics import width, wrap
from offmidline.figures.page.plot import Plot, open_plot
from offmidline.figures.page.sheet import ROOM, Block, Sheet, Strip, paragraph, sheet
from offmidline.figures.page.style import (
    CUT,
    DASHED,
    LINE_SPACING,
    MARGIN,
    SMALL_SIZE,
    TEXT_SIZE,
    Line,
    Role,
)
from offmidline.figures.scene.dose_words import arithmetic, limit_lines, limits, reservations
from offmidline.figures.views.mistakes.pair import (
    WRONG,
    Difference,
    Pair,
    name_difference,
    shade,
    verdict_table,
)
from offmidline.figures.words import say
from offmidline.plan import CasePlan, Plan

# mm on the page: the texts beside the bars, a bar, from one row to the next, above the bars.
_TEXTS: Final = 58.0
_GAP: Final = 3.0
_BAR: Final = 8.0
_ROW: Final = 24.0
_ABOVE: Final = 16.0
_MARGIN: Final = 5.0
# Lines by which a bar is kept clear of texts.
_SCANS: Final = 20
# What the axis reaches beyond the largest value.
_BEYOND: Final = 1.04
# How far the lines of the limits rise above the bars, and texts above what they name.
_LIMIT: Final = 5.0
_OTHER: Final = 8.0
_LIFT: Final = 1.2


def draw_dose_pair(planned: CasePlan, shown: Pair) -> Drawing:
    """The two doses with their arithmetic, the limits, and the rule that is not met."""
    more: list[Strip] = [
        verdict_table(shown),
        _lines("limits", limit_lines(shown.right), ROOM, SMALL_SIZE),
        _lines("reservations", reservations(shown.right), ROOM, SMALL_SIZE, "muted"),
    ]
    page = sheet(planned, say("mistakes.subtitle_dose", mistake=shown.title), more, barred=False)
    most = max(limit.mg for limit in limits(shown.right))
    x = Axis(
        0.0, _BEYOND * max(most, _mg(shown.wrong), _mg(shown.right)), say("mistakes.dose_axis")
    )
    height = 2 * _ROW + _ABOVE + below(x, ROOM)
    drawing, high = page.open(height)
    plot = _open(page, drawing, high, x)
    for row, (gid, plan, _) in enumerate(shown.plans):
        _draw_dose(plot, gid, plan, _middle(plot.axes, row))
        _tell_dose(drawing, gid, plan, plot.axes.high[1] - row * _ROW)
    plot.draw_axes()
    _draw_limits(plot, shown.right)
    name_difference(plot.board, _over(plot, shown.wrong), say("mistakes.over_limit"), (), ROOM)
    plot.board.finish()
    return drawing


def _open(page: Sheet, drawing: Drawing, high: Point, x: Axis) -> Plot:
    """The plot beside the texts. Its y counts rows upwards, in the unit of x."""
    corner = (MARGIN + _TEXTS + _GAP, page.low[1])
    across = high[0] - _MARGIN - corner[0]
    rows = Axis(0.0, 2 * _ROW * x.span / across, texts=False, ticked=False)
    made = axes((corner[0], corner[1] + below(x, ROOM)), (across, 2 * _ROW), x, rows)
    return open_plot(drawing, "doses", made, corner, high)


def _middle(made: Axes, row: int) -> float:
    """The y of the middle of a row's bar, rows counted downwards."""
    return made.y.high - (row + 0.5) * made.y.span / 2


def _mg(plan: Plan) -> float:
    """The dose of a plan; 0 without one."""
    return 0.0 if plan.dose is None else plan.dose.dose_mg


def _draw_dose(plot: Plot, gid: str, plan: Plan, y: float) -> None:
    """A bar from 0 to the dose, which nothing may seem to name; what is over the limit shaded."""
    if plan.dose is None:
        return
    dose, thickness = plan.dose.dose_mg, _BAR / plot.axes.frame.scale
    paint: tuple[Role, Role] = ("ink", "specimen-tint")
    plot.bars(f"{gid}-dose", np.array([(dose, y)]), thickness, paint, to="y")
    levels = y + thickness * np.linspace(-0.5, 0.5, _SCANS)
    within = min(dose, plan.dose.limit_mg)
    plot.board.reserve(((0.0, level), (within, level)) for level in levels)
    if gid == WRONG:
        shade(plot.board, _over(plot, plan))


def _over(plot: Plot, plan: Plan) -> Difference:
    """What of the wrong dose is over the limit, as a part of its bar."""
    if plan.dose is None:
        return Difference("excess", [])
    y, half = _middle(plot.axes, 1), _BAR / 2 / plot.axes.frame.scale
    low, high = plan.dose.limit_mg, plan.dose.dose_mg
    ring = np.array([(low, y - half), (high, y - half), (high, y + half), (low, y + half)])
    return Difference("excess", [ring])


def _tell_dose(drawing: Drawing, gid: str, plan: Plan, top: float) -> None:
    """The arithmetic of a dose beside its bar."""
    head = paragraph(f"title-{gid}", say(f"mistakes.dose_{gid}"), TEXT_SIZE, bold=True)
    lines = _lines(f"sum-{gid}", arithmetic(plan), _TEXTS, TEXT_SIZE)
    drawing.add(*head.writings(top), *lines.writings(top - TEXT_SIZE * LINE_SPACING))


def _lines(gid: str, texts: Iterable[str], room: float, size: float, role: Role = "ink") -> Block:
    """Texts, each beginning a line, as one block."""
    lines = [line for text in texts for line in wrap(text, room, size)]
    return Block(gid, tuple(lines), size, role)


def _draw_limits(plot: Plot, plan: Plan) -> None:
    """Both limits across the bars: the smaller one strong and named to the left of its line, the
    other one named above its own.
    """
    made, board = plot.axes, plot.board
    for limit in limits(plan):
        x, top = made.frame.at(limit.mg, made.y.high)
        if limit.counts:
            text = Writing(
                "label-limit", limit.words, x - _LIFT, top + _LIFT, TEXT_SIZE, "ink", "end"
            )
            _draw_limit(plot, "limit", limit.mg, _LIMIT, ("wrong", CUT))
        else:
            left = min(x, board.high[0] - width(limit.words, TEXT_SIZE))
            text = Writing("label-other-limit", limit.words, left, top + _OTHER + _LIFT, TEXT_SIZE)
            _draw_limit(plot, "other-limit", limit.mg, _OTHER, ("muted", DASHED))
        board.write(text)


def _draw_limit(plot: Plot, gid: str, mg: float, rise: float, paint: tuple[Role, Line]) -> None:
    """A line across the bars that rises so far (mm on the page) above them."""
    made = plot.axes
    ends = [(mg, made.y.low), (mg, made.y.high + rise / made.frame.scale)]
    plot.board.line(gid, polyline(ends), *paint)
