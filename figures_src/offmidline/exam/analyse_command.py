"""``offmidline analyse``: what the answers to a paper say, as a report and tables."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from offmidline import messages
from offmidline.exam.analysis import analyse
from offmidline.exam.analysis_report import analysis_files
from offmidline.exam.folder import write_folder
from offmidline.exam.papers import assembled
from offmidline.exam.responses import read_responses
from offmidline.exam.secret import secret_of
from offmidline.records import AUDIENCES, load_library


def run_analyse(options: argparse.Namespace) -> int:
    """Write the report. Raises FaultsError before anything is written.

    The paper is assembled anew: it has to be given the seed that it was printed with.
    """
    scenarios: Path = options.scenarios
    library = load_library(scenarios, AUDIENCES)
    secret = secret_of(options.seed_file, os.environ, scenarios.resolve().parent)
    forms = {form.form: form for form in assembled(options.paper, library, scenarios, secret)}
    sheets = read_responses(options.responses, forms)
    write_folder(options.output, analysis_files(analyse(sheets, forms)))
    told = messages.text("exam.statistics.written", count=len(sheets), folder=options.output)
    sys.stdout.write(f"{told}\n")
    if secret is None:
        sys.stderr.write(messages.text("exam.statistics.specimen") + "\n")
    return 0
