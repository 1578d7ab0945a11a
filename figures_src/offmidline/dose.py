"""Infiltration arithmetic: mg from mg/ml and ml, against the smaller of two limits.

An exercise against a named label, not a prescription: the largest allowable dose is not a target,
doses of different agents add, and local policy decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

LimitedBy = Literal["fixed", "per_kg"]


@dataclass(frozen=True)
class Limit:
    """The limit that counts for one patient, mg, and which of the two rules it comes from."""

    limit_mg: float
    limited_by: LimitedBy


@dataclass(frozen=True)
class Dose:
    """A dose (mg) beside its limit (mg)."""

    dose_mg: float
    limit_mg: float
    limited_by: LimitedBy

    @property
    def percent_of_limit(self) -> float:
        """The dose in percent of the limit."""
        return self.dose_mg / self.limit_mg * 100


def smaller_limit(fixed_mg: float, per_kg_mg: float | None, weight_kg: float) -> Limit:
    """The smaller of a fixed maximum (mg) and a limit by body weight (mg/kg x kg).

    Where the label gives no figure by weight, ``per_kg_mg`` is None and the fixed maximum counts.
    """
    if per_kg_mg is not None and per_kg_mg * weight_kg < fixed_mg:
        return Limit(per_kg_mg * weight_kg, "per_kg")
    return Limit(fixed_mg, "fixed")


def dose_against(limit: Limit, concentration_mg_per_ml: float, volume_ml: float) -> Dose:
    """The dose in a volume (ml) of a concentration (mg/ml), against a limit."""
    return Dose(concentration_mg_per_ml * volume_ml, limit.limit_mg, limit.limited_by)
