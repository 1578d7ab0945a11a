"""The picture in the README is the real figure of a shipped case."""

from __future__ import annotations

from tests.generated import SCENARIOS

from offmidline.cli import main

EXAMPLE = SCENARIOS.parent / "handbook" / "assets" / "example-marking.svg"


def test_the_picture_in_the_readme_is_current(tmp_path):
    """`offmidline draw` makes the committed picture, byte for byte."""
    case = SCENARIOS / "cases" / "ferry-deckhand.yml"
    drawn = tmp_path / "example.svg"
    arguments = ["draw", str(case), "--view", "marking", "--theme", "light", "-o", str(drawn)]
    assert main([*arguments, "--scenarios", str(SCENARIOS)]) == 0
    assert drawn.read_bytes() == EXAMPLE.read_bytes(), (
        "draw it again: offmidline draw scenarios/cases/ferry-deckhand.yml --view marking "
        "--theme light -o handbook/assets/example-marking.svg"
    )
    assert EXAMPLE.name in (SCENARIOS.parent / "README.md").read_text("utf-8")
