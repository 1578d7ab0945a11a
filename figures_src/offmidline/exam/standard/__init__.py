"""Cut scores from judges' ratings: four methods, their error, and how far the judges agree."""

from __future__ import annotations

from typing import Final

# The methods by the names that the command has for them.
METHODS: Final = ("angoff", "ebel", "hofstee", "borderline-regression")
