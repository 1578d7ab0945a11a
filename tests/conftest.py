"""What all tests share: Hypothesis draws the same examples on every run unless told otherwise.

HYPOTHESIS_PROFILE=search draws new ones, and many more.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None, database=None, max_examples=60)
settings.register_profile("search", deadline=None, database=None, max_examples=3000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
