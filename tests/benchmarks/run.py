"""All benchmarks: ratios against baselines that are measured in the same run."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))


def main() -> None:
    """Print a line a ratio."""
    from tests.benchmarks import engine_bench, figure_bench, items_bench, site_bench

    for benchmark in (engine_bench, figure_bench, items_bench, site_bench):
        for ratio in benchmark.ratios():
            print(ratio.line(), flush=True)


if __name__ == "__main__":
    main()
