"""A scenarios folder to spoil, and one case that uses every key."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

SHIPPED = Path(__file__).parents[2] / "scenarios"
TECHNIQUE = "techniques/off-midline-flap.yml"

CASE = """\
case: tile-setter
title: Two pits and an opening
audience: trainee
technique: off-midline-flap
patient:
  age: 31 years
  sex: female
  weight: 70 kg
  height: 171 cm
  asa: 2
  smoker: false
  occupation: tile setter
history: {symptoms: 14 months, drained: 1, excised: 0}
findings:
  pits:
    - {at: 62 mm, diameter: 2 mm}
    - {at: 74 mm, diameter: 3 mm}
  openings:
    - {at: 96 mm, lateral: 22 mm, side: left, diameter: 5 mm}
  cavity_depth: 14 mm
  fascia_depth: 24 mm
side: left
marking:
  cranial_apex: 130 mm
  caudal_apex: 20 mm
  reach: 5 mm
  offset: 20 mm
  caudal_shift: 10 mm
  side: left
section: {lateral_cut: 45 deg, medial_cut: 90 deg,
          depth: 16 mm, flap_thickness: 10 mm, undermining: 20 mm}
closure: {deep_stitches: 9}
infiltration: {agent: ropivacaine, concentration: 2 mg/ml, volume: 60 ml}
learning:
  - The opening decides the side.
teaching_notes: Ask for the side first.
"""


@pytest.fixture(scope="session")
def shipped() -> Path:
    """The scenarios folder of the repository."""
    return SHIPPED


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A scenarios folder with the shipped technique and sources and no case."""
    scenarios = tmp_path / "scenarios"
    (scenarios / "techniques").mkdir(parents=True)
    (scenarios / "cases").mkdir()
    for name in (TECHNIQUE, "sources.yml"):
        shutil.copy(SHIPPED / name, scenarios / name)
    return scenarios


@pytest.fixture
def case_text() -> str:
    """A case without fault that uses every key."""
    return CASE


@pytest.fixture
def write_case(folder: Path):
    """Write a case into the folder; gives its path."""

    def write(text: str | bytes, name: str = "tile-setter.yml") -> Path:
        path = folder / "cases" / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write
