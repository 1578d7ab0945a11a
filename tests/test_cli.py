"""The commands as a user types them."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from tests.generated import SCENARIOS

from offmidline.cli import main

CASES = sorted((SCENARIOS / "cases").glob("*.yml"))
FAULT = re.compile(r"^(?P<file>.+):(?P<line>\d+):(?P<column>\d+): (?P<message>.+)$")


def measure(case: Path, capsys: pytest.CaptureFixture[str]) -> dict:
    """What `offmidline measure CASE --format json` prints, read back."""
    assert main(["measure", str(case), "--format", "json", "--scenarios", str(SCENARIOS)]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    measured: dict = json.loads(printed.out)
    return measured


@pytest.mark.parametrize("case", CASES, ids=lambda path: path.stem)
def test_every_shipped_case_can_be_measured(case, capsys):
    """Each case gives an object with its own id and the technique it names."""
    measured = measure(case, capsys)
    assert measured["case"] == case.stem
    assert measured["technique"] == "off-midline-flap"


def test_the_shipped_cases_show_what_they_promise(capsys):
    """Both sides, one left alone, none possible, near fascia, overdose, two mistakes."""
    measured = {case.stem: measure(case, capsys) for case in CASES}

    def broken(name: str) -> set[str]:
        return {r["rule"] for r in measured[name]["rules"] if r["verdict"] == "not met"}

    assert {m["side"] for m in measured.values()} == {"left", "right"}
    assert {o["side"] for o in measured["tram-driver"]["openings"]} == {"left", "right"}
    assert "leave" in {o["decision"] for o in measured["beekeeper"]["openings"]}
    assert measured["rowing-coach"]["outline"] is None
    assert {c["constraint"] for c in measured["rowing-coach"]["conflicts"]} >= {
        "pit_margin",
        "verge_clearance",
    }
    assert measured["quarry-mechanic"]["trough"]["depth"] == 28.0
    assert measured["bookbinder"]["infiltration"]["limited_by"] == "per_kg"
    assert broken("bookbinder") == {"infiltration-dose"}
    assert broken("glazier") == {"caudal-shift", "deep-spacing"}
    others = set(measured) - {"bookbinder", "glazier", "rowing-coach"}
    assert all(not broken(name) for name in others)


def test_a_case_may_lie_anywhere(tmp_path, capsys):
    """A case outside the scenarios folder finds its technique in that folder."""
    case = shutil.copy(CASES[0], tmp_path)
    assert measure(Path(case), capsys)["case"] == CASES[0].stem


def test_the_text_report_names_every_rule_and_carries_the_caution(capsys):
    """Without a format the measures are printed for a reader, with the caution below."""
    case = SCENARIOS / "cases" / "ferry-deckhand.yml"
    assert main(["measure", str(case), "--scenarios", str(SCENARIOS)]) == 0
    printed = capsys.readouterr().out
    assert "met: pits-covered" in printed
    assert "not applicable: distant-openings-left" in printed
    assert "Not for planning an operation on a patient" in printed


@pytest.mark.parametrize("command", ["measure", "draw"])
def test_a_bad_case_is_refused_with_its_places(command, tmp_path, capsys):
    """Measure and draw report all faults of a file as check does, exit 1, and write nothing."""
    text = (SCENARIOS / "cases" / "ferry-deckhand.yml").read_text(encoding="utf-8")
    bad = tmp_path / "ferry-deckhand.yml"
    bad.write_text(text.replace("82 kg", "82").replace("14 mm", "14 kg"), encoding="utf-8")
    drawn = tmp_path / "out.svg"
    arguments = [command, str(bad), "--scenarios", str(SCENARIOS)]
    if command == "draw":
        arguments += ["--view", "marking", "-o", str(drawn)]
    assert main(arguments) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    faults = [FAULT.match(line) for line in printed.err.splitlines()]
    assert all(faults)
    assert len(faults) == 2
    assert not drawn.exists()


@pytest.mark.parametrize(
    "name", ["missing.yml", ".", "../nothing/here.yml"], ids=["missing", "folder", "elsewhere"]
)
def test_what_cannot_be_read_is_a_fault_not_a_traceback(name, tmp_path, capsys):
    """A missing file or a folder in the place of a case is one located fault."""
    assert main(["measure", str(tmp_path / name), "--scenarios", str(SCENARIOS)]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert FAULT.match(lines[0])


def test_a_reader_that_goes_away_is_no_traceback():
    """`offmidline measure ... | head -0` ends quietly."""
    command = [sys.executable, "-m", "offmidline", "measure", str(CASES[0])]
    command += ["--format", "json", "--scenarios", str(SCENARIOS)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()


def test_measuring_imports_no_drawing_and_no_site():
    """The command stays quick: neither matplotlib nor mkdocs is loaded for numbers."""
    code = (
        "import sys\nfrom offmidline.cli import main\n"
        f"main(['measure', {str(CASES[0])!r}, '--scenarios', {str(SCENARIOS)!r}])\n"
        "loaded = {'matplotlib', 'mkdocs'} & set(sys.modules)\nassert not loaded, loaded\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
