"""The site against a bare MkDocs build: the same pages and theme, without figures and without us.

Whole processes, as a writer waits for them. Cold is without a cache; both builds start from an
empty output folder.
"""

from __future__ import annotations

import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import yaml
from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config
from tests.benchmarks.ratio import Ratio
from tests.generated import SCENARIOS, case_data

from offmidline.site.finish import with_figures
from offmidline.site.nav import navigation
from offmidline.site.settings import Settings
from offmidline.site.tree import build_tree

ROOT = SCENARIOS.parent
CASES = 50
MANY_CASES = 200
ROUNDS = 5
SEED = 7
ENVIRONMENT = {"NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": "1767225600"}


def ratios() -> list[Ratio]:
    """Cold, nothing changed and one case changed against the bare build; growth to 200 cases."""
    with tempfile.TemporaryDirectory() as folder:
        site = _Sites(Path(folder) / "some", CASES)
        bare, cold, same, one = _in_turn(
            [site.bare, site.cold, site.nothing_changed, site.one_changed], ROUNDS
        )
        bare_again, one_again = _in_turn([site.bare_again, site.one_changed_again], ROUNDS)
        many = _Sites(Path(folder) / "many", MANY_CASES)
        many_cold, many_same = _in_turn([many.cold, many.nothing_changed], 2)
    name = f"bare build of the same {CASES} cases"
    grown = f"{MANY_CASES / CASES:g} times the cases"
    return [
        Ratio("site, cold", name, cold / bare, 2.5, f"{cold:.2f} s"),
        Ratio("site, nothing changed", name, same / bare, 1.2, f"{same:.2f} s"),
        Ratio("site, one case changed", name, one / bare, 1.3, f"{one:.2f} s"),
        Ratio(
            "site, one case changed while serving",
            "bare build again in one process",
            one_again / bare_again,
            1.3,
            f"{one_again:.2f} s",
        ),
        Ratio(f"site, cold, {grown}", f"{CASES} cases", many_cold / cold, None),
        Ratio(f"site, nothing changed, {grown}", f"{CASES} cases", many_same / same, None),
    ]


class _Sites:
    """A project of generated cases, and the bare one of the same pages."""

    def __init__(self, top: Path, count: int) -> None:
        self._top = top
        self._bare = top / "bare"
        self._round = 0
        shutil.copytree(ROOT / "handbook", top / "handbook")
        shutil.copytree(SCENARIOS, top / "scenarios")
        (top / "figures_src").mkdir()
        shutil.copy(ROOT / "mkdocs.yml", top)
        chance = random.Random(SEED)
        for number in range(count):
            self._write(number, case_data(chance, number))
        self._changing = case_data(random.Random(SEED + 1), count)
        self._make_bare()

    def bare(self) -> None:
        """Build the pages without us."""
        _mkdocs(self._bare)

    def cold(self) -> None:
        """Build with an empty cache."""
        shutil.rmtree(self._top / ".cache", ignore_errors=True)
        _mkdocs(self._top)

    def nothing_changed(self) -> None:
        """Build again."""
        _mkdocs(self._top)

    def one_changed(self) -> None:
        """Build with one case that was never seen before."""
        self._change()
        _mkdocs(self._top)

    def bare_again(self) -> None:
        """Build the pages without us once more in this process, as a server does."""
        _build_here(self._bare)

    def one_changed_again(self) -> None:
        """Build with one new case in this process, as a server does."""
        self._change()
        _build_here(self._top)

    def _change(self) -> None:
        self._round += 1
        self._changing["findings"]["pits"][0]["at"] = f"{50 + self._round}.5 mm"
        self._write(0, {**self._changing, "case": "generated-0"})

    def _write(self, number: int, data: dict[str, Any]) -> None:
        patient = data["patient"]
        typed = {"asa": int(patient["asa"]), "smoker": str(patient["smoker"]).lower() == "true"}
        data = {**data, "patient": {**patient, **typed}}
        path = self._top / "scenarios" / "cases" / f"generated-{number}.yml"
        path.write_text(yaml.safe_dump(data, sort_keys=False), "utf-8")

    def _make_bare(self) -> None:
        handbook = self._top / "handbook"
        tree = build_tree(Settings(self._top / "scenarios", handbook, self._top / ".cache/site"))
        shutil.copytree(handbook, self._bare / "handbook")
        for page in tree.pages:
            path = self._bare / "handbook" / page.path
            path.parent.mkdir(exist_ok=True)
            path.write_text(with_figures(page.source, tree.figures, lambda _: ""), "utf-8")
        for name, text in tree.files.items():
            (self._bare / "handbook" / name).write_text(text, "utf-8")
        config = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
        config["plugins"].pop("offmidline")
        config["extra"]["offmidline"] = dict(tree.words)
        config["nav"] = navigation(tree)
        config.pop("watch")
        (self._bare / "mkdocs.yml").write_text(yaml.safe_dump(config), "utf-8")


def _mkdocs(folder: Path) -> None:
    shutil.rmtree(folder / "site", ignore_errors=True)
    environment = {**os.environ, **ENVIRONMENT}
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--clean", "-q"]
    subprocess.run(command, cwd=folder, env=environment, check=True)


def _build_here(folder: Path) -> None:
    os.environ |= ENVIRONMENT
    config = load_config(str(folder / "mkdocs.yml"))
    config.plugins.on_startup(command="serve", dirty=False)
    mkdocs_build(config)


def _in_turn(builds: list[Callable[[], None]], rounds: int) -> list[float]:
    """Median seconds of each build; a round runs them all, as a busy machine slows all alike."""
    for build in builds:
        build()
    times: list[list[float]] = [[] for _ in builds]
    for _ in range(rounds):
        for build, taken in zip(builds, times, strict=True):
            start = time.perf_counter()
            build()
            taken.append(time.perf_counter() - start)
    return [statistics.median(taken) for taken in times]


if __name__ == "__main__":
    for ratio in ratios():
        print(ratio.line())
