"""``offmidline paper``: the printed files of a paper, in a folder of their own."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from offmidline.exam.folder import write_folder
from offmidline.exam.paper.files import paper_files
from offmidline.exam.paper.styles import say
from offmidline.exam.papers import assembled
from offmidline.exam.secret import VARIABLE, secret_of
from offmidline.records import AUDIENCES, Fault, FaultsError, load_library


def run_paper(options: argparse.Namespace) -> int:
    """Write a paper. Raises FaultsError where it cannot be made, and then writes nothing."""
    scenarios: Path = options.scenarios
    library = load_library(scenarios, AUDIENCES)
    secret = secret_of(options.seed_file, os.environ, scenarios.resolve().parent)
    if options.real and secret is None:
        message = say("faults.no_secret", variable=VARIABLE)
        raise FaultsError([Fault("--real", 1, 1, message)])
    forms = assembled(options.paper, library, scenarios, secret)
    files = paper_files(forms, library.sources)
    write_folder(options.output, files)
    sys.stdout.write("".join(f"{options.output / name}\n" for name in files))
    return 0
