"""The command that prints the items of a case, as a user types it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest
from tests.generated import SCENARIOS

from offmidline.cli import main

CASE = SCENARIOS / "cases" / "ferry-deckhand.yml"


def arguments(*more: str) -> list[str]:
    """The command's arguments for one case."""
    return ["items", str(CASE), "--scenarios", str(SCENARIOS), *more]


def printed(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    """What the command prints; nothing else may be said."""
    assert main(arguments(*more)) == 0
    out = capsys.readouterr()
    assert out.err == ""
    return out.out


def test_json_holds_every_item_with_its_id_and_from_what_it_was_made(capsys):
    """A program reads items: ids are unique, one option is right, provenance names the case."""
    items = json.loads(printed(capsys, "--seed", "3", "--format", "json"))
    assert len({item["id"] for item in items}) == len(items) > 0
    for item in items:
        assert item["provenance"]["case"] == "ferry-deckhand"
        if item["kind"] in ("choice", "drawing", "fault"):
            assert sum(option["mistake"] == "" for option in item["options"]) == 1
            wrong = [o["mistake"] for o in item["options"] if o["mistake"]]
            assert item["provenance"]["mistakes"] == wrong


def test_text_shows_the_lead_in_and_marks_the_key(capsys):
    """A reader gets what the JSON holds: the lead-in, every option, a star before the key."""
    chosen = ("--seed", "3", "--model", "pause-point")
    text = printed(capsys, *chosen)
    (item,) = json.loads(printed(capsys, *chosen, "--format", "json"))
    assert item["lead_in"] in text
    assert item["id"] in text
    (key,) = (option["text"] for option in item["options"] if not option["mistake"])
    assert re.findall(r"^  \* (.+)$", text, re.MULTILINE) == [key]
    assert all(option["text"] in text for option in item["options"])


def test_an_unknown_model_is_a_fault_that_names_the_known_ones(capsys):
    """Exit 1, nothing printed, one line on stderr in the form of every fault."""
    assert main(arguments("--model", "no-such-model")) == 1
    out = capsys.readouterr()
    assert out.out == ""
    assert re.fullmatch(r"--model:1:1: .*no-such-model.*pause-point.*\n", out.err)


def test_a_missing_case_is_a_fault(capsys):
    """A file that is not there is told with its name."""
    missing = str(SCENARIOS / "cases" / "nobody.yml")
    assert main(["items", missing, "--scenarios", str(SCENARIOS)]) == 1
    assert "nobody.yml" in capsys.readouterr().err


def test_another_seed_asks_otherwise(capsys):
    """The seed decides what is drawn, so two seeds do not give the same set of items."""
    assert printed(capsys, "--seed", "3") != printed(capsys, "--seed", "4")


def test_two_processes_print_the_same_bytes():
    """The same seed gives the same items on every machine: no hash of a process plays a part."""
    command = [sys.executable, "-m", "offmidline", *arguments("--seed", "3", "--format", "json")]
    runs = [
        subprocess.run(
            command,
            env={**os.environ, "PYTHONHASHSEED": hash_seed},
            capture_output=True,
            check=True,
            timeout=120,
        )
        for hash_seed in ("1", "2")
    ]
    assert runs[0].stdout == runs[1].stdout != b""
