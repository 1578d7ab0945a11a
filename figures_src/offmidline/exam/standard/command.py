"""``offmidline standard``: a cut score from judges' ratings, with its report."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from offmidline import messages
from offmidline.exam.folder import write_folder
from offmidline.exam.rows import say
from offmidline.exam.standard.methods import (
    by_angoff,
    by_borderline_regression,
    by_ebel,
    by_hofstee,
)
from offmidline.exam.standard.report import Standard, cut_words, standard_files
from offmidline.records.faults import Fault, FaultsError


def run_standard(options: argparse.Namespace) -> int:
    """Write the report of a method. Raises FaultsError before anything is written."""
    standard = _RUN[options.method](options)
    write_folder(options.output, standard_files(standard))
    name = "written" if standard.cut is not None else "written_none"
    cut = "" if standard.cut is None else cut_words(standard.cut)
    told = messages.text(f"exam.standard.{name}", cut=cut, folder=options.output)
    sys.stdout.write(f"{told}\n")
    return 0


def _hofstee(options: argparse.Namespace) -> Standard:
    scores: Path | None = options.scores
    if scores is None:
        raise FaultsError([Fault("--scores", 1, 1, say("no_scores"))])
    return by_hofstee(options.ratings, scores)


def _regression(options: argparse.Namespace) -> Standard:
    borderline: float | None = options.borderline
    if borderline is None:
        raise FaultsError([Fault("--borderline", 1, 1, say("no_borderline"))])
    return by_borderline_regression(options.ratings, borderline)


_RUN: Final[Mapping[str, Callable[[argparse.Namespace], Standard]]] = MappingProxyType(
    {
        "angoff": lambda options: by_angoff(options.ratings),
        "ebel": lambda options: by_ebel(options.ratings),
        "hofstee": _hofstee,
        "borderline-regression": _regression,
    }
)
