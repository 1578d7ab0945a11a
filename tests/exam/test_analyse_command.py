"""From a paper's id and a file of answers to the report."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest
from tests.generated import SCENARIOS

from offmidline.cli import main
from offmidline.exam.form import Form
from offmidline.exam.letters import LETTERS
from offmidline.exam.papers import assembled
from offmidline.items.item import Item
from offmidline.records import AUDIENCES, load_library

SECRET = b"sixteen bytes or more, drawn by chance"
# A paper of a choice, a number and an order.
PAPER = """
paper: small
title: A small paper
technique: off-midline-flap
duration: 5 minutes
seed: small
forms: [A, B]
cases: [ceramics-student]
blueprint:
  - {topic: grading, kind: choice, number: 1}
  - {topic: infiltration, kind: numeric, number: 1}
  - {topic: preparation, kind: order, number: 1}
"""


@pytest.fixture(scope="module")
def scenarios(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped scenarios with that paper."""
    folder = tmp_path_factory.mktemp("project") / "scenarios"
    shutil.copytree(SCENARIOS, folder)
    (folder / "papers" / "small.yml").write_text(PAPER, encoding="utf-8")
    return folder


def forms(scenarios: Path, secret: bytes | None) -> Sequence[Form]:
    """The forms of the paper."""
    return assembled("small", load_library(scenarios, AUDIENCES), scenarios, secret)


def key(item: Item) -> str:
    """The right answer as a candidate writes it."""
    if item.numeric is not None:
        return f"{item.numeric.value:.{item.numeric.decimals}f}"
    if item.kind == "order":
        return "".join(LETTERS[item.shown.index(at)] for at in range(len(item.options)))
    return LETTERS[item.key]


def answers(folder: Path, sat: Sequence[Form]) -> Path:
    """A file in which one candidate of each form knows all, and one knows nothing."""
    questions = [f"Q{number}" for number in range(1, len(sat[0].items) + 1)]
    path = folder / "answers.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["candidate", "form", *questions])
        for form in sat:
            writer.writerow([f"all-{form.form}", form.form, *map(key, form.items)])
            writer.writerow([f"none-{form.form}", form.form, *([""] * len(questions))])
    return path


def scores(folder: Path) -> dict[str, float]:
    """Per cent of each candidate."""
    with (folder / "scores.csv").open(encoding="utf-8", newline="") as file:
        return {row["candidate"]: float(row["percent"]) for row in csv.DictReader(file)}


def analyse(scenarios: Path, path: Path, out: Path, *more: str) -> int:
    """Run the command."""
    options = ["--paper", "small", "-o", str(out), "--scenarios", str(scenarios), *more]
    return main(["analyse", str(path), *options])


def test_the_key_of_a_real_paper_scores_all(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the seed that it was made with; without it, the numbers are said to be a specimen's."""
    seed = tmp_path / "seed"
    seed.write_bytes(SECRET)
    path = answers(tmp_path, forms(scenarios, SECRET))
    assert analyse(scenarios, path, tmp_path / "real", "--seed-file", str(seed)) == 0
    assert capsys.readouterr().err == ""
    full = {"all-A": 100.0, "none-A": 0.0, "all-B": 100.0, "none-B": 0.0}
    assert scores(tmp_path / "real") == full
    path = answers(tmp_path, forms(scenarios, None))
    assert analyse(scenarios, path, tmp_path / "specimen") == 0
    assert "--seed-file" in capsys.readouterr().err
    assert scores(tmp_path / "specimen") == full
    told = [
        (tmp_path / name / "report.html").read_text(encoding="utf-8")
        for name in ("real", "specimen")
    ]
    assert ["--seed-file" in text for text in told] == [False, True]


def test_faults_leave_nothing_behind(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that is missing, an answer that cannot be: exit 1, no folder."""
    out = tmp_path / "out"
    path = tmp_path / "answers.csv"
    assert analyse(scenarios, path, out) == 1
    assert "answers.csv:1:1" in capsys.readouterr().err
    path.write_text("candidate,form,Q1\n1,Z,A\n", encoding="utf-8")
    assert analyse(scenarios, path, out) == 1
    assert "Q2 is missing" in capsys.readouterr().err
    assert not out.exists()
