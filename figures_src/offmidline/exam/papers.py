"""The forms of a paper by its id, or every reason why there are none, at its place in the file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from offmidline import messages
from offmidline.exam.assemble import forms_of
from offmidline.exam.blueprint import BlueprintError
from offmidline.exam.form import Form
from offmidline.items.lint import FlawedItemsError
from offmidline.items.models import MODELS
from offmidline.items.variant import NoVariantError
from offmidline.records import Fault, FaultsError, Library, Paper
from offmidline.records.faults import shown, whole_file
from offmidline.records.files import PAPERS, SUFFIX, load
from offmidline.records.yaml_text import read_document


def assembled(
    name: str, library: Library, scenarios: Path, secret: bytes | None
) -> tuple[Form, ...]:
    """The forms of a paper by its id.

    Raises FaultsError where there is none of that id, at every row of its history of a model that
    there is not, at every row that cannot be filled, and for cases that give no good questions.
    """
    file = scenarios / PAPERS / f"{name}{SUFFIX}"
    if name not in library.papers:
        known = messages.either(library.papers) if library.papers else _say("faults.none")
        raise FaultsError(
            [whole_file(file, _say("faults.unknown", paper=shown(name), known=known))]
        )
    _refuse_unknown_models(library.papers[name], file, scenarios)
    try:
        return forms_of(library.papers[name], library, secret)
    except BlueprintError as error:
        raise FaultsError(
            _located(
                file, scenarios, [(("blueprint", one.row), str(one)) for one in error.shortages]
            )
        ) from error
    except FlawedItemsError as error:
        raise FaultsError(
            whole_file(
                file, _say("faults.flawed", item=flaw.item, rule=flaw.rule, found=shown(flaw.found))
            )
            for flaw in error.flaws
        ) from error
    except NoVariantError as error:
        raise FaultsError([whole_file(file, _say("faults.no_variant", case=error))]) from error


def _refuse_unknown_models(paper: Paper, file: Path, scenarios: Path) -> None:
    """What is noted of a model under a wrong name would be passed over in silence."""
    wrong = [
        (("history", row, "model"), _say("faults.unknown_model", model=shown(sitting.model)))
        for row, sitting in enumerate(paper.history)
        if sitting.model not in MODELS
    ]
    if wrong:
        raise FaultsError(_located(file, scenarios, wrong))


def _located(
    file: Path, scenarios: Path, found: Iterable[tuple[tuple[str | int, ...], str]]
) -> Iterator[Fault]:
    """Faults of a paper's record at the values that the paths lead to."""
    document = read_document(load(file, scenarios).data, file)
    for path, message in found:
        mark = document.value_mark(path)
        yield Fault(str(file), mark.line, mark.column, message)


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"exam.paper.{name}", **values)
