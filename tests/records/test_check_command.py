"""`offmidline check` and `offmidline schema` as a user meets them: streams and exit status."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from offmidline import cli

FAULT = re.compile(r"^(?P<path>.+?):(?P<line>[1-9][0-9]*):(?P<column>[1-9][0-9]*): (?P<text>.+)$")


@pytest.fixture
def run(capsys, folder):
    """Run the command on the folder; gives exit status, lines of output, lines of error."""

    def command(*arguments):
        status = cli.main([*map(str, arguments), "--scenarios", str(folder)])
        out, err = capsys.readouterr()
        return status, out.splitlines(), err.splitlines()

    return command


def _program(*arguments, **options):
    return subprocess.run(
        [sys.executable, "-m", "offmidline", *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        **options,
    )


def test_no_path_checks_the_scenarios_folder(run, case_text, write_case):
    """One line with the number of files, and status 0."""
    write_case(case_text)
    assert run("check") == (0, ["files checked: 3, no faults"], [])


def test_faults_go_to_the_error_stream_one_to_a_line(run, case_text, write_case):
    """`file:line:column: text` for each, status 1, nothing on the output."""
    path = write_case(case_text.replace("62 mm", "62").replace("at: 74 mm", 'at: "74\\nmm x"'))
    status, out, err = run("check")
    assert (status, out) == (1, [])
    found = [FAULT.match(line) for line in err]
    assert [(m["path"], m["line"], m["column"]) for m in found if m] == [
        (str(path), "16", "12"),
        (str(path), "17", "12"),
    ]


def test_paths_may_be_files_and_folders(run, case_text, write_case, tmp_path, folder):
    """A folder stands for all its .yml files, however deep; each file is checked once."""
    case = write_case(case_text)
    deep = tmp_path / "more" / "deeper"
    deep.mkdir(parents=True)
    (deep / "tile-setter.yml").write_text(case_text, encoding="utf-8")
    assert run("check", case)[1] == ["files checked: 1, no faults"]
    assert run("check", tmp_path / "more")[1] == ["files checked: 1, no faults"]
    assert run("check", case, folder, folder / "cases")[1] == ["files checked: 3, no faults"]
    (deep / "tile-setter.yml").write_text(case_text.replace("62 mm", "62"), encoding="utf-8")
    assert run("check", tmp_path / "more")[0] == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("case: other\npatient: {age: 3}\n", "age: 3 has no unit"),
        ("findings: {}\npatient: {}\n", "pits is missing"),
        ("dimensions: {}\noperation: x\n", "offset is missing"),
        ("- id: x\n", "known is missing"),
        ("hello: there\n", "neither a case, a technique nor a list of sources"),
        ("hello: [\n", "bracket"),
    ],
)
def test_the_kind_of_a_file_is_told_by_its_content(run, tmp_path, text, words):
    """A file outside the known folders is what its keys make it."""
    path = tmp_path / "other.yml"
    path.write_text(text, encoding="utf-8")
    status, _, err = run("check", path)
    assert status == 1
    assert any(words in line for line in err), err


@pytest.mark.parametrize("name", ["a.yaml", "a.YML", "a.txt", "a", "a.yml~"])
def test_other_endings_are_faults(run, case_text, write_case, name):
    """What would be overlooked for its ending is told, in the folder and by name."""
    write_case(case_text)
    path = write_case(case_text, name)
    for arguments in (["check"], ["check", path], ["check", path.parent]):
        status, _, err = run(*arguments)
        assert (status, len(err)) == (1, 1), err
        assert err[0].startswith(f"{path}:1:1: ")
        assert ".yml" in err[0]


def test_hidden_files_are_left_alone(run, case_text, write_case):
    """What editors and systems leave behind is nobody's record."""
    write_case(case_text)
    write_case(b"\x00", ".DS_Store")
    write_case(b"\x00", ".tile-setter.yml.swp")
    assert run("check")[0] == 0


def test_a_folder_without_records_is_a_fault(run, tmp_path):
    """A mistyped folder must not look like a good one."""
    (tmp_path / "empty").mkdir()
    status, _, err = run("check", tmp_path / "empty")
    assert (status, len(err)) == (1, 1)


@pytest.mark.parametrize("arguments", [["check", "nowhere.yml"], ["check", "nowhere"]])
def test_missing_paths_are_faults(run, arguments):
    """The path is named as it was given."""
    status, _, err = run(*arguments)
    assert status == 1
    assert err == [f"{arguments[1]}:1:1: there is no such file: check the name and the folder"]


def test_a_missing_scenarios_folder_is_a_fault(tmp_path, case_text):
    """With and without a path, and no traceback."""
    case = tmp_path / "tile-setter.yml"
    case.write_text(case_text, encoding="utf-8")
    for arguments in (["check"], ["check", case]):
        done = _program(*arguments, cwd=tmp_path)
        assert (done.returncode, done.stdout) == (1, "")
        assert done.stderr.startswith("scenarios:1:1: there is no such folder")


@pytest.mark.parametrize("arguments", [[], ["chekc"], ["check", "--wrong"], ["schema", "extra"]])
def test_wrong_usage_has_status_2(arguments):
    """The usage is printed on the error stream."""
    done = _program(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("usage: offmidline")


def test_help_lists_the_commands():
    """`--help` names every command."""
    done = _program("--help")
    assert done.returncode == 0
    assert all(name in done.stdout for name in cli.COMMANDS)


@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_a_reader_that_goes_away_causes_no_traceback(
    stream, case_text, folder, write_case, tmp_path
):
    """As with `| head`: the other stream stays clean."""
    openings = "".join(f"    - {{at: {n}}}\n" for n in range(3000))
    text = case_text.replace("  openings:\n", f"  openings:\n{openings}")
    write_case(text if stream == "stderr" else case_text)
    ours, theirs = os.pipe()
    os.close(ours)
    other = tmp_path / "other"
    with other.open("wb") as kept:
        streams = {"stdout": kept, "stderr": kept, stream: theirs}
        done = subprocess.run(
            [sys.executable, "-m", "offmidline", "check", "--scenarios", str(folder)],
            check=False,
            **streams,
        )
    os.close(theirs)
    assert done.returncode == 1
    assert other.read_bytes() == b""


def test_faults_print_where_the_terminal_knows_only_ascii(case_text, write_case, folder):
    """Names and values beyond ASCII are escaped rather than breaking the output."""
    write_case(case_text.replace("62 mm", "62 µm"))
    done = _program("check", "--scenarios", folder, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 1
    assert "\\xb5m" in done.stderr
    assert "Traceback" not in done.stderr


def test_schemas_are_written_where_asked(run, tmp_path, folder):
    """By default beside the records, else into the folder given, which is made."""
    assert run("schema")[0] == 0
    assert run("schema", "-o", tmp_path / "a" / "b")[0] == 0
    kinds = ("case", "complication", "evidence", "grading", "paper", "sources", "technique")
    names = [f"{kind}.json" for kind in kinds]
    assert sorted(path.name for path in (folder / "schema").iterdir()) == names
    assert sorted(path.name for path in (tmp_path / "a" / "b").iterdir()) == names


def test_a_folder_that_cannot_be_written_is_told(run, tmp_path):
    """A file where the folder should be is a fault, not a traceback."""
    blocked = tmp_path / "blocked"
    blocked.write_text("", encoding="utf-8")
    status, _, err = run("schema", "-o", blocked)
    assert status == 1
    assert FAULT.match(err[0])
    assert str(Path(blocked)) in err[0]
