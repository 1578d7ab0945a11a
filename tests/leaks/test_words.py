"""Which words examiners' records are known by."""

from __future__ import annotations

from pathlib import Path

import pytest

from offmidline.cli import main
from offmidline.leaks.words import LEAST, secret_words, words_in
from offmidline.records import FaultsError

CASE = """\
case: {name}
title: {title}
audience: {audience}
technique: off-midline-flap
patient: {{age: 33 years, sex: female, occupation: keeper of a lighthouse}}
findings:
  pits: [{{at: 61.371 mm, diameter: 2 mm}}]
  cavity_depth: 14 mm
  fascia_depth: 24 mm
side: left
teaching_notes: First of the notes. A second sentence in them.
"""


@pytest.fixture
def scenarios(tmp_path: Path) -> Path:
    """A folder with an examiner's case, a trainees' case of the same occupation, and a paper."""
    for name in ("cases", "papers", "techniques"):
        (tmp_path / name).mkdir()
    write(tmp_path, "lathe", "examiner", "A pit below the coccyx")
    write(tmp_path, "harbour-pilot", "trainee", "Something that everybody reads")
    (tmp_path / "techniques" / "a.yml").write_text("technique: a\nwhy: Public knowledge of it\n")
    (tmp_path / "papers" / "winter-paper.yml").write_text(
        "paper: winter-paper\ntitle: Public knowledge of it\nseed: a seed of winter\n"
    )
    return tmp_path


def write(scenarios: Path, name: str, audience: str, title: str) -> Path:
    """Put a case into the folder."""
    path = scenarios / "cases" / f"{name}.yml"
    path.write_text(CASE.format(name=name, audience=audience, title=title))
    return path


def texts(scenarios: Path, audience: str = "trainee") -> set[str]:
    """What is looked for."""
    return {word.text for word in secret_words(scenarios, audience)}


def test_texts_are_looked_for_sentence_by_sentence(scenarios: Path) -> None:
    """Titles, notes, ids and seeds of what is hidden, and none of what a trainee reads anyway."""
    found = texts(scenarios)
    assert {"A pit below the coccyx", "First of the notes.", "A second sentence in them."} <= found
    assert {"winter-paper", "a seed of winter"} <= found
    assert "Something that everybody reads" not in found
    assert "keeper of a lighthouse" not in found
    assert "Public knowledge of it" not in found
    assert "61.371 mm" not in found


def test_an_id_that_is_an_ordinary_word_is_known_by_its_addresses(scenarios: Path) -> None:
    """Alone it would be found everywhere, or is too short to tell anything."""
    assert len("lathe") < LEAST
    assert "lathe" not in texts(scenarios)
    assert {"cases/lathe.", "figure-lathe-"} <= texts(scenarios)


def test_notes_to_trainees_cases_are_kept_from_trainees_alone(scenarios: Path) -> None:
    """An educators' build may hold them."""
    (scenarios / "cases" / "lathe.yml").unlink()
    assert "First of the notes." in texts(scenarios, "trainee")
    assert "First of the notes." not in texts(scenarios, "educator")


@pytest.mark.parametrize("audience", ["", "everybody", "Trainee"])
def test_a_case_for_nobody_known_counts_as_hidden(scenarios: Path, audience: str) -> None:
    """A slip in that word must not make a case one that is not looked for."""
    write(scenarios, "harbour-pilot", audience, "Something that everybody reads")
    assert {"harbour-pilot", "Something that everybody reads"} <= texts(scenarios)


def test_a_hidden_record_that_cannot_be_read_is_a_fault(
    scenarios: Path, tmp_path_factory: pytest.TempPathFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its words are unknown, so nothing can be said of a folder."""
    (scenarios / "papers" / "winter-paper.yml").write_text("paper: [winter\n")
    with pytest.raises(FaultsError, match=r"winter-paper\.yml:\d"):
        secret_words(scenarios, "trainee")
    folder = str(tmp_path_factory.mktemp("site"))
    assert main(["leaks", folder, "--scenarios", str(scenarios)]) == 1
    said = capsys.readouterr()
    assert "winter-paper.yml" in said.err
    assert said.out == ""


def test_further_words_are_read_one_a_line(tmp_path: Path) -> None:
    """Numbers and short words are looked for as they are written."""
    path = tmp_path / "words.txt"
    path.write_text("a canary of mine\n\n 61.371 \nkey B\n")
    words = words_in(path)
    assert [(word.text, word.exact) for word in words] == [
        ("a canary of mine", False),
        ("61.371", True),
        ("key B", True),
    ]
    assert words[1].origin == f"{path}:3"


def test_a_folder_that_is_not_there_is_a_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is no clean build."""
    assert main(["leaks", str(tmp_path / "nowhere")]) == 1
    assert "there is no such folder" in capsys.readouterr().err
