"""The engine: one case measured by the command, and the fit in process."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

from tests.benchmarks.ratio import Ratio, paired
from tests.generated import SCENARIOS, cases, technique

from offmidline.plan import plan_case

IMPORTS = "import shapely, yaml, pydantic"
ROUNDS = 9
FITTED_CASES = 200
FIT_GOAL_MS = 50.0


def ratios() -> list[Ratio]:
    """`offmidline measure` against bare imports, and the fit against its allowance in ms."""
    case = SCENARIOS / "cases" / "ferry-deckhand.yml"
    measure = [sys.executable, "-m", "offmidline", "measure", str(case), "--format", "json"]
    measure += ["--scenarios", str(SCENARIOS)]
    command, bare = paired(
        lambda: subprocess.run(measure, check=True, capture_output=True),
        lambda: subprocess.run([sys.executable, "-c", IMPORTS], check=True),
        ROUNDS,
    )
    return [
        Ratio("measure one case", f"python -c '{IMPORTS}'", command / bare, 3.0, _ms(command)),
        _fit(),
    ]


def _fit() -> Ratio:
    shared, times = technique(), []
    for case in cases(FITTED_CASES, seed=1):
        start = time.perf_counter()
        plan_case(case, shared)
        times.append((time.perf_counter() - start) * 1e3)
    median, slowest = statistics.median(times), max(times)
    note = f"median {median:.0f} ms, slowest of {FITTED_CASES} {slowest:.0f} ms"
    return Ratio("plan of one case", f"{FIT_GOAL_MS:.0f} ms", median / FIT_GOAL_MS, 1.0, note)


def _ms(seconds: float) -> str:
    return f"{seconds * 1e3:.0f} ms"
