#!/usr/bin/env python3
"""The project's commands. `python3 make.py` lists them; each one sets up all that it needs.

Standard library only, and nothing that Python 3.8 cannot parse: this file runs before anything
is installed, and an old interpreter must get as far as the sentence that says so.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import time
import zipfile
from pathlib import Path

OLDEST_PYTHON = (3, 11)  # what the site generator's theme needs; pyproject.toml says the same
ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / "offmidline-setup.json"
LOCKS = {"run": "requirements.lock", "test": "requirements-test.lock"}  # test holds all of run
FIRST_DAY = "1767225600"  # 2026-01-01 UTC: the date of a build that no commit dates
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
BROWSER_PACKAGES = ("chromium", "fonts-dejavu-core", "libatomic1")
BROWSER_COMMANDS = {
    "darwin": "brew install --cask chromium",
    "linux": f"sudo apt-get install {' '.join(BROWSER_PACKAGES)}",
    "win32": "winget install Google.Chrome",
}
EDITIONS = {  # what the site of each audience is built from, and where it goes
    "trainee": ("mkdocs.yml", "site"),
    "educator": ("mkdocs-educator.yml", "site-educator"),
    "examiner": ("mkdocs-examiner.yml", "site-examiner"),
}
BUNDLE = "offmidline-handbook"
LICENCES = ("LICENSE", "LICENSE-handbook")
SERVED_ONLY = ("404.html", "sitemap.xml", "sitemap.xml.gz")  # of no use in a folder
OUTPUTS = ("site", "site-*", ".cache", ".*_cache", ".hypothesis", "dist", "build", "__pycache__")


class Stop(Exception):  # noqa: N818 - no error of this program: the machine lacks something
    """A sentence for the reader; the command ends with exit code 1."""


def say(text: str) -> None:
    """Print a line of this program's own, in order with what the tools print."""
    print(f"make: {text}", flush=True)


def run(*command: str | Path) -> int:
    """Run a command in the project's folder and return its exit code (128 + n for signal n)."""
    code = subprocess.call([str(part) for part in command], cwd=ROOT, env=environment())
    return code if code >= 0 else 128 - code


def environment() -> dict[str, str]:
    """Return the variables that every tool gets: caches in .cache/, a fixed date, plain output."""
    env = {"SOURCE_DATE_EPOCH": commit_time() or FIRST_DAY, **os.environ}
    env["MPLCONFIGDIR"] = str(ROOT / ".cache" / "matplotlib")
    env["NO_MKDOCS_2_WARNING"] = "1"
    env["DISABLE_MKDOCS_2_WARNING"] = "true"
    if not sys.stdout.isatty():
        env["NO_COLOR"] = "1"
    return env


def commit_time() -> str:
    """Return the last commit's time in seconds, or nothing where there is no repository."""
    if not (ROOT / ".git").exists() or not shutil.which("git"):
        return ""
    question = ("git", "log", "-1", "--format=%ct")
    answer = subprocess.run(question, cwd=ROOT, capture_output=True, text=True, check=False)
    return answer.stdout.strip()


def debian_install(*packages: str) -> bool:
    """Install Debian packages where that takes no question: as root, with apt-get."""
    if not shutil.which("apt-get") or os.geteuid() != 0:
        return False
    say(f"installing {' '.join(packages)} with apt-get")
    os.environ["DEBIAN_FRONTEND"] = "noninteractive"
    run("apt-get", "update", "-q")
    return run("apt-get", "install", "-y", "-q", "--no-install-recommends", *packages) == 0


def stamp_for(level: str) -> dict[str, str]:
    """Return what the stamp must say for a set-up (`run` or `test`) to be current."""
    parts = [(ROOT / name).read_bytes() for name in ("pyproject.toml", LOCKS[level])]
    place = f"Python {sys.version.split()[0]} in {VENV}"  # an environment cannot be moved
    return {"place": place, level: hashlib.sha256(b"\0".join(parts)).hexdigest()}


def read_stamp() -> dict[str, str]:
    """Return what the last set-up wrote, or nothing where there was none."""
    try:
        return dict(json.loads(STAMP.read_text(encoding="utf-8")))
    except (OSError, ValueError):
        return {}


def set_up(level: str) -> None:
    """Bring .venv up to date for `run` or `test`."""
    if sys.version_info < OLDEST_PYTHON:
        needed, this = ".".join(map(str, OLDEST_PYTHON)), sys.version.split()[0]
        raise Stop(f"Python {needed} or newer is needed; this is {this} ({sys.executable}).")
    wanted, found = stamp_for(level), read_stamp()
    if PYTHON.exists() and wanted.items() <= found.items():
        return
    say(f"setting up .venv from {LOCKS[level]}, once; this takes about a minute")
    if not PYTHON.exists() or found.get("place") != wanted["place"]:
        create_venv()
        found = {}
    pip = (PYTHON, "-m", "pip", "install", "-q", "--disable-pip-version-check", "--no-deps")
    if run(*pip, "--only-binary=:all:", "--require-hashes", "-r", LOCKS[level]):
        raise Stop(
            "pip could not install the locked packages; its reason is above. This step needs the"
            " network once: a package index that has these releases for this Python and system."
        )
    if run(*pip, "--no-build-isolation", "-e", "."):
        raise Stop("pip could not install the project itself; its reason is above.")
    below = stamp_for("run") if level == "test" else {}
    STAMP.write_text(json.dumps({**found, **below, **wanted}, indent=1), encoding="utf-8")


def create_venv() -> None:
    """Create .venv afresh, and first the part of Python that Debian leaves out, where allowed."""
    if not importlib.util.find_spec("ensurepip") and not debian_install("python3-venv"):
        raise Stop(
            "this Python comes without venv, which Debian keeps in a package of its own."
            " Type: sudo apt-get install python3-venv"
        )
    if run(sys.executable, "-m", "venv", "--clear", VENV):
        raise Stop(f"{sys.executable} -m venv could not make {VENV}; its reason is above.")


def find_browser() -> str | None:
    """Return the browser that OFFMIDLINE_CHROMIUM names, else the first Chromium on the PATH."""
    named = os.environ.get("OFFMIDLINE_CHROMIUM")
    if named and not shutil.which(named):
        raise Stop(f"OFFMIDLINE_CHROMIUM is {named}, and that is no program that can be run.")
    if sys.platform == "linux":
        try:
            ctypes.CDLL("libatomic.so.1")  # Playwright's driver needs it and does not bring it
        except OSError:
            return None
    return next(filter(None, map(shutil.which, (named,) if named else BROWSERS)), None)


def browser() -> str:
    """Return a browser, installed first where allowed; without one no test run starts."""
    found = find_browser() or (debian_install(*BROWSER_PACKAGES) and find_browser())
    if not found:
        raise Stop(
            "the tests open the handbook in Chromium, and this machine lacks it or (on Linux) the"
            " library libatomic that its driver needs. Type: "
            + BROWSER_COMMANDS.get(sys.platform, BROWSER_COMMANDS["linux"])
            + "\nor set OFFMIDLINE_CHROMIUM to the browser's program file."
        )
    return found


def handbook(args: list[str]) -> int:
    """Build the trainees' handbook into site/."""
    return build("trainee", args)


def educator(args: list[str]) -> int:
    """Build it with teaching notes and model answers into site-educator/."""
    return build("educator", args)


def examiner(args: list[str]) -> int:
    """Build it with examiners' cases, papers and keys into site-examiner/."""
    return build("examiner", args)


def build(audience: str, args: list[str]) -> int:
    """Build the site of an audience into its own folder, from a configuration of its own."""
    set_up("run")
    config, folder = EDITIONS[audience]
    command = (PYTHON, "-m", "mkdocs", "build", "--strict", "--clean", "-q", "-f", config)
    code = run(*command, *args)
    if code == 0 and not args:
        say(f"the handbook is in {ROOT / folder}: open {ROOT / folder / 'index.html'}")
    return code


def bundle(args: list[str]) -> int:
    """Zip the trainees' handbook into dist/, to be unpacked and read without a network."""
    set_up("run")
    site, target = ROOT / "build" / BUNDLE, ROOT / "dist" / f"{BUNDLE}-{version()}.zip"
    code = run(PYTHON, "-m", "mkdocs", "build", "--strict", "--clean", "-q", "-d", site, *args)
    if code == 0:
        write_zip(site, target, int(environment()["SOURCE_DATE_EPOCH"]))
        say(f"{target}: unpack it and open {BUNDLE}/index.html")
    return code


def version() -> str:
    """Return the package's version, which stands in its own file alone."""
    text = (ROOT / "figures_src" / "offmidline" / "__init__.py").read_text(encoding="utf-8")
    return str(re.findall(r'^__version__ = "(.+)"', text, re.MULTILINE)[0])


def write_zip(site: Path, target: Path, seconds: int) -> None:
    """Zip a site and the licences. The same files at the same date make the same bytes."""
    files = {path.relative_to(site).as_posix(): path for path in site.rglob("*") if path.is_file()}
    files.update({name: ROOT / name for name in LICENCES})
    target.parent.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(target, "w") as archive:
        for name in sorted(files.keys() - set(SERVED_ONLY)):
            entry = zipfile.ZipInfo(f"{BUNDLE}/{name}", time.gmtime(seconds)[:6])
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3  # Unix, wherever it was made
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[name].read_bytes())


def test(args: list[str]) -> int:
    """Run the tests, or those that pytest's arguments choose: test tests/geometry -k fit."""
    set_up("test")
    os.environ["OFFMIDLINE_CHROMIUM"] = browser()
    return run(PYTHON, "-m", "pytest", "-n", "auto", "--dist", "loadgroup", *args)


def serve(args: list[str]) -> int:
    """Show the handbook on this machine and build it again at every change."""
    set_up("run")
    return run(PYTHON, "-m", "mkdocs", "serve", *args)


def lint(args: list[str]) -> int:
    """Check style (ruff) and types (mypy) of all the code."""
    set_up("test")
    checks = (("ruff", "check"), ("ruff", "format", "--check"), ("mypy",))
    return max([run(PYTHON, "-m", *check, *args) for check in checks])


def bench(args: list[str]) -> int:
    """Measure the speed goals as ratios."""
    set_up("test")
    return run(PYTHON, Path("tests", "benchmarks", "run.py"), *args)


def clean(args: list[str]) -> int:
    """Remove what the commands made; with --all the virtual environment too."""
    if args not in ([], ["--all"]):
        raise Stop(f"clean takes --all or nothing, not: {' '.join(args)}")
    made = [path for pattern in OUTPUTS for path in ROOT.glob(pattern)] + [VENV] * len(args)
    made += [path for top in ("figures_src", "tests") for path in (ROOT / top).rglob("__pycache__")]
    for path in filter(Path.is_dir, made):
        shutil.rmtree(path)
    return 0


COMMANDS = {
    command.__name__: command
    for command in (handbook, educator, examiner, bundle, test, serve, lint, bench, clean)
}


def main(argv: list[str]) -> int:
    """Run one command and return its exit code: 1 where something lacks, 2 for a wrong call."""
    lines = [f"  {name:<9} {command.__doc__}" for name, command in COMMANDS.items()]
    listing = "\n".join(["usage: python3 make.py COMMAND [ARGUMENTS]", "", *lines])
    if not argv or argv[0] in ("-h", "--help", "help"):
        print(listing)
        return 0
    if argv[0] not in COMMANDS:
        print(f"make: there is no command {argv[0]!r}\n\n{listing}", file=sys.stderr)
        return 2
    try:
        return COMMANDS[argv[0]](argv[1:])
    except Stop as reason:
        print(f"make: {reason}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
