"""What the chapters state: every number typed is cited, every rate of recurrence has its time, and
every citation says how well its source was read.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
import yaml
from tests.generated import SCENARIOS

from offmidline.records import read_sources
from offmidline.site.citations import KNOWN

from .conftest import ROOT
from .prose import Piece, pieces

HANDBOOK = ROOT / "handbook"
CHAPTERS = sorted(HANDBOOK.glob("*.md"))
# Pages that teach no part of the operation: there is nothing to check oneself on.
NO_CHAPTERS = {"index", "glossary", "sources", "cautions", "gallery"}

UNITS = (
    *("mm", "cm", "m", "ml", "l", "mg", "g", "kg", "µg", "micrograms?", "ml/kg", "mg/kg", "mg/ml"),
    *("degrees?", "deg", "°", "°C", "mmHg", "kPa", "per cent", "percent", "kg/m²"),
    *("seconds?", "minutes?", "hours?", "days?", "weeks?", "months?", "years?"),
)
AMOUNT = re.compile(
    rf"\d[\d.,]*(?: to \d[\d.,]*|[–-]\d[\d.,]*)?[\s-]?(?:%|(?:{'|'.join(UNITS)})(?!\w))"
)
PER_CENT = re.compile(r"\d ?%|per cent")
FOLLOW_UP = re.compile(r"months?|years?|not stated", re.IGNORECASE)
RECURRENCE = re.compile(r"recur", re.IGNORECASE)


def read(chapter: Path) -> str:
    """The text of a chapter."""
    return chapter.read_text("utf-8")


def uncited(source: str) -> list[tuple[int, str]]:
    """The numbers with a unit that are typed in a piece without a citation, and their lines."""
    return [
        (piece.line, " ".join(found.split()))
        for piece in pieces(source)
        if not piece.cited
        for found in AMOUNT.findall(piece.typed)
    ]


def rates_without_time(source: str) -> list[Piece]:
    """The pieces that give a rate of recurrence and not after how long."""
    return [
        piece
        for piece in pieces(source)
        if RECURRENCE.search(piece.typed + piece.context)
        and PER_CENT.search(piece.typed)
        and not FOLLOW_UP.search(piece.typed)
    ]


# Numbers


def test_every_typed_number_is_cited() -> None:
    """A number with a unit stands in a sentence, item or row that says where it is from, or is a
    declared exception; every exception is used.
    """
    allowed = yaml.safe_load((Path(__file__).parent / "typed_numbers.yml").read_text("utf-8")) or {}
    faults = []
    for chapter in CHAPTERS:
        reasons = allowed.pop(chapter.name, {})
        left = Counter(number for numbers in reasons.values() for number in numbers)
        for line, number in uncited(read(chapter)):
            left[number] -= 1
            if left[number] < 0:
                faults.append(f"{chapter.name}:{line}: {number} has no citation")
        faults += [
            f"{chapter.name}: {number} is excepted in vain"
            for number, count in left.items()
            if count > 0
        ]
    faults += [f"{name} has exceptions and is no chapter" for name in allowed]
    assert faults == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The drain stays for 3 days.", ["3 days"]),
        ("Cited before {{ source:a }}. Then 20 mm.", ["20 mm"]),
        ("- an item of 4.5 cm\n  and its second line\n- another {{ practice }}", ["4.5 cm"]),
        ("| a | b |\n|---|---|\n| 5 % | 6 {{ source:x }} |\n| 7 % | |", ["7 %"]),
        ("A 12-month wait, 3 to 5 weeks.", ["12-month", "3 to 5 weeks"]),
        ("## Over 8 hours", ["8 hours"]),
        ("<dd>Some 9 mg of it</dd>", ["9 mg"]),
    ],
)
def test_the_check_of_numbers_finds(text: str, found: list[str]) -> None:
    """A planted number without a citation is found, in every kind of piece."""
    assert [number for _, number in uncited(text)] == found


@pytest.mark.parametrize(
    "text",
    [
        "The drain stays for 3 days {{ source:a }}.",
        "The drain stays for 3 days. {{ source:a }}",
        "An offset of {{ offset }}, in {{ case:a.outline.width }}.",
        "- an item of 4.5 cm\n  and its second line {{ practice }}",
        "| 5 % | {{ fact:a.b }} |",
        "Patient 3 of 4, in 2012, with 2 pits.",
    ],
)
def test_the_check_of_numbers_lets_pass(text: str) -> None:
    """Cited and computed numbers, and numbers without a unit, are no faults."""
    assert uncited(text) == []


# Recurrence


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda path: path.stem)
def test_no_rate_of_recurrence_without_its_time(chapter: Path) -> None:
    """A sentence, item or row with a rate of recurrence says after how long, or that it is not
    known.
    """
    assert rates_without_time(read(chapter)) == []


def test_the_check_of_rates_finds() -> None:
    """Planted rates without a time are found, those with one are not."""
    table = "| | Recurrence |\n|---|---|\n| a | 4 % |\n| b | 5 %, follow-up not stated |\n"
    text = f"It recurred in 3 % of them. Recurrence was 2 % at 24 months.\n\n{table}"
    assert [piece.line for piece in rates_without_time(text)] == [1, 5]


# Sources


def test_every_source_is_known() -> None:
    """Every citation in a chapter names a source of the list, and a standing that exists."""
    sources = read_sources(SCENARIOS)
    for chapter in CHAPTERS:
        for name in re.findall(r"\{\{ *source:([^{} ]+) *\}\}", read(chapter)):
            ident, _, status = name.partition(":")
            assert ident in sources, f"{chapter.name}: {ident}"
            assert status in ("", *KNOWN), f"{chapter.name}: {name}"


@pytest.mark.site
def test_every_citation_says_how_its_source_was_read(shipped_site: Path) -> None:
    """What is recalled, or quoted elsewhere, says so wherever it is cited, on every page."""
    remarks = {"Recalled": "recalled", "Read where another text quotes": "quoted elsewhere"}
    entries = re.findall(
        r'<li id="(source-\d+)">.*?<span class="om-standing">([^<]*)</span>',
        (shipped_site / "sources.html").read_text("utf-8"),
    )
    due = {
        anchor: remark
        for anchor, known in entries
        for begins, remark in remarks.items()
        if known.startswith(begins)
    }
    assert len(entries) > 50
    seen = 0
    for page in shipped_site.rglob("*.html"):
        for anchor, words in re.findall(
            r'<a class="om-cite" href="[^"#]*#(source-\d+)">([^<]*)</a>', page.read_text("utf-8")
        ):
            if anchor in due:
                seen += 1
                assert re.search(r"recalled|quoted elsewhere", words), f"{page.name}: {words}"
    assert seen > 0


# Words


def test_the_eponym_stands_once_in_the_glossary() -> None:
    """The published name of the operation is in the glossary, once, and in references: nowhere
    else.
    """
    places = [
        *(
            path
            for top in ("handbook", "figures_src", "scenarios")
            for path in (ROOT / top).rglob("*")
        ),
        *(ROOT / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "mkdocs.yml")),
    ]
    counts = {}
    for path in places:
        if path.suffix in {".md", ".py", ".yml", ".css", ".js", ".html", ".svg"} and path.is_file():
            text = re.sub(r"karydakis-\w+", "", path.read_text("utf-8").lower())  # ids of sources
            counts[path.relative_to(ROOT).as_posix()] = text.count("karydakis")
    assert counts.pop("handbook/glossary.md") == 1
    del counts["scenarios/sources.yml"]
    assert {path for path, count in counts.items() if count} == set()


@pytest.mark.parametrize(
    "chapter",
    [path for path in CHAPTERS if path.stem.partition("-")[0] not in NO_CHAPTERS],
    ids=lambda path: path.stem,
)
def test_every_chapter_begins_and_ends_alike(chapter: Path) -> None:
    """A chapter says first what the reader can do after it, and lets the reader check that."""
    text = read(chapter)
    first = next(part for part in text.split("\n\n")[1:] if part.strip())
    assert first.startswith("After this chapter"), first[:80]
    questions, answers = text.partition("{ #check }")[::2]
    assert questions != text
    assert 3 <= answers.count('<details class="om-answer" markdown="1">') <= 5
    assert answers.count('class="om-answer"') == text.count('class="om-answer"')
