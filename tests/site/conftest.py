"""Sites for tests: built in process from copies of the shipped files, opened in Chromium."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]

SMALL_HANDBOOK = {
    "contents.yml": (
        "- index.md\n- Values: techniques/\n- Checklists: checklists/\n- Cases: cases/\n"
        "- Exercises: exercises/\n- sources.md\n"
    ),
    "index.md": "# Start\n\nAn offset of {{ offset }}. {{ source:sozen-2011 }}\n",
    "sources.md": "# Sources\n\n{{ sources }}\n",
}

PLAIN_CASE = """\
case: plain
title: A plain case
audience: trainee
technique: off-midline-flap
patient: {age: 24 years, sex: male, weight: 82 kg}
findings:
  pits: [{at: 60 mm, diameter: 2 mm}]
  openings: [{at: 86 mm, lateral: 20 mm, side: left, diameter: 4 mm}]
  cavity_depth: 14 mm
  fascia_depth: 24 mm
infiltration: {agent: ropivacaine, concentration: 2 mg/ml, volume: 60 ml}
"""


class Project:
    """A folder like the repository: mkdocs.yml, handbook, scenarios."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self.handbook = top / "handbook"
        self.scenarios = top / "scenarios"
        self.cases = self.scenarios / "cases"
        self.cache = top / ".cache" / "site"

    def write_case(self, name: str, text: str) -> None:
        """Put a case into the scenarios."""
        (self.cases / f"{name}.yml").write_text(text, encoding="utf-8")

    def build(self, site: str = "site", audience: str = "trainee", **options: str) -> Path:
        """Build with MkDocs in this process, strictly, and return the site's folder.

        ``options`` are further ones of the plugin.
        """
        from mkdocs.commands.build import build
        from mkdocs.config import load_config

        config = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
        config["plugins"]["offmidline"] |= {"audience": audience, **options}
        (self.top / "mkdocs.yml").write_text(yaml.safe_dump(config), encoding="utf-8")
        loaded = load_config(str(self.top / "mkdocs.yml"), site_dir=str(self.top / site))
        build(loaded)
        return self.top / site


@pytest.fixture(autouse=True, scope="session")
def _quiet_and_dated() -> Iterator[None]:
    """What make.py sets for every tool: no banners, and a fixed date."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("NO_MKDOCS_2_WARNING", "1")
        patch.setenv("SOURCE_DATE_EPOCH", "1767225600")
        yield


@pytest.fixture
def small(tmp_path: Path) -> Project:
    """A project with the shipped records and theme, three pages and one plain case."""
    return small_project(tmp_path)


@pytest.fixture(scope="session")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Project:
    """A copy of what the repository ships."""
    return copy_of_shipped(tmp_path_factory.mktemp("shipped"))


@pytest.fixture(scope="session")
def shipped_site(shipped: Project) -> Path:
    """The trainees' handbook as it ships, built once."""
    return shipped.build()


def small_project(top: Path) -> Project:
    """Make the folders of a small project."""
    project = Project(top)
    project.cases.mkdir(parents=True)
    for folder in ("techniques", "evidence", "complications", "gradings"):
        shutil.copytree(ROOT / "scenarios" / folder, project.scenarios / folder)
    shutil.copy(ROOT / "scenarios" / "sources.yml", project.scenarios)
    (top / "figures_src").mkdir()
    project.handbook.mkdir()
    for folder in ("theme", "assets"):
        shutil.copytree(ROOT / "handbook" / folder, project.handbook / folder)
    for name, text in SMALL_HANDBOOK.items():
        (project.handbook / name).write_text(text, encoding="utf-8")
    project.write_case("plain", PLAIN_CASE)
    return project


def copy_of_shipped(top: Path) -> Project:
    """Copy handbook and scenarios."""
    project = Project(top)
    shutil.copytree(ROOT / "handbook", project.handbook)
    shutil.copytree(ROOT / "scenarios", project.scenarios)
    (top / "figures_src").mkdir()
    return project


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, without which these tests fail: they prove what only a browser can."""
    from playwright.sync_api import sync_playwright

    program = os.environ.get("OFFMIDLINE_CHROMIUM") or "/usr/bin/chromium"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=program,
            args=[
                "--no-sandbox",
                "--disable-gpu",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-quic",
                "--no-first-run",
            ],
        )
        yield chromium
        chromium.close()


@pytest.fixture
def serve() -> Iterator[Callable[[Path], str]]:
    """Serve a folder on this machine and return its address."""
    servers: list[ThreadingHTTPServer] = []

    def start(folder: Path) -> str:
        handler = partial(_QuietHandler, directory=str(folder))
        server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        servers.append(server)
        return f"http://127.0.0.1:{server.server_port}/"

    yield start
    for server in servers:
        server.shutdown()
        server.server_close()


class _QuietHandler(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""
