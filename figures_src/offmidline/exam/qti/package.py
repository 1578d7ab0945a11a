"""The package of a form: its questions with their pictures, the paper, the list of files, and what
is left out.

The same form gives the same bytes: dates are fixed, names sorted, nothing compressed, as programs
compress differently.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterable, Mapping
from typing import Final

from offmidline import messages
from offmidline.exam.form import Form, label
from offmidline.exam.qti.answering import answering
from offmidline.exam.qti.apex import Apex, NoPlaceError, apex_question
from offmidline.exam.qti.contents import (
    LEFT_OUT,
    MANIFEST,
    PAPER,
    Question,
    manifest_of,
    test_of,
    title_of,
)
from offmidline.exam.qti.frame import question
from offmidline.exam.qti.images import COARSE, FINE, image_of
from offmidline.exam.qti.markup import document, element, paragraphs
from offmidline.exam.qti.point import pointed
from offmidline.items.item import Item
from offmidline.plan import CasePlan

# The first date that a zip file can hold.
_DATE: Final = (1980, 1, 1, 0, 0, 0)
# An ordinary file on Unix that its owner may write and everybody may read.
_UNIX: Final = 3
_MODE: Final = 0o100644 << 16
_IDENT_LENGTH: Final = 16


def package(form: Form) -> bytes:
    """The package of a form as a zip file. It holds the key."""
    printed = [
        question_of(number, item, planned)
        for number, (item, planned) in enumerate(zip(form.items, form.plans, strict=True), 1)
    ]
    beyond, missing = _beyond(form)
    questions = [*printed, *beyond]
    files = {one.path: document(one.root) for one in questions}
    files |= {image.path: image.data for one in questions for image in one.images}
    files[PAPER] = test_of(form, printed, beyond)
    files[MANIFEST] = manifest_of(form, questions)
    files[LEFT_OUT] = _left_out(form, missing)
    return _zipped(files)


def question_of(number: int, item: Item, planned: CasePlan) -> Question:
    """An item as question number ``number`` (from 1), with the pictures of its own case."""
    name = _alternative(number)
    shown = [image_of(picture, planned, FINE, name) for picture in item.pictures]
    drawings = {
        at: image_of(option.picture, planned, COARSE, option.text)
        for at, option in enumerate(item.options)
        if option.picture is not None
    }
    stem = [*paragraphs([item.stem]), *(element("p", {}, one.markup) for one in shown)]
    identifier = f"{label(number)}-{item.ident}"
    root = question(identifier, number, stem, answering(item, drawings))
    return Question(label(number), identifier, root, (*shown, *drawings.values()))


def point_question(number: int, apex: Apex) -> Question:
    """The question for an apex. Raises NoPlaceError where it lies beyond its picture."""
    asked, picture = pointed(apex, _alternative(number))
    content = f"{apex.stem}{apex.lead_in}{picture.path}"
    ident = hashlib.sha256(content.encode()).hexdigest()[:_IDENT_LENGTH]
    identifier = f"{label(number)}-{ident}"
    root = question(identifier, number, paragraphs([apex.stem]), asked)
    return Question(label(number), identifier, root, (picture,))


def _alternative(number: int) -> str:
    return messages.text("exam.paper.figure", number=number)


def _beyond(form: Form) -> tuple[list[Question], dict[str, str]]:
    """A question for the apex of every case of the form, and why some cases have none.

    Questions ask of variants of a case; the first of them is taken.
    """
    made: list[Question] = []
    missing: dict[str, str] = {}
    first = {planned.case.case: planned for planned in reversed(form.plans)}
    for case in sorted(first):
        try:
            apex = apex_question(first[case])
            made.append(point_question(len(form.items) + len(made) + 1, apex))
        except NoPlaceError as error:
            missing[case] = str(error)
    return made, missing


def _left_out(form: Form, missing: Mapping[str, str]) -> bytes:
    """What a printed paper or its key has and the package has not, with the reasons."""
    lines = [
        title_of(form),
        messages.text("caution.text"),
        messages.text("exam.package.left_out.heading"),
        *_listed(messages.section("exam.package.left_out.always").values()),
        *_listed(
            messages.text("exam.package.left_out.apex", case=case, why=why)
            for case, why in missing.items()
        ),
    ]
    return ("\n".join(lines) + "\n").encode()


def _listed(lines: Iterable[str]) -> list[str]:
    return [f"- {line}" for line in lines]


def _zipped(files: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, _DATE)
            entry.create_system, entry.external_attr = _UNIX, _MODE
            archive.writestr(entry, files[name])
    return out.getvalue()
