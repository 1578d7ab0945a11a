"""What `make.py` does before, during and after its set-up, and what the package contains."""

from __future__ import annotations

import ast
import html
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path
from types import ModuleType

import pytest
from hatchling.builders.wheel import WheelBuilder

import offmidline

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
COMMANDS = (
    "handbook",
    "educator",
    "examiner",
    "bundle",
    "test",
    "serve",
    "lint",
    "bench",
    "clean",
)
SET_UP_FILES = ("make.py", "pyproject.toml", "requirements.lock", "requirements-test.lock")


def load_make(folder: Path) -> ModuleType:
    """Return the make.py of a folder as a module of its own."""
    spec = importlib.util.spec_from_file_location("make_under_test", folder / "make.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def call_make(folder: Path, *args: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run make.py as a reader would, with the interpreter that runs the tests."""
    return subprocess.run(
        [sys.executable, folder / "make.py", *args],
        env={**os.environ, **env},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """Return a folder with what the set-up reads, and no environment yet."""
    for name in SET_UP_FILES:
        shutil.copy(ROOT / name, tmp_path)
    return tmp_path


@pytest.fixture
def ready(tree: Path) -> ModuleType:
    """Return make.py in a tree whose environment passes for set up."""
    make = load_make(tree)
    make.PYTHON.parent.mkdir(parents=True)
    make.PYTHON.symlink_to(sys.executable)
    make.STAMP.write_text('{"place": "", "run": "", "test": ""}', encoding="utf-8")
    return make


def pins(lock: str) -> dict[str, set[str]]:
    """Return the releases that a lock names for each package."""
    found: dict[str, set[str]] = {}
    text = (ROOT / lock).read_text(encoding="utf-8")
    for name, release in re.findall(r"^([a-z0-9.-]+)==(\S+)", text, re.MULTILINE):
        found.setdefault(name, set()).add(release)
    return found


# What it says


def test_the_bare_call_lists_each_command_with_one_line():
    """Without a command, each command is listed once with a sentence, and nothing is set up."""
    done = call_make(ROOT)
    lines = done.stdout.splitlines()
    assert done.returncode == 0
    assert [line.split()[0] for line in lines[2:]] == list(COMMANDS)
    assert all(line.endswith(".") for line in lines[2:])


def test_an_unknown_command_is_a_wrong_call():
    """A command that does not exist is named, the real ones are listed, and the code is 2."""
    done = call_make(ROOT, "handbok")
    assert done.returncode == 2
    assert "'handbok'" in done.stderr
    assert all(command in done.stderr for command in COMMANDS)


def test_it_imports_the_standard_library_alone():
    """make.py runs before anything is installed, so it imports nothing that Python lacks."""
    imported = {
        name.partition(".")[0]
        for node in ast.walk(ast.parse((ROOT / "make.py").read_text(encoding="utf-8")))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert imported <= sys.stdlib_module_names


def test_an_old_python_can_parse_it():
    """Python 3.8 gets as far as the sentence that says which Python is needed."""
    source = (ROOT / "make.py").read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 8))


def test_an_old_python_is_told_what_is_needed(monkeypatch, capsys):
    """Under an interpreter that is too old the command stops, names the need and exits with 1."""
    make = load_make(ROOT)
    monkeypatch.setattr(make, "OLDEST_PYTHON", (99, 1))
    assert make.main(["handbook"]) == 1
    assert "Python 99.1 or newer is needed" in capsys.readouterr().err


def test_the_oldest_python_is_stated_alike():
    """make.py and pyproject.toml ask for the same Python."""
    oldest = ".".join(map(str, load_make(ROOT).OLDEST_PYTHON))
    assert PROJECT["project"]["requires-python"] == f">={oldest}"


# Setting up


def test_a_current_stamp_means_no_work(ready, monkeypatch):
    """Where the stamp matches the lock, the settings, the Python and the place, nothing runs."""
    ready.STAMP.write_text(ready.json.dumps(ready.stamp_for("run")), encoding="utf-8")
    monkeypatch.setattr(ready, "run", lambda *command: pytest.fail(f"ran {command}"))
    ready.set_up("run")


@pytest.mark.parametrize("changed", ["requirements.lock", "pyproject.toml"])
def test_a_changed_lock_or_project_asks_for_a_new_set_up(ready, changed):
    """One byte more in the lock or in pyproject.toml makes the stamp out of date."""
    before = ready.stamp_for("run")
    with (ready.ROOT / changed).open("a", encoding="utf-8") as file:
        file.write("#")
    assert ready.stamp_for("run") != before


def test_a_moved_tree_asks_for_a_new_set_up(ready, tmp_path_factory):
    """An environment that was copied along with its tree is not trusted in the new place."""
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    for name in SET_UP_FILES:
        shutil.copy(ROOT / name, elsewhere)
    assert load_make(elsewhere).stamp_for("run") != ready.stamp_for("run")


def test_the_environment_for_the_site_does_not_serve_the_tests(ready, monkeypatch):
    """After a set-up for the handbook alone, the tests still ask for their own packages."""
    commands: list[tuple[object, ...]] = []

    def note(*command: object) -> int:
        commands.append(command)
        return 0

    monkeypatch.setattr(ready, "run", note)
    ready.STAMP.write_text(ready.json.dumps(ready.stamp_for("run")), encoding="utf-8")
    ready.set_up("test")
    assert any("requirements-test.lock" in command for command in commands)
    commands.clear()
    ready.set_up("run")
    ready.set_up("test")
    assert commands == []


def test_without_an_index_the_set_up_says_what_it_needs(tree):
    """Where pip can reach no index the command stops with that reason, leaves no stamp, exits 1."""
    done = call_make(tree, "handbook", PIP_NO_INDEX="1", PIP_CONFIG_FILE=os.devnull)
    assert done.returncode == 1
    assert "pip could not install the locked packages" in done.stderr
    assert "Traceback" not in done.stderr
    assert not load_make(tree).STAMP.exists()


def test_a_python_without_venv_is_told_the_package(tree, monkeypatch, capsys):
    """Debian's Python without its venv package is answered with the command that installs it."""
    make = load_make(tree)
    monkeypatch.setattr(make.importlib.util, "find_spec", lambda _: None)
    monkeypatch.setenv("PATH", str(tree))
    assert make.main(["handbook"]) == 1
    assert "apt-get install python3-venv" in capsys.readouterr().err


# The browser of the tests


def test_a_missing_browser_stops_the_tests_with_the_command_to_type(ready, monkeypatch, capsys):
    """Without Chromium, and with no right to install it, no test runs and the command exits 1."""
    monkeypatch.delenv("OFFMIDLINE_CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", str(ready.ROOT))
    monkeypatch.setattr(sys, "platform", "linux")
    ready.STAMP.write_text(ready.json.dumps(ready.stamp_for("test")), encoding="utf-8")
    assert ready.main(["test"]) == 1
    said = capsys.readouterr()
    assert "apt-get install chromium fonts-dejavu-core libatomic1" in said.err
    assert said.out == ""


def test_a_browser_variable_that_names_nothing_stops_the_tests(ready, monkeypatch):
    """A wrong OFFMIDLINE_CHROMIUM is said, not passed over for another browser."""
    monkeypatch.setenv("OFFMIDLINE_CHROMIUM", str(ready.ROOT / "nowhere"))
    with pytest.raises(ready.Stop, match="nowhere"):
        ready.browser()


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no executable bit")
def test_the_first_browser_on_the_path_is_taken(ready, monkeypatch):
    """Any of the known program names will do, in their order."""
    monkeypatch.delenv("OFFMIDLINE_CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", str(ready.ROOT))
    for name in reversed(ready.BROWSERS):
        program = ready.ROOT / name
        program.touch(mode=0o755)
        assert ready.browser() == str(program)


# Editions


@pytest.mark.parametrize("audience", ["trainee", "educator", "examiner"])
def test_each_edition_is_for_its_audience_and_in_its_own_folder(audience, monkeypatch):
    """What make.py says is what the configuration does; all else is the trainees'."""
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    from mkdocs.config import load_config

    make = load_make(ROOT)
    file, folder = make.EDITIONS[audience]
    config = load_config(str(ROOT / file))
    assert Path(config.site_dir) == ROOT / folder
    # MkDocs keeps a plugin for all configurations of a process: the next one changes this.
    assert config.plugins["offmidline"].config.audience == audience
    trainees = load_config(str(ROOT / "mkdocs.yml"))
    assert list(config.plugins) == list(trainees.plugins)
    assert (config.site_name == trainees.site_name) == (audience == "trainee")
    differing = {key for key in config if config[key] != trainees[key]}
    assert differing <= {
        *("config_file_path", "site_name", "site_dir", "plugins", "theme", "validation", "hooks")
    }
    assert len({folder for _, folder in make.EDITIONS.values()}) == len(make.EDITIONS)


@pytest.mark.parametrize("command", ["handbook", "educator", "examiner"])
def test_each_edition_is_built_from_its_own_configuration(ready, monkeypatch, command):
    """The command names the file, and passes on what the caller adds."""
    ready.STAMP.write_text(ready.json.dumps(ready.stamp_for("run")), encoding="utf-8")
    calls: list[tuple[object, ...]] = []

    def note(*call: object) -> int:
        calls.append(call)
        return 0

    monkeypatch.setattr(ready, "run", note)
    assert ready.main([command, "-d", "elsewhere"]) == 0
    file = {"handbook": "mkdocs.yml"}.get(command, f"mkdocs-{command}.yml")
    assert calls[0][-4:] == ("-f", file, "-d", "elsewhere")


# Running


@pytest.mark.parametrize("code", [0, 3])
def test_exit_codes_pass_through(ready, code):
    """The exit code of a tool is the exit code of the command."""
    assert ready.run(sys.executable, "-c", f"raise SystemExit({code})") == code


def test_the_tools_get_a_fixed_date_and_their_caches_in_the_tree(ready, monkeypatch):
    """Builds carry no time of day: the date is the caller's, the commit's or a constant."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert ready.environment()["SOURCE_DATE_EPOCH"] == ready.FIRST_DAY
    assert ready.environment()["MPLCONFIGDIR"].startswith(str(ready.ROOT / ".cache"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert ready.environment()["SOURCE_DATE_EPOCH"] == "86400"


def test_the_date_is_that_of_the_last_commit(ready, monkeypatch):
    """In a repository two builds of one commit carry its time; without git, the constant."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    (ready.ROOT / ".git").mkdir()
    assert ready.environment()["SOURCE_DATE_EPOCH"] == ready.FIRST_DAY
    if not shutil.which("git"):
        return
    for what in ("AUTHOR_NAME", "AUTHOR_EMAIL", "COMMITTER_NAME", "COMMITTER_EMAIL"):
        monkeypatch.setenv(f"GIT_{what}", "x")
    monkeypatch.setenv("GIT_COMMITTER_DATE", "1700000000 +0000")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    for step in (("init", "-q"), ("commit", "-q", "--allow-empty", "-m", "x")):
        subprocess.run(("git", *step), cwd=ready.ROOT, check=True)
    assert ready.environment()["SOURCE_DATE_EPOCH"] == "1700000000"


def test_clean_removes_what_was_made_and_nothing_else(ready):
    """The site and the caches go, the package's own site folder stays, .venv only with --all."""
    made = ["site", "site-copy", ".cache", ".pytest_cache", "tests/a/__pycache__"]
    kept = ["figures_src/offmidline/site", "handbook", "scenarios"]
    for name in made + kept:
        (ready.ROOT / name).mkdir(parents=True)
    assert ready.main(["clean"]) == 0
    assert not any((ready.ROOT / name).exists() for name in made)
    assert all((ready.ROOT / name).is_dir() for name in [*kept, ".venv"])
    assert ready.main(["clean", "--all"]) == 0
    assert not ready.VENV.exists()


def test_clean_refuses_other_arguments(ready):
    """A mistyped argument removes nothing."""
    (ready.ROOT / "site").mkdir()
    assert ready.main(["clean", "--al"]) == 1
    assert (ready.ROOT / "site").is_dir()


# The handbook as a zip


SMALL_HANDBOOK = {
    "contents.yml": (
        "- index.md\n- techniques/\n- cases/\n- checklists/\n- exercises/\n- sources.md\n"
    ),
    "index.md": "# Start\n\n[A case](cases/ferry-deckhand.md)\n",
    "sources.md": "# Sources\n\n{{ sources }}\n",
}


@pytest.fixture
def bundled(ready, monkeypatch):
    """Return make.py in a tree with a small handbook, and the path of the zip that it made."""
    for name in ("mkdocs.yml", *ready.LICENCES):
        shutil.copy(ROOT / name, ready.ROOT)
    for name in ("figures_src/offmidline/__init__.py", "scenarios/cases/ferry-deckhand.yml"):
        (ready.ROOT / name).parent.mkdir(parents=True)
        shutil.copy(ROOT / name, ready.ROOT / name)
    hidden = ("cases", "schema")
    shutil.copytree(
        ROOT / "scenarios",
        ready.ROOT / "scenarios",
        ignore=shutil.ignore_patterns(*hidden),
        dirs_exist_ok=True,
    )
    for name in ("theme", "assets"):
        shutil.copytree(ROOT / "handbook" / name, ready.ROOT / "handbook" / name)
    for name, text in SMALL_HANDBOOK.items():
        (ready.ROOT / "handbook" / name).write_text(text, encoding="utf-8")
    ready.STAMP.write_text(ready.json.dumps(ready.stamp_for("run")), encoding="utf-8")
    monkeypatch.setattr(ready, "PYTHON", Path(sys.executable))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    assert ready.main(["bundle"]) == 0
    (made,) = (ready.ROOT / "dist").iterdir()
    return ready, made


@pytest.mark.site
def test_the_zip_opens_from_a_folder(bundled, tmp_path_factory):
    """All that its pages name is in it, with the licences, in one folder, under its version."""
    _, made = bundled
    assert made.name == f"offmidline-handbook-{offmidline.__version__}.zip"
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(made) as archive:
        archive.extractall(folder)
    (top,) = folder.iterdir()
    pages = list(top.rglob("*.html"))
    assert {"index.html", "ferry-deckhand.html", "sources.html"} <= {page.name for page in pages}
    assert not (top / "404.html").exists()
    assert (top / "LICENSE-handbook").exists()
    for page in pages:
        text = html.unescape(page.read_text("utf-8"))
        for address in re.findall(r' (?:href|src)="([^"#:]+)(?:#[^"]*)?"', text):
            assert (page.parent / address).exists(), f"{page.name}: {address}"


@pytest.mark.site
def test_the_zip_has_the_same_bytes_every_time(bundled):
    """Built again, after the files' dates have changed, it is the same file."""
    make, made = bundled
    before = made.read_bytes()
    for path in (make.ROOT / "handbook").rglob("*.md"):
        os.utime(path, (1, 1))
    assert make.main(["bundle"]) == 0
    assert made.read_bytes() == before


# The locks and the wheel


def test_the_locks_cover_what_the_project_asks_for():
    """Each package that pyproject.toml names is pinned, and the tests' lock holds the site's."""

    def names(requirements: list[str]) -> set[str]:
        return {re.split(r"[<>=\s]", text)[0].lower() for text in requirements}

    run, test = pins("requirements.lock"), pins("requirements-test.lock")
    extras = PROJECT["project"]["optional-dependencies"]
    assert names(PROJECT["project"]["dependencies"] + extras["build"]) <= run.keys()
    assert names(extras["test"] + extras["lint"]) <= test.keys()
    assert {name: test[name] & releases for name, releases in run.items()} == run


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_the_locks_name_no_host_and_no_path(lock):
    """A lock holds names, releases and hashes: it serves any index and any machine."""
    text = (ROOT / lock).read_text(encoding="utf-8")
    assert not re.search(r"://|^-|file:|[ \"'](/|\w:\\)", text, re.MULTILINE)
    entries = re.split(r"^(?=\w)", text, flags=re.MULTILINE)[1:]
    assert entries
    assert all("--hash=sha256:" in entry for entry in entries)


def test_the_wheel_ships_every_file_of_the_package(tmp_path):
    """Templates, styles, scripts and fonts reach an installed copy as the modules do."""
    package = ROOT / "figures_src" / "offmidline"
    files = {path.relative_to(package.parent) for path in package.rglob("*") if path.is_file()}
    expected = {path.as_posix() for path in files if "__pycache__" not in path.parts}
    wheel = next(WheelBuilder(str(ROOT)).build(directory=str(tmp_path), versions=["standard"]))
    with zipfile.ZipFile(wheel) as archive:
        assert expected <= set(archive.namelist())


def test_the_changelog_starts_with_the_packages_version():
    """The version is written once in the package, and the changelog's first entry is about it."""
    newest = re.search(r"^## \[(.+?)\]", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert newest is not None
    assert newest[1] == offmidline.__version__
