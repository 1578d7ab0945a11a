"""Seeded cases for tests: plausible, varied, and invented from the first to the last number.

They are built as YAML-shaped data and pass the same models as a file, so a test sees what a reader
would.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

from offmidline.records import Case, Technique, read_technique

SCENARIOS = Path(__file__).parent.parent / "scenarios"
TECHNIQUE_ID = "off-midline-flap"


def technique() -> Technique:
    """The shipped technique."""
    return read_technique(TECHNIQUE_ID, SCENARIOS)


def cases(count: int, seed: int) -> list[Case]:
    """That many cases, the same ones for the same seed."""
    chance = random.Random(seed)
    return [Case.model_validate(case_data(chance, number)) for number in range(count)]


def case_data(chance: random.Random, number: int) -> dict[str, Any]:
    """One case as the mapping that its YAML file would hold; every scalar is text, as in a file."""
    lowest = chance.uniform(34, 75)
    levels = [lowest]
    for _ in range(chance.randint(0, 3)):
        levels.append(levels[-1] + chance.uniform(6, 20))
    pits = [{"at": _mm(at), "diameter": _mm(chance.uniform(1, 4))} for at in levels]
    openings = [
        {
            "at": _mm(chance.uniform(levels[0], levels[-1] + 45)),
            "lateral": _mm(chance.uniform(5, 60)),
            "side": chance.choice(["left", "right"]),
            "diameter": _mm(chance.uniform(2, 6)),
        }
        for _ in range(chance.choice([0, 0, 1, 1, 2, 3]))
    ]
    cavity = chance.uniform(5, 30)
    weight = chance.uniform(42, 130)
    data: dict[str, Any] = {
        "case": f"generated-{number}",
        "title": f"Generated case {number}",
        "audience": "trainee",
        "technique": TECHNIQUE_ID,
        "patient": {
            "age": f"{chance.randint(17, 70)} years",
            "sex": chance.choice(["male", "female"]),
            "weight": f"{weight:.1f} kg",
            "height": f"{chance.randint(150, 200)} cm",
            "asa": str(chance.randint(1, 3)),
            "smoker": chance.choice(["true", "false"]),
        },
        "findings": {
            "pits": pits,
            "openings": openings,
            "cavity_depth": _mm(cavity),
            "fascia_depth": _mm(cavity + chance.uniform(0.5, 15)),
        },
        "side": chance.choice(["left", "right"]),
    }
    if chance.random() < 0.7:
        data["infiltration"] = {
            "agent": "ropivacaine",
            "concentration": "2 mg/ml",
            "volume": f"{chance.randint(15, 110)} ml",
        }
    return data


def _mm(value: float) -> str:
    return f"{value:.1f} mm"
