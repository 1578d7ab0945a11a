"""Published counts and their intervals: pure functions on numbers.

Everywhere the interval is that of 95 %.
"""

from __future__ import annotations

from offmidline.evidence.comparison import (
    Comparison,
    odds_ratio,
    relative_risk,
    risk_difference,
)
from offmidline.evidence.proportion import Proportion, per_hundred, wilson

__all__ = [
    "Comparison",
    "Proportion",
    "odds_ratio",
    "per_hundred",
    "relative_risk",
    "risk_difference",
    "wilson",
]
