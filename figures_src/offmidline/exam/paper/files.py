"""The printed files of a paper's forms, by their names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from offmidline.exam.form import Form, label
from offmidline.exam.paper.candidate import candidate_pdf
from offmidline.exam.paper.figures import shown_in
from offmidline.exam.paper.key import key_pdf
from offmidline.exam.qti import package
from offmidline.exam.responses import CANDIDATE, FORM, MINUTES
from offmidline.records import Source


def paper_files(forms: Iterable[Form], sources: Mapping[str, Source]) -> dict[str, bytes]:
    """For every form the candidates' paper, the key, the questions as a package, and the sheet for
    the answers.
    """
    files = {}
    for form in forms:
        shown, stem = shown_in(form), stem_of(form)
        files[f"{stem}-candidate.pdf"] = candidate_pdf(form, shown)
        files[f"{stem}-key.pdf"] = key_pdf(form, shown, sources)
        files[f"{stem}-qti.zip"] = package(form)
        files[f"{stem}-scoresheet.csv"] = score_sheet(form)
    return files


def stem_of(form: Form) -> str:
    """How the names of a form's files begin; a specimen's say that it is one."""
    return "-".join((form.paper, form.form, *(("specimen",) if form.specimen else ())))


def score_sheet(form: Form) -> bytes:
    """The first line of the file in which the answers to a form are collected."""
    questions = [label(number) for number in range(1, len(form.items) + 1)]
    return (",".join((CANDIDATE, FORM, *questions, MINUTES)) + "\n").encode()
