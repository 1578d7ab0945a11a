"""The secret seed lies outside the project, is long enough, and comes from where it is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from offmidline.exam.secret import LEAST_BYTES, VARIABLE, secret_of
from offmidline.records import FaultsError

SECRET = b"x" * LEAST_BYTES


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project beside which secrets may lie."""
    folder = tmp_path / "project"
    folder.mkdir()
    return folder


def written(path: Path, data: bytes = SECRET) -> Path:
    """A file with these bytes."""
    path.write_bytes(data)
    return path


def test_nothing_named_is_no_secret(project: Path):
    """An empty variable names nothing."""
    assert secret_of(None, {}, project) is None
    assert secret_of(None, {VARIABLE: ""}, project) is None


def test_the_option_counts_before_the_environment(tmp_path: Path, project: Path):
    """And without the option the environment's file is read."""
    other = written(tmp_path / "other", b"y" * LEAST_BYTES)
    environment = {VARIABLE: str(written(tmp_path / "seed"))}
    assert secret_of(None, environment, project) == SECRET
    assert secret_of(other, environment, project) == b"y" * LEAST_BYTES


def test_what_an_editor_puts_round_a_secret_does_not_count(tmp_path: Path, project: Path):
    """A line's end changes no paper, and spaces make no short secret long."""
    assert secret_of(written(tmp_path / "seed", SECRET + b"\r\n"), {}, project) == SECRET
    with pytest.raises(FaultsError):
        secret_of(written(tmp_path / "short", b"x" + b" " * LEAST_BYTES), {}, project)


@pytest.mark.parametrize("name", ["seed", "deep/seed", "../project/seed"])
def test_a_secret_in_the_project_is_refused(project: Path, name: str):
    """However its path is written."""
    (project / "deep").mkdir()
    with pytest.raises(FaultsError, match="inside the project"):
        secret_of(written(project / name), {}, project)


def test_a_link_out_of_nowhere_does_not_hide_that_it_lies_in_the_project(
    tmp_path: Path, project: Path
):
    """What counts is where the bytes are."""
    link = tmp_path / "link"
    link.symlink_to(written(project / "seed"))
    with pytest.raises(FaultsError, match="inside the project"):
        secret_of(link, {}, project)


def test_a_short_or_missing_secret_is_a_fault_of_its_file(tmp_path: Path, project: Path):
    """The fault names the file and never its content."""
    short = written(tmp_path / "seed", b"guessme")
    with pytest.raises(FaultsError, match=rf"seed:1:1: .* 7 bytes.*{LEAST_BYTES}") as raised:
        secret_of(short, {}, project)
    assert "guessme" not in str(raised.value)
    with pytest.raises(FaultsError, match="cannot be read"):
        secret_of(tmp_path / "nowhere", {}, project)
    with pytest.raises(FaultsError, match="cannot be read"):
        secret_of(tmp_path, {}, project)
