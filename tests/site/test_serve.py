"""`mkdocs serve` follows changes of the data."""

from __future__ import annotations

import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from .conftest import ROOT, Project

pytestmark = pytest.mark.site

PATIENCE = 40.0  # seconds, of which a build takes one or two


def wait_for(address: str, found: Callable[[str], object]) -> str:
    """Ask for a page until it is as expected, and return it."""
    end = time.monotonic() + PATIENCE
    text = ""
    while time.monotonic() < end:
        try:
            text = urlopen(address, timeout=5).read().decode()  # noqa: S310 - our own server
        except (URLError, OSError):
            text = ""
        if text and found(text):
            return text
        time.sleep(0.3)
    pytest.fail(f"{address} did not become what was expected; it begins {text[:300]}")


def test_serve_reloads_when_a_case_or_the_technique_changes(small: Project) -> None:
    """A changed case, and a changed technique, show up in the page that is being served."""
    shutil.copy(ROOT / "mkdocs.yml", small.top)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "mkdocs", "serve", "-q", "-a", f"127.0.0.1:{port}"]
    server = subprocess.Popen(command, cwd=small.top)
    try:
        address = f"http://127.0.0.1:{port}/cases/plain.html"
        wait_for(address, lambda text: "60 mm" in text)
        time.sleep(1.0)  # the watch begins after the first build
        case = small.cases / "plain.yml"
        case.write_text(case.read_text("utf-8").replace("at: 60 mm", "at: 63 mm"), "utf-8")
        wait_for(address, lambda text: "63 mm" in text)
        technique = small.scenarios / "techniques" / "off-midline-flap.yml"
        text = technique.read_text("utf-8").replace("value: 20 mm", "value: 17 mm", 1)
        technique.write_text(text, "utf-8")
        asked = re.compile(r"17 mm</span> ± ")
        wait_for(address, asked.search)
    finally:
        server.terminate()
        server.wait(timeout=20)
