"""``offmidline draw`` and ``offmidline views``: a view of a case, or a chart, as a file."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from offmidline import messages
from offmidline.figures import CHARTS, VIEWS, NoMarkingError, UnknownPartError, View
from offmidline.figures.chart import subject_of
from offmidline.figures.page import export
from offmidline.figures.page.style import THEMES, Theme
from offmidline.figures.view import WHOLE
from offmidline.figures.words import say
from offmidline.plan import CasePlan, plan_case
from offmidline.records import load_library, read_case, read_technique

# The theme of a page has no place in a file of its own.
FILE_THEMES: Final[Mapping[str, Theme]] = MappingProxyType(
    {theme: theme for theme in THEMES if theme != "css"}
)
# Before the name of a chart in the list of what can be drawn.
CHART_PREFIX: Final = "chart:"
# Widths of a picture (mm) between which its text can be read and its file be handled.
NARROWEST: Final = 20.0
WIDEST: Final = 1000.0


class WrongOptionError(ValueError):
    """An option has a value that it cannot have; the message says which it can."""


def run_draw(options: argparse.Namespace) -> int:
    """Draw a view of a case into a file. Returns the exit status; raises FaultsError for a faulty
    case.
    """
    try:
        file_format = _file_format(options.output, options.format)
        _check_width(options.width)
        if options.chart is not None:
            _draw_chart(options, file_format)
            return 0
        view = _named_view(options.view)
        case = read_case(_case_file(options.case), options.scenarios)
        planned = plan_case(case, read_technique(case.technique, options.scenarios))
        theme = FILE_THEMES[options.theme]
        parts = view.parts(planned) if options.part is None else (options.part,)
        # All are drawn before the first is written.
        drawn = {
            _path_of(options.output, parts, part): figure_file(
                planned, view, file_format, theme, part=part, width_mm=options.width
            )
            for part in parts
        }
        for path, data in drawn.items():
            write_whole(path, data)
        if len(drawn) > 1:
            sys.stdout.write("".join(f"{path}\n" for path in drawn))
    except UnknownPartError as wrong:
        return _refuse(wrong.args[0])
    except (WrongOptionError, NoMarkingError) as wrong:
        return _refuse(str(wrong))
    return 0


def _draw_chart(options: argparse.Namespace, file_format: str) -> None:
    """Write a chart, ``NAME`` or ``NAME:KEY``."""
    if options.case is not None or options.part is not None:
        raise WrongOptionError(say("faults.chart_alone"))
    name, _, key = options.chart.partition(":")
    if name not in CHARTS:
        raise WrongOptionError(
            say("faults.unknown_chart", chart=name, known=messages.either(CHARTS))
        )
    chart = CHARTS[name]
    # Charts show no case, so that it does not matter whose cases are read.
    subject = subject_of(load_library(options.scenarios, ()))
    words, drawing = chart.words(subject, key), chart.draw(subject, key)
    width = options.width or drawing.width
    figure_id = "-".join(filter(None, (name, key.replace(".", "-"))))
    theme = FILE_THEMES[options.theme]
    write_whole(
        options.output, export.FORMATS[file_format](drawing, theme, words, figure_id, width)
    )


def run_views() -> int:
    """List the views by their names, then the charts as they are asked for."""
    listed = {view.name: view.summary for view in VIEWS.values()}
    listed |= {f"{CHART_PREFIX}{chart.name}": chart.summary for chart in CHARTS.values()}
    room = max(map(len, listed))
    for name, summary in listed.items():
        sys.stdout.write(f"{name:<{room}}  {summary}\n")
    return 0


def figure_file(
    planned: CasePlan,
    view: View,
    file_format: str,
    theme: Theme,
    *,
    part: str = WHOLE,
    width_mm: float | None = None,
) -> bytes:
    """A picture of a view as the content of a file (one of ``export.FORMATS``), of its own width
    where none is given (mm).
    """
    words, drawing = view.words(planned, part), view.draw(planned, part)
    figure_id = "-".join(filter(None, (planned.case.case, view.name, part)))
    return export.FORMATS[file_format](drawing, theme, words, figure_id, width_mm or drawing.width)


def _path_of(output: Path, parts: tuple[str, ...], part: str) -> Path:
    """Where a picture is written: each of several has its place and name in the file's name."""
    if len(parts) == 1:
        return output
    return output.with_stem(f"{output.stem}-{parts.index(part) + 1}-{part}")


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that nobody ever sees a part of it; raises WrongOptionError where it cannot
    be.
    """
    name = ""
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".", delete=False) as file:
            name = file.name
            file.write(data)
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except OSError as error:
        if name:
            Path(name).unlink(missing_ok=True)
        reason = error.strerror or str(error)
        raise WrongOptionError(say("faults.unwritable", path=path, reason=reason)) from error


def _named_view(name: str) -> View:
    if name not in VIEWS:
        known = messages.either(VIEWS)
        raise WrongOptionError(say("faults.unknown_view", view=name, known=known))
    return VIEWS[name]


def _case_file(path: Path | None) -> Path:
    if path is None:
        raise WrongOptionError(say("faults.no_case"))
    return path


def _file_format(path: Path, given: str | None) -> str:
    """The format that is given or that the file's ending names."""
    found = given or path.suffix.lower().removeprefix(".")
    if found not in export.FORMATS:
        known = messages.either(export.FORMATS)
        raise WrongOptionError(say("faults.ending", path=path, known=known))
    return found


def _check_width(width_mm: float | None) -> None:
    if width_mm is not None and not NARROWEST <= width_mm <= WIDEST:
        raise WrongOptionError(
            say("faults.width", value=width_mm, low=f"{NARROWEST:g}", high=f"{WIDEST:g}")
        )


def _refuse(message: str) -> int:
    sys.stderr.write(f"{message}\n")
    return 1
