"""A form of a paper: its questions in order, each with the case it was drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from offmidline.items.item import Item
from offmidline.plan import CasePlan


@dataclass(frozen=True)
class Form:
    """One form of a paper.

    Attributes:
        paper, title, minutes: as the paper's record has them.
        form: its letter.
        items: its questions; ``Qn`` is ``items[n - 1]``.
        plans: the case that the figures of each question show, in the same order.
        specimen: whether it was drawn without a secret seed, and is no real paper.
    """

    paper: str
    title: str
    minutes: int
    form: str
    items: tuple[Item, ...]
    plans: tuple[CasePlan, ...] = ()
    specimen: bool = False


def label(number: int) -> str:
    """What question number ``number`` (from 1) is called in files: ``Q7``."""
    return f"Q{number}"
