"""No byte that a trainee or an educator gets comes from what is an examiner's: the gate.

Every text field of an examiner's case and of a paper holds a mark of its own. The scanner looks
for all of them in each edition, and is shown to find each, wherever it might get in.
"""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from tests.leaks.wrappings import WRAPPINGS

from offmidline.cli import main
from offmidline.exam.assemble import forms_of
from offmidline.leaks.item_words import item_words
from offmidline.leaks.scan import Leak, Search, scan_file, scan_tree
from offmidline.leaks.words import Word, secret_words
from offmidline.records import load_library

from .conftest import Project, small_project

pytestmark = pytest.mark.site

EXAMINERS_CASE = """\
case: canary-case-file
title: Canarytitle of the case
audience: examiner
technique: off-midline-flap
patient: {age: 33 years, sex: female, weight: 71.317 kg, occupation: canaryoccupation}
findings:
  pits: [{at: 61.371 mm, diameter: 2 mm}]
  openings: [{at: 87.137 mm, lateral: 21.713 mm, side: right, diameter: 4 mm}]
  cavity_depth: 14 mm
  fascia_depth: 24 mm
learning: [Canarylearning of the case]
teaching_notes: Canarynotes of the case. Canaryending of the notes.
"""
PAPER = """\
paper: canary-paper-file
title: Canarytitle of the paper
technique: off-midline-flap
duration: 45 minutes
seed: canaryseed
forms: [A]
cases: [canary-case-file]
blueprint: [{topic: marking, kind: numeric, number: 1}]
history: [{sitting: Canarysitting, model: length-needed, candidates: 20, right: 11}]
"""
TRAINEES_NOTES = "teaching_notes: Canarynotes of a case for trainees.\n"
CASE_MARKS = frozenset(
    {
        "canary-case-file",
        "Canarytitle of the case",
        "canaryoccupation",
        "Canarylearning of the case",
        "Canarynotes of the case.",
        "Canaryending of the notes.",
    }
)
PAPER_MARKS = frozenset(
    {"canary-paper-file", "Canarytitle of the paper", "canaryseed", "Canarysitting"}
)
NUMBERS = ("61.371", "71.317", "87.137", "21.713")
AUDIENCES = ("trainee", "educator", "examiner")
CONTENTS = (
    "- index.md\n- marking.md\n- Values: techniques/\n- Checklists: checklists/\n- Cases: cases/\n"
    "- Exercises: exercises/\n- Self-test: selftest/\n- papers/\n- sources.md\n"
)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Project:
    """A small project with an examiner's case, a paper, and notes to a trainees' case."""
    made = small_project(tmp_path_factory.mktemp("gate"))
    made.write_case("canary-case-file", EXAMINERS_CASE)
    plain = (made.cases / "plain.yml").read_text("utf-8")
    made.write_case("plain", plain + TRAINEES_NOTES)
    papers = made.scenarios / "papers"
    papers.mkdir()
    (papers / "canary-paper-file.yml").write_text(PAPER, "utf-8")
    (made.handbook / "contents.yml").write_text(CONTENTS, "utf-8")
    (made.handbook / "marking.md").write_text("# Marking\n\nText.\n", "utf-8")
    return made


@pytest.fixture(scope="module")
def editions(project: Project) -> Mapping[str, Path]:
    """The site of every audience, built from the same files one after the other."""
    return {name: project.build(f"site-{name}", audience=name) for name in AUDIENCES}


@pytest.fixture(scope="module")
def words(project: Project) -> tuple[Word, ...]:
    """What trainees may not find: texts, ids of items, and the numbers of the case."""
    numbers = (Word(text, "number", exact=True) for text in NUMBERS)
    texts = secret_words(project.scenarios, "trainee")
    return (*texts, *item_words(project.scenarios, None), *numbers)


def found(leaks: list[Leak]) -> set[str]:
    """The texts of the words that were found."""
    assert all(leak.word is not None for leak in leaks), "all can be looked into"
    return {leak.word.text for leak in leaks if leak.word is not None}


def test_every_mark_is_looked_for(words: tuple[Word, ...]) -> None:
    """Each text field's, those of names and of notes to trainees' cases, and ids of items."""
    texts = {word.text for word in words}
    assert texts >= CASE_MARKS | PAPER_MARKS | {"Canarynotes of a case for trainees."}
    idents = {text for text in texts if re.fullmatch(r"[0-9a-f]{12,16}", text)}
    assert len(idents) > 50


def test_a_trainees_site_holds_nothing(
    project: Project, editions: Mapping[str, Path], words: tuple[Word, ...]
) -> None:
    """Neither its files nor what was kept for the next build."""
    for folder in (editions["trainee"], project.cache / "trainee"):
        count, leaks = scan_tree(folder, Search(words))
        assert count > 5
        assert leaks == []


def test_an_educators_site_holds_notes_and_nothing_of_examiners(
    project: Project, editions: Mapping[str, Path], words: tuple[Word, ...]
) -> None:
    """The notes to a trainees' case, and its model answers; no word of an examiners' record."""
    for folder in (editions["educator"], project.cache / "educator"):
        _, leaks = scan_tree(folder, Search(words))
        assert found(leaks) == {"Canarynotes of a case for trainees."}
    page = (editions["educator"] / "cases" / "plain.html").read_text("utf-8")
    assert 'id="model-answers"' in page
    trainees = (editions["trainee"] / "cases" / "plain.html").read_text("utf-8")
    assert "model-answers" not in trainees


def test_an_examiners_site_holds_the_case(
    editions: Mapping[str, Path], words: tuple[Word, ...]
) -> None:
    """Without which the silence about the others would mean nothing."""
    _, leaks = scan_tree(editions["examiner"], Search(words))
    assert found(leaks) >= CASE_MARKS | {"Canarynotes of a case for trainees.", *NUMBERS[:2]}
    assert "papers/canary-paper-file/" in found(leaks)
    paths = {leak.path for leak in leaks}
    assert {"cases/canary-case-file.html", "search/search_index.json"} <= paths


def test_an_examiners_site_holds_the_paper_and_its_key(
    project: Project, editions: Mapping[str, Path], words: tuple[Word, ...]
) -> None:
    """Every mark of the paper, and the id of each of its questions beside the key."""
    library = load_library(project.scenarios, {"trainee", "examiner"})
    (form,) = forms_of(library.papers["canary-paper-file"], library, None)
    key = {item.ident for item in form.items}
    _, leaks = scan_tree(editions["examiner"] / "papers", Search(words))
    assert found(leaks) >= PAPER_MARKS | key
    pages = {leak.path for leak in leaks if leak.word is not None and leak.word.text in key}
    assert pages == {"canary-paper-file/a.html"}
    for audience in ("trainee", "educator"):
        assert not (editions[audience] / "papers").exists()


@pytest.mark.parametrize("name", WRAPPINGS)
def test_every_mark_would_be_found(name: str, words: tuple[Word, ...]) -> None:
    """In each wrapping in which it might get into a site."""
    search = Search(words)
    for text in sorted(CASE_MARKS | PAPER_MARKS):
        leaks = list(scan_file("file", WRAPPINGS[name](text), search))
        assert text in found(leaks)


def test_a_mark_in_a_built_site_would_be_found(
    tmp_path: Path, editions: Mapping[str, Path], words: tuple[Word, ...]
) -> None:
    """In the files that a generator writes by itself, beside all that rightly stands there."""
    site = editions["trainee"]
    planted = {
        "sitemap.xml": (site / "sitemap.xml").read_bytes() + b"<!-- cases/canary-case-file -->",
        "sitemap.xml.gz": gzip.compress(
            gzip.decompress((site / "sitemap.xml.gz").read_bytes()) + b"canary-case-file"
        ),
        "index.html": (site / "index.html")
        .read_bytes()
        .replace(b"<p", b'<p data-case="canary&#45;case&#45;file"', 1),
    }
    index = json.loads((site / "search" / "search_index.json").read_text("utf-8"))
    index["docs"][0]["text"] += " canary-case-file"
    planted["search_index.json"] = json.dumps(index).encode()
    for name, data in planted.items():
        (tmp_path / name).write_bytes(data)
    _, leaks = scan_tree(tmp_path, Search(words))
    assert {leak.path for leak in leaks} == set(planted)


def test_the_command_tells_leaks_and_is_silent_about_their_words(
    project: Project, editions: Mapping[str, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """It exits with 1 and names file, origin and way, with 0 and a count where there is none."""
    scenarios = ["--scenarios", str(project.scenarios)]
    assert main(["leaks", str(editions["trainee"]), *scenarios]) == 0
    assert "files hold none of" in capsys.readouterr().out
    assert main(["leaks", str(editions["educator"]), *scenarios]) == 1
    lines = capsys.readouterr().out.splitlines()
    page = editions["educator"] / "cases" / "plain.html"
    origin = f"{project.cases / 'plain.yml'}:12:17: teaching_notes"
    assert f"{page}: {origin}, as it stands" in lines
    assert not any("Canarynotes" in line for line in lines)


def test_no_audience_is_built_over_another(
    project: Project, editions: Mapping[str, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither by MkDocs nor by the command, not even in a folder inside; nothing is touched."""
    from mkdocs.exceptions import Abort, BuildError

    before = sorted(editions["examiner"].rglob("*"))
    with pytest.raises((Abort, BuildError)):
        project.build("site-examiner", audience="trainee")
    target = editions["examiner"] / "inside"
    options = ["--scenarios", str(project.scenarios), "--handbook", str(project.handbook)]
    assert main(["write", str(target), *options]) == 1
    assert "this is a build for examiners" in capsys.readouterr().err
    assert sorted(editions["examiner"].rglob("*")) == before
    assert (editions["trainee"] / "audience.txt").read_text("utf-8") == "trainee\n"
