"""The commands. Each is a small function that imports what it needs when it runs."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from offmidline import __version__

SCENARIOS: Final = Path("scenarios")
SCHEMA_FOLDER: Final = "schema"

DONE: Final = 0
FAULTS: Final = 1
INTERRUPTED: Final = 130


class Command(NamedTuple):
    """A command: its help, what it adds to its parser, and what it does."""

    help: str
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command. Returns 0 when done and 1 for faults; wrong usage exits with 2."""
    options = _parser().parse_args(arguments)
    try:
        status = _run(options)
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:  # whoever read the output has gone
        _discard_output()
        return FAULTS
    except KeyboardInterrupt:
        return INTERRUPTED
    return status


def _run(options: argparse.Namespace) -> int:
    """Run the command and print the faults that it raises, one to a line."""
    from offmidline.records.faults import FaultsError, whole_file

    try:
        status: int = options.run(options)
    except FaultsError as error:
        faults: Sequence[object] = error.faults
    except BrokenPipeError:
        raise
    except OSError as error:
        faults = [whole_file(error.filename or options.scenarios, error.strerror or str(error))]
    else:
        return status
    for fault in faults:
        sys.stderr.write(f"{fault}\n")
    return FAULTS


def _discard_output() -> None:
    """Let the interpreter close its streams without a complaint."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="offmidline", description="A teaching handbook of one operation from case files."
    )
    parser.add_argument("--version", action="version", version=f"offmidline {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for name, command in COMMANDS.items():
        own = commands.add_parser(name, help=command.help, description=command.help)
        command.arguments(own)
        own.add_argument(
            "--scenarios",
            type=Path,
            default=SCENARIOS,
            metavar="DIR",
            help="folder of techniques, sources and cases (default: %(default)s)",
        )
        own.set_defaults(run=command.run)
    return parser


def _check_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "paths",
        nargs="*",
        type=Path,
        metavar="PATH",
        help="file, or folder of files (default: all records of the scenarios folder)",
    )


def _check(options: argparse.Namespace) -> int:
    """Report every fault of the files, or how many files are without."""
    from offmidline import messages
    from offmidline.records import FaultsError, check_files

    count, faults = check_files(options.paths, options.scenarios)
    if faults:
        raise FaultsError(faults)
    sys.stdout.write(messages.text("faults.none_found", count=count) + "\n")
    return DONE


def _schema_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        metavar="DIR",
        help=f"folder to write to (default: {SCHEMA_FOLDER} in the scenarios folder)",
    )


def _schema(options: argparse.Namespace) -> int:
    """Write the JSON Schemas that editors use."""
    from offmidline.records.schema import schema_files

    folder = options.output or options.scenarios / SCHEMA_FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schema_files().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    return DONE


def _printed_as(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help=f"how the {what} are printed (default: %(default)s)",
    )


def _measure_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", type=Path, metavar="CASE", help="case file")
    _printed_as(parser, "measures")


def _measure(options: argparse.Namespace) -> int:
    """Print everything that is computed for a case, and every rule's verdict."""
    import json

    from offmidline.plan import plan_case
    from offmidline.records import read_case, read_technique
    from offmidline.report import report, report_text

    case = read_case(options.case, options.scenarios)
    planned = plan_case(case, read_technique(case.technique, options.scenarios))
    if options.format == "json":
        printed = json.dumps(report(planned), indent=2, ensure_ascii=False)
    else:
        printed = report_text(planned)
    sys.stdout.write(printed + "\n")
    return DONE


def _write_arguments(parser: argparse.ArgumentParser) -> None:
    from offmidline.site.settings import DEFAULT_AUDIENCE, DEFAULT_TECHNIQUE, SEES

    parser.add_argument("folder", type=Path, metavar="DIR", help="folder to write to")
    parser.add_argument(
        "--handbook",
        type=Path,
        default=Path("handbook"),
        metavar="DIR",
        help="folder of chapters (default: %(default)s)",
    )
    parser.add_argument(
        "--audience",
        choices=tuple(SEES),
        default=DEFAULT_AUDIENCE,
        help="whose cases are written (default: %(default)s)",
    )
    parser.add_argument(
        "--technique",
        default=DEFAULT_TECHNIQUE,
        metavar="ID",
        help="the technique that the chapters show (default: %(default)s)",
    )


def _write(options: argparse.Namespace) -> int:
    """Write the handbook as Markdown, drawings and assets."""
    from offmidline import messages
    from offmidline.site.settings import Settings, secret_for
    from offmidline.site.write import write_tree

    settings = Settings(
        scenarios=options.scenarios,
        handbook=options.handbook,
        audience=options.audience,
        technique=options.technique,
        secret=secret_for(options.audience, options.scenarios),
    )
    count = write_tree(settings, options.folder)
    sys.stdout.write(messages.text("site.written", count=count, folder=options.folder) + "\n")
    return DONE


def _draw_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", type=Path, nargs="?", metavar="CASE", help="case file")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument(
        "--view", metavar="NAME", help="what of the case is drawn: `offmidline views` lists them"
    )
    what.add_argument(
        "--chart", metavar="NAME[:KEY]", help="a chart of published results; it needs no case"
    )
    parser.add_argument(
        "--part",
        metavar="NAME",
        help="one picture of a view that has several (default: all, each in a file of its own)",
    )
    parser.add_argument(
        "-o", "--output", required=True, type=Path, metavar="FILE", help="ending .svg, .png or .pdf"
    )
    parser.add_argument(
        "--format", choices=("svg", "png", "pdf"), help="what is written, whatever the ending is"
    )
    parser.add_argument(
        "--width", type=float, metavar="MM", help="width of the picture (default: true to scale)"
    )
    parser.add_argument(
        "--theme",
        choices=("light", "dark", "grey"),
        default="light",
        help="colours (default: %(default)s)",
    )


def _draw(options: argparse.Namespace) -> int:
    """Draw a view of a case, or a chart, into a file."""
    from offmidline.figures.command import run_draw

    return run_draw(options)


def _items_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("case", type=Path, metavar="CASE", help="case file")
    parser.add_argument("--model", metavar="NAME", help="one model of items (default: all)")
    parser.add_argument(
        "--seed",
        default="1",
        metavar="TEXT",
        help="what chance is drawn from: the same seed gives the same items (default: %(default)s)",
    )
    _printed_as(parser, "items")


def _items(options: argparse.Namespace) -> int:
    """Print the questions that a case gives, with their keys."""
    from offmidline.items.command import run_items

    return run_items(options)


def _output_folder(parser: argparse.ArgumentParser, told: str) -> None:
    parser.add_argument("-o", "--output", required=True, type=Path, metavar="DIR", help=told)


def _seed_file(parser: argparse.ArgumentParser, told: str) -> None:
    default = "(default: what OFFMIDLINE_SEED_FILE names)"
    parser.add_argument("--seed-file", type=Path, metavar="FILE", help=f"{told} {default}")


def _analyse_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "responses", type=Path, metavar="RESPONSES", help="CSV file of the candidates' answers"
    )
    parser.add_argument(
        "--paper", required=True, metavar="ID", help="the paper that they sat, by its id"
    )
    _seed_file(parser, "the secret seed that the paper was made with")
    _output_folder(parser, "folder to write to")


def _analyse(options: argparse.Namespace) -> int:
    """Analyse the answers to a paper: questions, reliability, what was misunderstood."""
    from offmidline.exam.analyse_command import run_analyse

    return run_analyse(options)


def _standard_arguments(parser: argparse.ArgumentParser) -> None:
    from offmidline.exam.standard import METHODS

    parser.add_argument("ratings", type=Path, metavar="RATINGS", help="CSV file of judges' ratings")
    parser.add_argument("--method", required=True, choices=METHODS, help="how the cut is set")
    parser.add_argument(
        "--scores", type=Path, metavar="FILE", help="CSV file of candidates' scores, for hofstee"
    )
    parser.add_argument(
        "--borderline",
        type=float,
        metavar="GRADE",
        help="the grade that is borderline, for borderline-regression",
    )
    _output_folder(parser, "folder to write to")


def _standard(options: argparse.Namespace) -> int:
    """Set a cut score from judges' ratings, and write its report."""
    from offmidline.exam.standard.command import run_standard

    return run_standard(options)


def _leaks_arguments(parser: argparse.ArgumentParser) -> None:
    from offmidline.site.settings import DEFAULT_AUDIENCE, HIDES

    parser.add_argument("folder", type=Path, metavar="DIR", help="folder that was built")
    parser.add_argument(
        "--audience",
        choices=tuple(HIDES),
        default=DEFAULT_AUDIENCE,
        help="for whom it was built (default: %(default)s)",
    )
    parser.add_argument(
        "--words", type=Path, metavar="FILE", help="further words that may not be found, one a line"
    )


def _leaks(options: argparse.Namespace) -> int:
    """Search a finished folder for examiners' records, in whatever they may be wrapped."""
    from offmidline.leaks.command import run_leaks

    return run_leaks(options)


def _paper_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("paper", metavar="ID", help="a paper of the scenarios folder")
    _output_folder(
        parser, "folder to write to: a new one, or one that holds nothing but the paper's files"
    )
    _seed_file(parser, "the secret seed, outside the project; without it the paper is a specimen")
    parser.add_argument(
        "--real", action="store_true", help="refuse to make a specimen where no secret is named"
    )


def _paper(options: argparse.Namespace) -> int:
    """Write the forms of a paper, their keys, and the sheets for the answers."""
    from offmidline.exam.paper.command import run_paper

    return run_paper(options)


def _no_arguments(_parser: argparse.ArgumentParser) -> None:
    pass


def _views(_options: argparse.Namespace) -> int:
    """List the views and charts that can be drawn."""
    from offmidline.figures.command import run_views

    return run_views()


COMMANDS: Final = {
    "analyse": Command("Analyse the answers to a paper.", _analyse_arguments, _analyse),
    "check": Command("Check cases, techniques and sources.", _check_arguments, _check),
    "draw": Command("Draw a view of a case, or a chart, into a file.", _draw_arguments, _draw),
    "items": Command("Print the questions that a case gives.", _items_arguments, _items),
    "leaks": Command(
        "Search a finished folder for what its readers may not see.", _leaks_arguments, _leaks
    ),
    "measure": Command("Measure and judge the marking of a case.", _measure_arguments, _measure),
    "paper": Command(
        "Write the forms of a paper, their keys, and the sheets for the answers.",
        _paper_arguments,
        _paper,
    ),
    "schema": Command("Write the JSON Schemas of the records.", _schema_arguments, _schema),
    "standard": Command("Set a cut score from judges' ratings.", _standard_arguments, _standard),
    "views": Command("List the views and charts that can be drawn.", _no_arguments, _views),
    "write": Command(
        "Write the handbook as Markdown, drawings and assets.", _write_arguments, _write
    ),
}
