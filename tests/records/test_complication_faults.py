"""What is wrong with a complication or a grading system, and where."""

from __future__ import annotations

import shutil

import pytest

from offmidline.records import FaultsError, load_library
from offmidline.records.checker import check_paths

from .conftest import SHIPPED

FOLDERS = ("complications", "evidence", "gradings")


@pytest.fixture
def scenarios(folder):
    """A scenarios folder with the shipped complications, gradings and evidence."""
    for name in FOLDERS:
        shutil.copytree(SHIPPED / name, folder / name, dirs_exist_ok=True)
    return folder


@pytest.fixture
def spoil(scenarios):
    """Replace a text once in a file of the folder; gives what is then said of the file."""

    def change(name: str, old: str, new: str) -> list[str]:
        path = scenarios / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        start = f"{path}:"
        faults = [str(fault) for fault in check_paths([path], scenarios)]
        assert all(fault.startswith(start) for fault in faults)
        return [fault.removeprefix(start) for fault in faults]

    return change


def test_the_shipped_ones_have_no_fault(scenarios):
    """Every file of the three folders, and everything that the files name."""
    assert check_paths([scenarios / name for name in FOLDERS[::2]], scenarios) == []
    library = load_library(scenarios, ())
    assert len(library.complications) == 12
    assert len(library.gradings) == 5


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("to: 21 days", "to: 3 days", "4:28: to: the window ends before it begins"),
        ("from: 3 days", "from: 3", "4:16: from: 3 has no unit: write for example 3 months"),
        ("to: 21 days", "to: 21 mm", "4:28: to: 21 mm is a length, and a duration is due"),
        ("sign: swelling", "sign: sweling", "6:12: sign: sweling is not one of the words"),
        ("sign: fluctuance", "sign: swelling", "7:12: sign: swelling is given twice"),
        ("recurrent-kf-92.fluid", "recurrent-kf-92.fliud", "did you mean recurrent-kf-92.fluid?"),
        ("system: clavien-dindo", "system: clavien", "there is no clavien in the gradings folder"),
        ("grade: I,", "grade: VI,", "clavien-dindo has no grade VI"),
        ("[gurer-2005, milone-2011]", "[gurer-2006]", "there is no gurer-2006 in sources.yml"),
        ("factor: no-drain", "factor: drain", "factor: drain is not one of the words"),
        ("complication: seroma", "complication: serum", "the id serum is not the file's name"),
        ("normal:", "nromal:", "the key nromal is not known: did you mean normal?"),
    ],
)
def test_a_fault_of_a_complication_is_found_where_it_is(spoil, old, new, fault):
    """One slip, its place, and what would be right."""
    assert any(fault in said for said in spoil("complications/seroma.yml", old, new))


def test_a_sourced_factor_names_its_source(spoil):
    """What is sourced has a source."""
    faults = spoil("complications/partial-dehiscence.yml", "    source: [kf-risk-2016]\n", "")
    assert len(faults) == 1
    assert "is sourced, but names no source" in faults[0]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("next: organs", "next: organ", "there is no question organ"),
        ("next: organs", "grade: VI", "clavien-dindo has no grade VI"),
        ('title: "No", next: organs', 'title: "No"', "an answer leads to one thing"),
        ("next: organs", "next: organs, grade: V", "an answer leads to one thing"),
        ("next: procedure", "next: death", "next: death has been asked on this way already"),
        ("grade: IVb}", "grade: IVa}", "no answer leads to IVb"),
        ("next: procedure", "grade: I", "no answer leads to procedure"),
        ("start: death", "start: birth", "there is no question birth"),
        ("start: death\n", "", "start is missing"),
        ("question: organs", "question: death", "question: death is given twice"),
    ],
)
def test_a_fault_of_a_tree_is_found(spoil, old, new, fault):
    """Every way ends in a grade, in no circle, and nothing lies off every way."""
    assert any(fault in said for said in spoil("gradings/clavien-dindo.yml", old, new))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("from: 11", "from: 12", "begin this one at 11"),
        ("from: 0, to: 10", "from: 1, to: 10", "begin this one at 0"),
        ("from: 41,", "from: 41, to: 150,", "the last band must reach 190"),
        ("from: 41,", "from: 191,", "begin this one at 41"),
        ("from: 0, to: 10", "from: 10, to: 0", "this band holds no sum"),
        ("from: 31, to: 40", "from: 31", "this one at"),
        ("days: 5", "days: 0", "days: 0 is out of range"),
        ("points: 1}", "points: one}", "points: one is not a whole number"),
    ],
)
def test_a_fault_of_bands_is_found(spoil, old, new, fault):
    """The bands hold every sum once, from 0 to the most points there can be."""
    assert any(fault in said for said in spoil("gradings/asepsis.yml", old, new))


def test_a_system_has_questions_or_parts(spoil):
    """One of the two, not both and not none."""
    both = "questions:\n  - question: a\n    ask: A?\n    answers:\n"
    both += "      - {answer: b, title: B, grade: C}\n      - {answer: d, title: D, grade: C}\n"
    faults = spoil("gradings/asepsis.yml", "parts:\n", f"{both}parts:\n")
    assert any("either `questions`" in fault for fault in faults)


def test_the_folders_may_be_missing(folder):
    """A project without complications and gradings is whole."""
    library = load_library(folder, ())
    assert dict(library.complications) == {}
    assert dict(library.gradings) == {}


def test_a_library_with_a_fault_is_refused(scenarios):
    """The faults of complications and gradings are among those of the library."""
    path = scenarios / "complications" / "seroma.yml"
    path.write_text(path.read_text("utf-8").replace("to: 21 days", "to: 1 day"), encoding="utf-8")
    with pytest.raises(FaultsError, match="the window ends before it begins"):
        load_library(scenarios, ())


def test_the_kind_is_known_by_the_keys(scenarios, tmp_path):
    """A complication or a grading outside its folder is checked as what it is."""
    for name, key in (("complications/seroma", "complication"), ("gradings/asepsis", "grading")):
        path = tmp_path / "elsewhere.yml"
        shutil.copy(scenarios / f"{name}.yml", path)
        faults = [str(fault) for fault in check_paths([path], scenarios)]
        assert len(faults) == 1
        assert f"{key}: the id" in faults[0]
