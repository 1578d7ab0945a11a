"""What the reader gives, and what it refuses about paths and folders."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from offmidline.records import (
    Case,
    FaultsError,
    Opening,
    Pit,
    check_paths,
    load_library,
    read_case,
    read_sources,
    read_technique,
)

EVERYBODY = frozenset({"trainee", "examiner"})


def _the_fault(call, *arguments):
    with pytest.raises(FaultsError) as raised:
        call(*arguments)
    (fault,) = raised.value.faults
    return fault


def test_a_case_becomes_numbers_in_internal_units(case_text, write_case, folder):
    """mm, degrees, ml, mg/ml, kg, years and months, whatever unit was written."""
    text = case_text.replace("at: 62 mm", "at: 6.2 cm").replace("60 ml", "0.06 l")
    case = read_case(write_case(text.replace("14 months", "2 years")), folder)
    assert case.findings.pits == (
        Pit(at="62 mm", diameter="2 mm"),
        Pit(at="74 mm", diameter="3 mm"),
    )
    assert case.findings.openings[0].at == 96.0
    assert case.patient.age_years == 31.0
    assert case.patient.weight_kg == 70.0
    assert case.patient.height == 1710.0
    assert case.patient.smoker is False
    assert case.patient.asa == 2
    assert case.history is not None
    assert case.history.symptoms_months == 24.0
    assert case.infiltration is not None
    assert case.infiltration.volume_ml == 60.0
    assert case.infiltration.concentration_mg_per_ml == 2.0
    assert case.section is not None
    assert case.section.lateral_cut_deg == 45.0
    assert case.learning == ("The opening decides the side.",)


def test_only_six_keys_are_required(write_case, folder):
    """A case may be as short as this."""
    case = read_case(
        write_case(
            "case: tile-setter\ntitle: One pit\naudience: trainee\ntechnique: off-midline-flap\n"
            "patient: {age: 20 years, sex: male}\n"
            "findings:\n  pits: [{at: 60 mm, diameter: 2 mm}]\n"
            "  openings: [{at: 90 mm, lateral: 15 mm, side: right, diameter: 4 mm}]\n"
            "  cavity_depth: 10 mm\n  fascia_depth: 10 mm\n"
        ),
        folder,
    )
    assert case.flap_side == "right"
    assert (case.marking, case.closure, case.section) == (None, None, None)
    assert (case.infiltration, case.side, case.history) == (None, None, None)
    assert case.learning == ()


@pytest.mark.parametrize(
    ("given", "sides", "expected"),
    [
        (None, ["left"], "left"),
        (None, ["right", "left", "right"], "right"),
        ("left", ["right", "right"], "left"),
        ("right", [], "right"),
    ],
)
def test_the_side_is_the_one_given_or_that_of_most_openings(
    case_text, write_case, folder, given, sides, expected
):
    """What the writer says goes before what the openings say."""
    case = read_case(write_case(case_text), folder)
    openings = tuple(
        Opening(at=f"{90 + n} mm", lateral="20 mm", side=side, diameter="4 mm")
        for n, side in enumerate(sides)
    )
    findings = case.findings.model_copy(update={"openings": openings})
    assert case.model_copy(update={"side": given, "findings": findings}).flap_side == expected


def test_extent_of_the_pits_counts_their_rims(case_text, write_case, folder):
    """The disease of the midline reaches from the lowest rim of a pit to the highest."""
    findings = read_case(write_case(case_text), folder).findings
    pits = tuple(
        Pit(at=f"{at} mm", diameter=f"{diameter} mm")
        for at, diameter in ((62, 2), (60, 8), (70, 1))
    )
    assert findings.model_copy(update={"pits": pits}).midline_extent == (56.0, 70.5)


def test_records_do_not_change(case_text, write_case, folder):
    """What was read stays as it was read."""
    case = read_case(write_case(case_text), folder)
    with pytest.raises(ValueError, match="frozen"):
        setattr(case, "title", "Another")  # noqa: B010 - a type checker sees the assignment


def test_a_prescribed_marking_may_be_wrong(case_text, write_case, folder):
    """On the midline, the shift the wrong way, the other side: all that can be drawn is read."""
    text = case_text
    for old, new in [
        ("  offset: 20 mm", "  offset: 0 mm"),
        ("  caudal_shift: 10 mm", "  caudal_shift: -10 mm"),
        ("  side: left\nsection", "  side: right\nsection"),
        ("  caudal_apex: 20 mm", "  caudal_apex: -10 mm"),
    ]:
        assert old in text
        text = text.replace(old, new)
    marking = read_case(write_case(text), folder).marking
    assert marking is not None
    assert (marking.offset, marking.caudal_shift, marking.side) == (0.0, -10.0, "right")


def test_a_case_may_lie_anywhere(case_text, tmp_path, folder):
    """Technique and sources are found in the scenarios folder, the case is where it is."""
    path = tmp_path / "tile-setter.yml"
    path.write_text(case_text, encoding="utf-8")
    assert read_case(path, folder) == read_case(str(path), str(folder))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (Path.exists, "no such file"),
        (lambda path: path.mkdir(), "this is a folder"),
        (os.mkfifo, "not an ordinary file"),
        (lambda path: path.symlink_to("nowhere"), "no such file"),
        (lambda path: path.symlink_to(path.name), "cannot be read"),
    ],
)
def test_what_cannot_be_opened_is_a_fault(folder, make, words):
    """A path that is no readable file gets one fault at its beginning and is not waited for."""
    path = folder / "cases" / "tile-setter.yml"
    make(path)
    fault = _the_fault(read_case, path, folder)
    assert (fault.path, fault.line, fault.column) == (str(path), 1, 1)
    assert words in fault.message


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_permission_is_a_fault(case_text, write_case, folder):
    """The message says what to change."""
    path = write_case(case_text)
    path.chmod(0)
    assert "permissions" in _the_fault(read_case, path, folder).message


@pytest.mark.parametrize("name", ["x" * 300 + ".yml", "a\0b.yml", "a\nb.yml"])
def test_impossible_names_are_faults_on_one_line(folder, name):
    """A name that no file can have, or that breaks lines, still gives one line."""
    fault = _the_fault(read_case, folder / "cases" / name, folder)
    assert len(str(fault).splitlines()) == 1


def test_links_out_of_the_scenarios_folder_are_refused(case_text, write_case, tmp_path, folder):
    """A case or technique inside the folder must not be a door to files outside."""
    outside = tmp_path / "tile-setter.yml"
    outside.write_text(case_text, encoding="utf-8")
    inside = folder / "cases" / "tile-setter.yml"
    inside.symlink_to(outside)
    assert "leads out of the scenarios folder" in _the_fault(read_case, inside, folder).message
    inside.unlink()
    technique = folder / "techniques" / "off-midline-flap.yml"
    technique.rename(tmp_path / "off-midline-flap.yml")
    technique.symlink_to(tmp_path / "off-midline-flap.yml")
    fault = _the_fault(read_case, write_case(case_text), folder)
    assert fault.path == str(technique)
    assert "leads out" in fault.message


def test_links_inside_the_scenarios_folder_are_followed(case_text, folder):
    """A link that stays inside is as good as the file."""
    (folder / "drafts").mkdir()
    (folder / "drafts" / "tile-setter.yml").write_text(case_text, encoding="utf-8")
    link = folder / "cases" / "tile-setter.yml"
    link.symlink_to("../drafts/tile-setter.yml")
    assert read_case(link, folder).case == "tile-setter"


def test_a_folder_that_is_itself_reached_by_a_link_is_no_door(
    case_text, write_case, tmp_path, folder
):
    """What counts is where files lie, not the name by which the folder is called."""
    write_case(case_text)
    link = tmp_path / "linked"
    link.symlink_to(folder)
    assert read_case(link / "cases" / "tile-setter.yml", link).case == "tile-setter"


def test_missing_sources_are_told_once(case_text, write_case, folder):
    """A technique without its sources is one fault, not one for each source."""
    (folder / "sources.yml").unlink()
    fault = _the_fault(read_case, write_case(case_text), folder)
    assert fault.path.endswith("sources.yml")


def test_a_library_holds_the_cases_of_an_audience(case_text, write_case, folder):
    """Cases are in order of their ids; techniques and sources are by id."""
    write_case(case_text)
    write_case(case_text.replace("tile-setter", "baker"), "baker.yml")
    hidden = case_text.replace("tile-setter", "canary").replace("trainee", "examiner")
    write_case(hidden, "canary.yml")
    trainees = load_library(folder, frozenset({"trainee"}))
    assert [case.case for case in trainees.cases] == ["baker", "tile-setter"]
    assert list(trainees.techniques) == ["off-midline-flap"]
    assert trainees.sources == read_sources(folder)
    assert "canary" not in repr(trainees)
    everything = load_library(folder, EVERYBODY)
    assert [case.case for case in everything.cases] == ["baker", "canary", "tile-setter"]


def test_nothing_of_another_audiences_case_is_told(case_text, write_case, folder):
    """Not even its faults: an examiner's case may be half written while trainees read theirs."""
    write_case(case_text)
    hidden = case_text.replace("tile-setter", "canary").replace("trainee", "examiner")
    write_case(hidden.replace("62 mm", "SECRET"), "canary.yml")
    assert [case.case for case in load_library(folder, {"trainee"}).cases] == ["tile-setter"]
    with pytest.raises(FaultsError, match="SECRET"):
        load_library(folder, EVERYBODY)


@pytest.mark.parametrize("audience", ["", "audience: examinr\n", "audience: [examiner]\n"])
def test_a_case_that_hides_its_audience_is_one_fault(case_text, write_case, folder, audience):
    """Before the audience is known nothing else of the file is told."""
    text = case_text.replace("audience: trainee\n", audience).replace("62 mm", "SECRET")
    write_case(text)
    fault = _the_fault(load_library, folder, {"trainee"})
    assert "examiner or trainee" in fault.message
    assert "SECRET" not in str(fault)


def test_a_library_tells_the_faults_of_all_its_files(case_text, write_case, folder):
    """Cases, techniques, sources and what should not be there, in one run."""
    write_case(case_text.replace("62 mm", "62"))
    write_case(case_text.replace("tile-setter", "baker").replace("74 mm", "74"), "baker.yml")
    write_case(case_text, "notes.yaml")
    (folder / "cases" / "more").mkdir()
    technique = folder / "techniques" / "off-midline-flap.yml"
    technique.write_text(technique.read_text().replace("value: 20 mm", "value: 20", 1))
    with pytest.raises(FaultsError) as raised:
        load_library(folder, EVERYBODY)
    assert [Path(fault.path).name for fault in raised.value.faults] == [
        "baker.yml",
        "more",
        "notes.yaml",
        "tile-setter.yml",
        "off-midline-flap.yml",
    ]
    assert list(raised.value.faults) == check_paths([], folder)


def test_a_missing_scenarios_folder_is_one_fault(tmp_path):
    """The message names the option."""
    fault = _the_fault(load_library, tmp_path / "nowhere", EVERYBODY)
    assert "--scenarios" in fault.message
    assert check_paths([], tmp_path / "nowhere") == [fault]


def test_the_shipped_scenarios_have_no_fault(shipped):
    """Everything in the repository is read."""
    assert check_paths([], shipped) == []
    assert all(isinstance(case, Case) for case in load_library(shipped, EVERYBODY).cases)


def test_every_shipped_record_carries_the_editors_modeline(shipped):
    """Editors then check and complete while an educator writes."""
    for folder, name in (("cases", "case"), ("techniques", "technique")):
        for path in (shipped / folder).glob("*.yml"):
            first = path.read_text(encoding="utf-8").splitlines()[0]
            assert first == f"# yaml-language-server: $schema=../schema/{name}.json", path


def test_reading_needs_no_drawing_or_site_library():
    """Commands that only read start quickly."""
    code = (
        "import sys, offmidline.records\n"
        "heavy = {'matplotlib', 'mkdocs', 'shapely', 'numpy'} & set(sys.modules)\n"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_case_is_read_in_three_milliseconds(case_text, write_case, folder):
    """Best of twenty, after the imports and the first reading."""
    path = write_case(case_text)
    best = float("inf")
    for _ in range(20):
        start = time.perf_counter()
        read_case(path, folder)
        best = min(best, time.perf_counter() - start)
    assert best <= 3e-3


def test_a_changed_technique_is_read_anew(folder):
    """What is kept between readings depends on the bytes, not on the clock."""
    path = folder / "techniques" / "off-midline-flap.yml"
    assert read_technique("off-midline-flap", folder).settings.offset == 20.0
    path.write_text(path.read_text().replace("value: 20 mm", "value: 25 mm", 1))
    assert read_technique("off-midline-flap", folder).settings.offset == 25.0


@pytest.mark.parametrize("name", ["Tile-Setter.yml", "tile setter.yml", "tile.setter.yml"])
def test_a_file_name_must_be_an_id(case_text, write_case, folder, name):
    """The file's name becomes part of addresses."""
    fault = _the_fault(read_case, write_case(case_text, name), folder)
    assert (fault.line, fault.column) == (1, 1)
    assert "rename it" in fault.message


@pytest.mark.parametrize("name", ["../sources", "nothing/../off-midline-flap", "/etc/hosts", ""])
def test_a_technique_is_not_found_by_way_of_other_folders(folder, name):
    """An id is no path, and a path is not completed."""
    fault = _the_fault(read_technique, name, folder)
    assert (fault.line, fault.column) == (1, 1)
