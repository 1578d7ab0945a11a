"""A picture on a page."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """A picture on a page: its id there, its name among others, and its words."""

    figure_id: str
    name: str
    title: str
    description: str
    caption: str
