"""From what a site is built, and for whom."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

# Whose cases each audience sees, and who reads teaching notes and model answers.
SEES: Final[Mapping[str, frozenset[str]]] = {
    "trainee": frozenset({"trainee"}),
    "educator": frozenset({"trainee"}),
    "examiner": frozenset({"trainee", "examiner"}),
}
READS_NOTES: Final = frozenset({"educator", "examiner"})
# The audiences from which something is kept back.
HIDES: Final = tuple(audience for audience in SEES if "examiner" not in SEES[audience])
DEFAULT_AUDIENCE: Final = "trainee"
DEFAULT_TECHNIQUE: Final = "off-midline-flap"
DEFAULT_CACHE: Final = Path(".cache", "site")


@dataclass(frozen=True)
class Settings:
    """From what a site is built.

    Attributes:
        cache: folder of what was worked out before; each audience has its own below it.
        technique: id of the technique whose dimensions the chapters show.
        few: number of drawings up to which no second process is started for them.
        secret: the seed of real papers; None shows specimens of them.
    """

    scenarios: Path
    handbook: Path
    cache: Path = DEFAULT_CACHE
    audience: str = DEFAULT_AUDIENCE
    technique: str = DEFAULT_TECHNIQUE
    few: int = 0
    secret: bytes | None = field(default=None, repr=False)


def secret_for(audience: str, scenarios: Path) -> bytes | None:
    """The secret seed that the environment names, for an audience that sees papers; None for any
    other. Raises FaultsError where it cannot be used.
    """
    if audience in HIDES:
        return None
    from offmidline.exam.secret import secret_of  # of no use to the other commands, and slow

    return secret_of(None, os.environ, scenarios.resolve().parent)
