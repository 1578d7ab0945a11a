"""Pits and openings on a surface, each with what becomes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from offmidline.figures.page.board import Fate, Kind
from offmidline.figures.page.drawing import Point
from offmidline.figures.page.labels import Label
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.style import TEXT_SIZE
from offmidline.figures.scene.surface import Surface
from offmidline.figures.words import say

# The names of findings may be broken further, to stand nearer to them inside the outline.
_NARROW_ROOM: Final = 25.0


@dataclass(frozen=True)
class Finding:
    """A drawn pit or opening: its centre and how far its symbol reaches, mm on the page."""

    centre: Point
    radius: float


def draw_finding(
    surface: Surface, kind: Kind, count: int, place: Point, diameter: float, fate: Fate
) -> Finding:
    """A pit or an opening, the so-manieth of its kind, at its place in the plan's frame."""
    board = surface.board
    radius = board.symbol(f"{kind}-{count}", kind, place, diameter, fate)
    return Finding(board.frame.at(*place), radius)


def label_group(
    surface: Surface,
    kind: Kind,
    outcome: str,
    drawn: Sequence[Finding],
    *,
    gid: str = "",
    **told: str,
) -> None:
    """One label for the findings of a kind that share what becomes of them, if there are any, with
    what more its words have a name for; its name ends in ``gid`` where there is another such label.
    """
    if not drawn:
        return
    if len(drawn) == 1:
        text = say(f"labels.{kind}_{outcome}", **told)
    else:
        text = say(f"labels.{kind}s_{outcome}", count=len(drawn), **told)
    surface.board.label(
        Label(
            f"label-{kind}-{outcome}{gid}",
            wrap(text, surface.room, TEXT_SIZE),
            tuple(one.centre for one in drawn),
            surface.columns,
            clear=max(one.radius for one in drawn),
            narrow=wrap(text, min(_NARROW_ROOM, surface.room), TEXT_SIZE),
        )
    )
