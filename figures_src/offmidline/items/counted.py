"""Whole things that are counted: only the number itself is right."""

from __future__ import annotations

from dataclasses import dataclass

from offmidline.items.model import Scale


@dataclass(frozen=True)
class Counted(Scale):
    """The scale of a count: one more or one less is another answer."""

    unit: str = ""

    @property
    def why(self) -> str:
        """Nothing is rounded."""
        return "tolerance_exact"

    @property
    def tolerance(self) -> float:
        """Less than half of a thing, so that the next number is wrong."""
        return 0.4

    @property
    def unit_step(self) -> float:
        """Half of a thing, so that neighbouring numbers may stand beside each other."""
        return 0.5
