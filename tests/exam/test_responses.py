"""Answers read from CSV: what is accepted, and that every fault is named with its place."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.exam.cohort import choice, form, ordered, typed

from offmidline.exam.responses import Sheet, read_responses, responses_of
from offmidline.exam.rows import MOST_FAULTS, parse_table
from offmidline.records.faults import FaultsError

FORMS = {
    "A": form([choice(1, "B"), typed(2), ordered(3)], "A"),
    "B": form([choice(1, "B", options=3), typed(2)], "B"),
}
HEADER = "candidate,form,Q1,Q2,Q3"
FAULT = re.compile(r"^(?P<file>.+):(?P<line>\d+):(?P<column>\d+): (?P<wrong>.+)$")
PATH = Path("answers.csv")


def read(text: str | bytes) -> tuple[Sheet, ...]:
    """The answers of a file's content."""
    data = text.encode() if isinstance(text, str) else text
    return responses_of(parse_table(data, PATH, "candidate"), FORMS)


def faults(text: str | bytes) -> list[tuple[int, int, str]]:
    """Line, column and words of the faults of a file's content."""
    with pytest.raises(FaultsError) as raised:
        read(text)
    found = []
    for fault in raised.value.faults:
        assert FAULT.fullmatch(str(fault))
        found.append((fault.line, fault.column, fault.message))
    return found


def test_each_kind_of_answer() -> None:
    """A letter, a number as typed, an order as printed, and none."""
    (first, second, third) = read(f"{HEADER}\n1,A,B,20.4,BDAC\n2,A,c,,b d a c\n3,B,C,19,\n")
    # Printed as A third, B first, C fourth, D second: BDAC is the right order.
    assert first == Sheet("1", "A", (1, "20.4", (0, 1, 2, 3)))
    assert second.answers == (2, None, (0, 1, 2, 3))
    assert third.answers == (2, "19")


@pytest.mark.parametrize(
    "text",
    [
        f"\ufeff{HEADER}\n1,A,B,20,BDAC\n",
        f"{HEADER}\r\n1,A,B,20,BDAC\r\n",
        f"{HEADER}\n1,A,B,20,BDAC",
        f"{HEADER}\n\n1,A,B,20,BDAC\n,,,,\n",
        'candidate,"form",Q1,Q2,Q3\n"1",A," B ",20,"BDAC"\n',
        "candidate;form;Q1;Q2;Q3\n1;A;B;20;BDAC\n",
        "candidate,Q3,Q1,Q2,form\n1,BDAC,B,20,A\n",
    ],
    ids=["bom", "crlf", "no-end", "blank", "quotes", "semicolons", "other-order"],
)
def test_what_spreadsheets_write(text: str) -> None:
    """Byte order mark, ends of lines, blank rows, quotes, semicolons, columns moved."""
    assert read(text) == (Sheet("1", "A", (1, "20", (0, 1, 2, 3))),)


@pytest.mark.parametrize(
    "text",
    ['candidate,form,Q1,Q2,Q3\n1,A,B,"20,4",\n', "candidate;form;Q1;Q2;Q3\n1;A;B;20,4;\n"],
)
def test_a_decimal_comma(text: str) -> None:
    """It is read where it parts no cells."""
    assert read(text)[0].answers == (1, "20,4", None)


def test_minutes() -> None:
    """A column of minutes may be there, and empty."""
    one, other = read("candidate,form,Q1,Q2,Q3,minutes\n1,A,B,,,41.5\n2,A,B,,,\n")
    assert (one.minutes, other.minutes) == (41.5, None)


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("", (1, 1), "empty"),
        (" \n \n", (1, 1), "empty"),
        (HEADER, (1, 1), "no row"),
        ("candidate,form,Q1,Q3\n1,A,B,BDAC\n", (1, 4), "Q2 is missing"),
        ("candidate,form,Q1,Q2,Q3,Q4\n1,A,B,,,\n", (1, 6), "Q4 is not known"),
        ("candidate,form,Q1,Q2,Q3,Q1\n1,A,B,,,\n", (1, 6), "twice, first as column 3"),
        ("candidate\tform\tQ1\tQ2\tQ3\n1\tA\tB\t\t\n", (1, 1), "commas or by semicolons"),
        ("1,A,B,20,BDAC\n", (1, 1), "must name the columns"),
        (f"{HEADER}\n1,A,B,20\n", (2, 4), "4 cells and the first line has 5"),
        (f"{HEADER}\n1,A,B,20,4,BDAC\n", (2, 5), "decimal comma needs quotes"),
        (f"{HEADER}\n1,A,B,,\n2,A,B,,\n1,A,C,,\n", (4, 1), "already, in line 2"),
        (f"{HEADER}\n,A,B,,\n", (2, 1), "name is missing"),
        (f"{HEADER}\n=1+1,A,B,,\n", (2, 1), "formula"),
        (f"{HEADER}\n1,C,B,,\n", (2, 2), "no form C: there is A or B"),
        (f"{HEADER}\n1,,B,,\n", (2, 2), "the form is missing: write A or B"),
        (f"{HEADER}\n1,A,E,,\n", (2, 3), "Q1 cannot be answered by E: write A, B, C or D"),
        (f"{HEADER}\n1,A,AB,,\n", (2, 3), "or leave the cell empty where it was not answered"),
        (f"{HEADER}\n1,B,D,,\n", (2, 3), "write A, B or C"),
        (f"{HEADER}\n1,A,,20 mm,\n", (2, 4), "without its unit"),
        (f'{HEADER}\n1,A,,"1,200",\n', (2, 4), "between thousands"),
        (f"{HEADER}\n1,A,,,BDA\n", (2, 5), "each letter of ABCD once"),
        (f"{HEADER}\n1,A,,,BDAA\n", (2, 5), "each letter of ABCD once"),
        (f"{HEADER}\n1,B,A,20,BDAC\n", (2, 5), "form B has 2 questions"),
        (f'{HEADER}\n1,A,"B,20,BDAC\n', (2, 1), "never closed"),
        (f"{HEADER}\n1,A,B,20,\0\n", (2, 10), "NUL"),
        (f"{HEADER}\nM\xfcller,A,B,,\n".encode("latin-1"), (2, 2), "0xfc is not UTF-8"),
        (HEADER.encode("utf-16"), (1, 1), "UTF-16"),
        ("candidate,form,Q1,Q2,Q3,minutes\n1,A,B,,,-3\n", (2, 6), "no time"),
    ],
)
def test_a_fault_is_named_with_its_place(
    text: str | bytes, place: tuple[int, int], words: str
) -> None:
    """Line, column, what is wrong."""
    ((line, column, message),) = faults(text)
    assert words in message
    assert (line, column) == place


def test_all_faults_in_one_run() -> None:
    """Faults of several rows, a ragged one among them, are told together and in order."""
    found = faults(f"{HEADER}\n1,A,X,20,BDAC\n2,A,B\n1,D,B,x,\n3,A,B,x,Q\n")
    assert [(line, column) for line, column, _ in found] == [
        (2, 3),
        (3, 3),
        (4, 1),
        (4, 2),
        (5, 4),
        (5, 5),
    ]


def test_endless_faults_are_counted() -> None:
    """A thousand are told, and how many there are beyond them."""
    rows = "".join(f"{number},A,X,,\n" for number in range(MOST_FAULTS + 50))
    found = faults(f"{HEADER}\n{rows}")
    assert len(found) == MOST_FAULTS + 1
    assert any("there are 50 more faults" in message for _, _, message in found)


def test_a_hundred_thousand_rows(tmp_path: Path) -> None:
    """They are read in under ten seconds of one core."""
    forms = {"A": form([*(choice(number, "B") for number in range(18)), typed(19), ordered(20)])}
    header = ",".join(["candidate", "form", *(f"Q{number}" for number in range(1, 21))])
    answers = ",".join(["A", *"ABCD" * 4, "B", "C", "20.4", "BDAC"])
    path = tmp_path / "answers.csv"
    rows = "\n".join(f"{number},{answers}" for number in range(100_000))
    path.write_text(f"{header}\n{rows}\n", encoding="utf-8")
    start = time.process_time()
    sheets = read_responses(path, forms)
    assert time.process_time() - start < 10
    assert len(sheets) == 100_000
    assert sheets[99_999].answers[1] == 1


@settings(max_examples=150)
@given(data=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_anything_gives_answers_or_faults(data: bytes) -> None:
    """Nothing but FaultsError comes of a file, with or without the right header."""
    for text in (data, f"{HEADER}\n".encode() + data, f"{HEADER}\n1,A,".encode() + data):
        told: tuple[object, ...] = ()
        try:
            read(text)
        except FaultsError as error:
            told = error.faults or ("",)
        assert all(FAULT.fullmatch(str(fault)) for fault in told)
