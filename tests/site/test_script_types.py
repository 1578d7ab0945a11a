"""The types that the site's scripts state in their comments, held by TypeScript's compiler.

The compiler is a tool of this test alone: where there is none, the test is skipped.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from .conftest import ROOT

ASSETS = ROOT / "handbook" / "assets"
SHARED = Path(__file__).with_name("offmidline.d.ts")
FOREIGN = "iframe-worker"  # stands in for a missing feature of browsers; packed by its makers
OPTIONS = (
    *("--noEmit", "--allowJs", "--checkJs", "--strict", "--noUnusedLocals"),
    *("--target", "es2022", "--lib", "es2022,dom,dom.iterable"),
)
# One fault for each way in which the scripts could part from what they state.
FAULTY = """(() => {
  const { outline } = Offmidline;
  Offmidline.number.amount("20", "mm");
  Offmidline.outline.make({ offset: 20 });
  function half(value) { return value / 2; }
  half(outline.area);
})();
"""
PLANTED = {3: "TS2345", 4: "TS2345", 5: "TS7006", 6: "TS2339"}


@pytest.fixture(scope="module")
def faults() -> Callable[..., list[str]]:
    """What the compiler has to say about scripts."""
    compiler = os.environ.get("OFFMIDLINE_TSC") or shutil.which("tsc")
    if compiler is None:
        pytest.skip("no tsc on PATH, and none named by OFFMIDLINE_TSC")

    def check(*scripts: Path) -> list[str]:
        run = subprocess.run(
            [compiler, *OPTIONS, SHARED, *scripts], capture_output=True, text=True, check=False
        )
        assert run.stderr == ""
        return run.stdout.splitlines()

    return check


def test_the_scripts_keep_to_their_types(faults: Callable[..., list[str]]) -> None:
    """Nothing is passed, taken or left over that is not stated."""
    scripts = [path for path in sorted(ASSETS.rglob("*.js")) if FOREIGN not in path.parts]
    assert scripts
    assert faults(*scripts) == []


def test_planted_faults_are_found(faults: Callable[..., list[str]], tmp_path: Path) -> None:
    """The check finds a wrong type, a missing part, a type left out, and a wrong name."""
    script = tmp_path / "faulty.js"
    script.write_text(FAULTY, "utf-8")
    found = faults(script)
    for line, code in PLANTED.items():
        assert any(f"faulty.js({line}," in one and code in one for one in found), (line, found)
