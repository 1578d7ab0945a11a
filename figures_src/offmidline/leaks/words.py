"""The words by which examiners' records are known again: their ids and every text in them.

A text is looked for sentence by sentence, as a page may show one of several. What a trainee's
records or the program's own words say as well, and what is too short to be anybody's, tells
nothing and is passed over. Numbers are not looked for: in a page full of them each turns up.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Final

from offmidline.leaks.texts import letters
from offmidline.records import FaultsError
from offmidline.records.document import Document, Way
from offmidline.records.files import CASES, PAPERS, SOURCES, TECHNIQUES, load, records_in
from offmidline.records.kinds import KINDS
from offmidline.records.library import audience_of
from offmidline.records.yaml_text import read_document
from offmidline.site.settings import READS_NOTES

# Letters and digits from which on a text is hardly met by chance. Common practice, no source.
LEAST: Final = 8
# Below a case that trainees see, what only educators read.
_NOTES: Final = "teaching_notes"
_SENTENCE: Final = re.compile(r"(?<=[.!?;:])\s+")
_QUANTITY: Final = re.compile(r"[\d.,\s]+[^\d\s]{0,12}")


@dataclass(frozen=True)
class Word:
    """A text that may not be found.

    Attributes:
        text: as it is looked for.
        origin: where it comes from: file, line and column, and what it is there.
        exact: whether it is looked for with every mark in it; else by its letters and digits alone.
    """

    text: str
    origin: str
    exact: bool = False


def secret_words(scenarios: Path, audience: str) -> tuple[Word, ...]:
    """What a reader of an audience that sees no examiner's record may not find.

    Trainees do not read the teaching notes of their own cases either.

    Raises:
        FaultsError: where an examiner's record cannot be read, so that its words are unknown.
    """
    hidden, shown = _parted(scenarios)
    words = [word for document in hidden for word in _of_record(document)]
    if audience not in READS_NOTES:
        words += [word for document in shown for word in _notes(document)]
    public = _public(scenarios, shown)
    kept: dict[str, Word] = {}
    for word in words:
        if word.exact or (_telling(word.text) and letters(word.text) not in public):
            kept.setdefault(word.text.casefold(), word)
    return tuple(kept.values())


def words_in(path: Path) -> tuple[Word, ...]:
    """Further words, one a line. Raises OSError.

    Short ones and numbers are looked for as they are written.
    """
    lines = enumerate(path.read_text("utf-8").splitlines(), 1)
    return tuple(
        Word(line.strip(), f"{path}:{number}", exact=not _telling(line))
        for number, line in lines
        if line.strip()
    )


def _telling(text: str) -> bool:
    return len(letters(text)) >= LEAST and not _QUANTITY.fullmatch(text.strip())


def _parted(scenarios: Path) -> tuple[list[Document], list[Document]]:
    """The records that trainees may not see, and their cases. A case that does not say for whom it
    is counts as hidden.
    """
    cases = [_document(path, scenarios) for path in records_in(scenarios / CASES)]
    shown = [case for case in cases if audience_of(case) == "trainee"]
    folders = [kind.folder for kind in KINDS.values() if kind.audience is not None]
    hidden = [case for case in cases if case not in shown]
    hidden += [
        _document(path, scenarios) for name in folders for path in records_in(scenarios / name)
    ]
    faults = [fault for document in hidden if document.tree is None for fault in document.faults]
    if faults:
        raise FaultsError(faults)
    return hidden, shown


def _document(path: Path, scenarios: Path) -> Document:
    loaded = load(path, scenarios)
    document = read_document(loaded.data, path)
    if loaded.fault is not None:
        document.faults = [loaded.fault]
    return document


def _of_record(document: Document) -> Iterator[Word]:
    """The texts of a record, and where its pages and figures would lie, which also tells ids that
    are ordinary words.
    """
    name, folder = document.path.stem, document.path.parent.name
    origin = f"{document.path}: id"
    yield Word(name, origin)
    yield Word(f"{folder}/{name}.", origin, exact=True)
    if folder == CASES:
        yield Word(f"figure-{name}-", origin, exact=True)
    if folder == PAPERS:
        yield Word(f"{folder}/{name}/", origin, exact=True)
        yield Word(f"figure-paper-{name}-", origin, exact=True)
    yield from _texts(document, (), document.tree)


def _notes(document: Document) -> Iterator[Word]:
    tree = document.tree
    if isinstance(tree, dict):
        yield from _texts(document, (_NOTES,), tree.get(_NOTES))


def _texts(document: Document, way: Way, tree: object) -> Iterator[Word]:
    """Every sentence below a part of a file."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from _texts(document, (*way, key), value)
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            yield from _texts(document, (*way, number), value)
    elif isinstance(tree, str):
        mark = document.value_mark(way)
        key = next((step for step in reversed(way) if isinstance(step, str)), "")
        origin = f"{document.path}:{mark.line}:{mark.column}: {key}"
        for sentence in _SENTENCE.split(tree):
            yield Word(sentence, origin)


def _public(scenarios: Path, shown: Iterable[Document]) -> str:
    """The letters of all that trainees may read of the records, and of the program's words."""
    folders = [TECHNIQUES, *(kind.folder for kind in KINDS.values() if kind.audience is None)]
    paths = [path for name in folders for path in records_in(scenarios / name)]
    texts = [load(path, scenarios).data.decode("utf-8", "replace") for path in paths]
    texts.append(load(scenarios / SOURCES, scenarios).data.decode("utf-8", "replace"))
    texts += [word.text for case in shown for word in _shown_texts(case)]
    texts.append(resources.files("offmidline").joinpath("messages.yml").read_text("utf-8"))
    return "\n".join(map(letters, texts))


def _shown_texts(document: Document) -> Iterator[Word]:
    tree = document.tree
    if isinstance(tree, dict):
        read = {key: value for key, value in tree.items() if key != _NOTES}
        yield from _texts(document, (), read)
