"""What all tests share: which run together, and that Hypothesis draws the same examples on every
run unless told otherwise.

HYPOTHESIS_PROFILE=search draws new ones, and many more.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None, database=None, max_examples=30)
settings.register_profile("search", deadline=None, database=None, max_examples=3000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

# Files whose tests share nothing and are slow: they may run in several processes at once.
SPREAD = {"test_axe.py", "test_pictures.py"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep the tests of a file in one process, where what they share is made once."""
    for item in items:
        if item.path.name not in SPREAD:
            item.add_marker(pytest.mark.xdist_group(item.path.as_posix()))
