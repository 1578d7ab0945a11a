"""How much room a drawing gets for its labels: a little more each time that one finds no place.

What is drawn stays where it is; the page grows below it. Where the largest page does not do either,
a leader may run through a text, which is better than no figure.
"""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Final

from offmidline.figures.page.drawing import Drawing


class NoRoomError(ValueError):
    """There is no free place for a text on the page."""


@dataclass(frozen=True)
class Room:
    """Height (mm) added to the page, and whether leaders may run through texts."""

    spare: float = 0.0
    forced: bool = False


_ANY: Final = Room(forced=True)
_TRIES: Final = (*(Room(spare) for spare in (0.0, 8.0, 16.0, 26.0, 40.0)), Room(26.0, forced=True))
_CURRENT: Final = ContextVar("room", default=_ANY)


def current() -> Room:
    """The room that the drawing being made has."""
    return _CURRENT.get()


def with_room(paint: Callable[[], Drawing]) -> Drawing:
    """What ``paint`` draws in the least room in which all its labels find a place.

    Raises:
        NoRoomError: where a text finds none however large the page is.
    """
    for room in _TRIES[:-1]:
        try:
            return _painted(paint, room)
        except NoRoomError:
            continue
    return _painted(paint, _TRIES[-1])


def _painted(paint: Callable[[], Drawing], room: Room) -> Drawing:
    token = _CURRENT.set(room)
    try:
        return paint()
    finally:
        _CURRENT.reset(token)
