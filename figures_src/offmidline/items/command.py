"""The command that prints the items of a case."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from offmidline import messages
from offmidline.items.bank import make
from offmidline.items.models import MODELS
from offmidline.items.report import as_json, as_text
from offmidline.plan import plan_case
from offmidline.records import AUDIENCES, Fault, FaultsError, load_library, read_case


def run_items(options: argparse.Namespace) -> int:
    """Print the items of a case. Raises FaultsError for a bad file or an unknown model."""
    if options.model is not None and options.model not in MODELS:
        known = messages.either(MODELS)
        message = messages.text("items.faults.unknown_model", model=options.model, known=known)
        raise FaultsError([Fault("--model", 1, 1, message)])
    case_file: Path = options.case
    case = read_case(case_file, options.scenarios)
    library = load_library(options.scenarios, AUDIENCES)
    planned = plan_case(case, library.techniques[case.technique])
    models = MODELS.values() if options.model is None else [MODELS[options.model]]
    items = make(planned, library, models, options.seed)
    if options.format == "json":
        printed = json.dumps([as_json(item) for item in items], indent=2, ensure_ascii=False)
    else:
        printed = "\n\n".join(map(as_text, items))
    sys.stdout.write(printed + "\n")
    return 0
