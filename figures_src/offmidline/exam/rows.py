"""A CSV file as rows of texts, or what is wrong with it.

UTF-8, with or without a byte order mark; cells parted by commas or by semicolons, whichever the
first line holds; quotes after RFC 4180. Rows in which every cell is empty are passed over, as
spreadsheets leave them behind.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from stat import S_ISREG
from typing import Final

from offmidline import messages
from offmidline.records.faults import Fault, FaultsError, shown, whole_file

# A hundred thousand candidates with two hundred answers each; common practice, no source.
MAX_BYTES: Final = 64 * 1024 * 1024
# More faults than this in one file are one fault, such as the wrong paper: the rest is counted.
MOST_FAULTS: Final = 1000
DELIMITERS: Final = ",;"
# What spreadsheets take for the beginning of a formula.
_FORMULA: Final = "=+-@"
_LONGEST_NAME: Final = 80


@dataclass(frozen=True)
class Row:
    """The texts of a row without the spaces around them, and the line in which it begins."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The rows below the header that have as many cells as it, and the faults found so far."""

    path: str
    header: Row
    rows: tuple[Row, ...]
    faults: Faults


@dataclass
class Faults:
    """The faults of one file; the first thousand are kept and the others counted."""

    path: str
    found: list[Fault] = field(default_factory=list)
    more: int = 0

    def add(self, line: int, column: int, name: str, /, **values: object) -> None:
        """Note a fault, whose words are ``exam.faults``; columns are those of the table."""
        if len(self.found) < MOST_FAULTS:
            self.found.append(Fault(self.path, line, column, say(name, **values)))
        else:
            self.more += 1

    def refuse(self) -> None:
        """Raise FaultsError where there is any."""
        if self.more:
            last = self.found[-1].line
            self.found.append(Fault(self.path, last, 1, say("more", count=self.more)))
        if self.found:
            raise FaultsError(self.found)


def say(name: str, /, **values: object) -> str:
    """The words of a fault; texts of the file are made printable and short."""
    told = {key: shown(text) if isinstance(text, str) else text for key, text in values.items()}
    return messages.text(f"exam.faults.{name}", **told)


def read_table(path: Path, first: str) -> Table:
    """The table of a file.

    Args:
        path: of the file.
        first: the name of its first column, by which the header is known.

    Raises:
        FaultsError: where it cannot be read as a table at all.
        OSError: where it cannot be read.
    """
    return parse_table(_bytes(path), path, first)


def parse_table(data: bytes, path: Path, first: str) -> Table:
    """The table that the bytes of a file hold; raises FaultsError as ``read_table`` does."""
    text = _text(data, path)
    faults = Faults(str(path))
    rows = _rows(text, _delimiter(text, path, first), faults)
    header = next(rows, None)
    if header is None:
        faults.refuse()
        raise FaultsError([whole_file(path, say("empty"))])
    width = len(header.cells)
    kept = []
    for row in rows:
        if len(row.cells) == width:
            kept.append(row)
        else:
            faults.add(
                row.line, min(len(row.cells), width), "ragged", count=len(row.cells), due=width
            )
    if not kept and not faults.found:
        faults.add(header.line, 1, "no_rows")
    return Table(str(path), header, tuple(kept), faults)


def columns_of(table: Table, due: Iterable[str], also: Iterable[str] = ()) -> dict[str, int]:
    """The place of each column of a table by its name; the order of columns does not matter.

    Every one of ``due`` has to be there, those of ``also`` may be, and there is no other. Raises
    FaultsError where the header is not so.
    """
    wanted = tuple(due)
    known = (*wanted, *also)
    places, sound = _places(table, wanted)
    for name, at in places.items():
        if name not in known:
            sound = False
            names = messages.either(known)
            table.faults.add(table.header.line, at + 1, "unknown_column", name=name, known=names)
    if not sound:
        table.faults.refuse()
    return places


def judges_of(table: Table, due: Iterable[str], least: int) -> dict[str, int]:
    """The columns that are not ``due``: one a judge, at least so many, by the judges' names.

    Raises FaultsError where the header is not so.
    """
    wanted = tuple(due)
    places, sound = _places(table, wanted)
    judges = {name: at for name, at in places.items() if name not in wanted}
    line = table.header.line
    for name, at in judges.items():
        sound &= refuse_name(table.faults, line, at + 1, name)
    if len(judges) < least:
        sound = False
        table.faults.add(line, len(table.header.cells), "judges", count=least)
    if not sound:
        table.faults.refuse()
    return judges


def _places(table: Table, due: Iterable[str]) -> tuple[dict[str, int], bool]:
    """The place of each name in the header, and whether none is there twice and none missing."""
    line, sound = table.header.line, True
    places: dict[str, int] = {}
    for at, name in enumerate(table.header.cells):
        if name in places:
            sound = False
            table.faults.add(line, at + 1, "column_twice", name=name, first=places[name] + 1)
        places.setdefault(name, at)
    for name in due:
        if name not in places:
            sound = False
            table.faults.add(line, len(table.header.cells), "missing_column", name=name)
    return places, sound


def refuse_name(faults: Faults, line: int, column: int, name: str) -> bool:
    """Whether a name can be used; a fault is noted where it is missing, or could do harm where the
    tables made of it are opened.
    """
    if not name:
        faults.add(line, column, "no_name")
    elif name[0] in _FORMULA:
        faults.add(line, column, "formula", name=name, sign=name[0])
    elif not name.isprintable() or len(name) > _LONGEST_NAME:
        faults.add(line, column, "bad_name", name=name, most=_LONGEST_NAME)
    else:
        return True
    return False


def _bytes(path: Path) -> bytes:
    status = path.stat()
    if not S_ISREG(status.st_mode):
        raise FaultsError([whole_file(path, say("no_file"))])
    if status.st_size > MAX_BYTES:
        size = MAX_BYTES // (1024 * 1024)
        raise FaultsError([whole_file(path, say("too_large", megabytes=size))])
    return path.read_bytes()


def _text(data: bytes, path: Path) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FaultsError([whole_file(path, say("utf16"))])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig")
        byte = f"0x{data[error.start]:02x}"
        raise FaultsError([_at(path, before, say("not_utf8", byte=byte))]) from error
    if "\0" in text:
        raise FaultsError([_at(path, text[: text.index("\0")], say("nul"))])
    if not text.strip():
        raise FaultsError([whole_file(path, say("empty"))])
    return text


def _at(path: Path, before: str, message: str) -> Fault:
    """A fault at the character behind a text."""
    return Fault(str(path), before.count("\n") + 1, len(before) - before.rfind("\n"), message)


def _delimiter(text: str, path: Path, first: str) -> str:
    """The sign that parts the cells of the header."""
    line = text.lstrip("\r\n").partition("\n")[0].strip()
    name = line.replace('"', "").strip()
    for sign in DELIMITERS:
        if name.partition(sign)[0].strip() == first and sign in name:
            return sign
    raise FaultsError([whole_file(path, say("header", line=line, first=first))])


def _rows(text: str, delimiter: str, faults: Faults) -> Iterator[Row]:
    # Ends of lines are handed over as they are: quoted cells may hold some.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = tuple(cell.strip() for cell in next(reader))
        except StopIteration:
            return
        except csv.Error:
            faults.add(line, 1, "quotes")
            return
        if any(cells):
            yield Row(line, cells)
