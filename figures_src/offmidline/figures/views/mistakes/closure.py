"""A mistake of the closure: as many deep stitches as asked and too few, side by side."""

from __future__ import annotations

from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.sheet import sheet
from offmidline.figures.scene.stitches import draw_deep_rows
from offmidline.figures.views.mistakes.pair import Pair, verdict_table
from offmidline.figures.words import say
from offmidline.plan import CasePlan


def draw_closure_pair(planned: CasePlan, shown: Pair) -> Drawing:
    """The same outline with both rows, and the rules that are not met."""
    page = sheet(planned, say("mistakes.subtitle_closure"), [verdict_table(shown)])
    return draw_deep_rows(page, [(gid, shown.panel(gid), plan) for gid, plan, _ in shown.plans])
