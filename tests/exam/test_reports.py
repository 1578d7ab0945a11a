"""Reports: they say what was reckoned, carry the caution, and reach for nothing outside."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml
from tests.exam.cohort import INVENTED, choice, choices, form, ordered, sheet, typed

from offmidline import messages
from offmidline.cli import main
from offmidline.exam.analysis import analyse
from offmidline.exam.analysis_report import analysis_files
from offmidline.exam.folder import write_folder
from offmidline.exam.responses import Sheet
from offmidline.exam.standard import METHODS
from offmidline.exam.standard.command import _RUN
from offmidline.exam.standard.ratings import read_scores
from offmidline.records import Sitting
from offmidline.records.faults import FaultsError

ANGOFF = "item,J1,J2,J3\nQ1,0.6,0.7,0.65\nQ2,0.8,0.85,0.7\n"
EBEL = "relevance,difficulty,items,J1,J2\nmust,easy,8,0.95,0.9\nmust,hard,2,0.4,0.5\n"
HOFSTEE = "judge,lowest_cut,highest_cut,lowest_fail,highest_fail\nJ1,2,5,5,40\nJ2,3,5,5,60\n"
SCORES = "candidate,score\n" + "".join(f"c{number},{number % 7}\n" for number in range(30))
GRADED = "candidate,score,J1,J2\n" + "".join(
    f"c{number},{number % 5 + number % 3},{number % 5},{number % 4}\n" for number in range(20)
)
FILES = {"angoff": ANGOFF, "ebel": EBEL, "hofstee": HOFSTEE, "borderline-regression": GRADED}
VOID = {"meta", "br", "hr", "img", "link", "input"}


class Page(HTMLParser):
    """What a page is made of; complains where elements are not nested."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.text = ""
        self._open: list[str] = []
        self.feed(html)
        assert not self._open

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        """An element begins."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: Any) -> None:
        """An element without content."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        """An element ends: the one that was opened last."""
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Text."""
        self.text += data

    def all(self, tag: str) -> list[dict[str, str]]:
        """The attributes of every element of a kind."""
        return [attributes for name, attributes in self.elements if name == tag]


def sound(html: bytes) -> Page:
    """A page that is accessible in what can be read off it, and asks nobody for anything."""
    text = html.decode()
    page = Page(text)
    (root,) = page.all("html")
    assert root["lang"] == "en"
    assert len(page.all("title")) == 1 + len(page.all("svg"))
    assert len(page.all("h1")) == 1
    levels = [int(name[1]) for name, _ in page.elements if re.fullmatch("h[1-6]", name)]
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert len(page.all("caption")) == len(page.all("table"))
    assert all("scope" in head for head in page.all("th"))
    idents = Counter(attributes["id"] for _, attributes in page.elements if "id" in attributes)
    assert max(idents.values()) == 1
    for drawn in page.all("svg"):
        assert drawn["role"] == "img"
        assert all(idents[name] for name in drawn["aria-labelledby"].split())
    assert not {"script", "link", "img", "iframe"} & {name for name, _ in page.elements}
    assert not re.search(r"url\(|@import|\b(src|href)=", text)
    assert set(re.findall(r"https?://[^\"' ]+", text)) <= {"http://www.w3.org/2000/svg"}
    assert messages.text("caution.text") in page.text
    return page


def an_analysis() -> dict[str, bytes]:
    """The files of a paper of every kind, sat in two forms."""
    mixed = form([choice(1, "B"), typed(2), ordered(3), choice(4, "A")], "A")
    forms = {"A": mixed, "B": form([choice(1, "B"), typed(2), choice(9, "C")], "B")}
    given = [
        Sheet(f"a{at}", "A", (at % 4, ("20", "40", "33")[at % 3], None, 0), float(40 + at))
        for at in range(12)
    ]
    given += [Sheet(f"b{at}", "B", (1, "10", at % 4)) for at in range(6)]
    return analysis_files(analyse(given, forms))


def rows(data: bytes) -> list[dict[str, str]]:
    """A table read back."""
    return list(csv.DictReader(io.StringIO(data.decode())))


def test_the_analysis_is_a_sound_page() -> None:
    """With both forms, every kind of question, and the small sample called small."""
    page = sound(an_analysis()["report.html"])
    assert len(page.all("svg")) == 4
    assert "12 candidates are few" in page.text
    assert "6 candidates are few" in page.text
    for line in messages.section("exam.statistics.notes")["lines"]:
        assert line in page.text


def test_what_is_written_in_questions_is_text() -> None:
    """Marks of HTML in options, mistakes and names of forms do not become elements."""
    evil = "<script>alert('1')</script>&\"'"
    item = choice(1, "B")
    options = (replace(item.options[0], text=evil, title=evil), *item.options[1:])
    forms = {evil: form([replace(item, options=options, lead_in=evil)], evil)}
    page = sound(analysis_files(analyse([sheet(1, "A", evil)], forms))["report.html"])
    assert page.text.count(evil) > 3


def test_the_tables_hold_the_numbers() -> None:
    """Scores, items, options, reliability, read back from CSV."""
    sheets = [sheet(f"c{at}", given) for at, given in enumerate(INVENTED.split())]
    files = analysis_files(analyse(sheets, {"A": choices("BADCAB")}))
    scores = rows(files["scores.csv"])
    assert [int(row["score"]) for row in scores] == [6, 6, 5, 6, 5, 5, 4, 4, 3, 3, 0, 0]
    assert {row["of"] for row in scores} == {"6"}
    items = rows(files["items.csv"])
    assert [float(row["difficulty"]) for row in items] == pytest.approx(
        [0.666667, 0.75, 0.75, 0.666667, 0.583333, 0.5]
    )
    assert float(items[4]["item_rest"]) == pytest.approx(0.682988)
    (reliability,) = rows(files["reliability.csv"])
    assert float(reliability["alpha"]) == pytest.approx(0.813629)
    options = rows(files["options.csv"])
    assert sum(int(row["candidates"]) for row in options) == 6 * 12
    assert {row["functions"] for row in options if row["right"] == "yes"} == {""}


def test_the_history_is_that_of_a_papers_record() -> None:
    """Right answers and candidates of each model, as the record of a paper takes them."""
    rows_of_history = yaml.safe_load(an_analysis()["history.yml"])["history"]
    assert [Sitting.model_validate(row).model for row in rows_of_history] == [
        "caudal-apex-lateral",
        "order-of-steps-marking",
        "width",
    ]
    assert rows_of_history[1]["candidates"] == 12
    assert rows_of_history[2]["candidates"] == 18


def test_scores_feed_hofstee(tmp_path: Path) -> None:
    """The table of scores is what Hofstee's method reads."""
    path = tmp_path / "scores.csv"
    path.write_bytes(an_analysis()["scores.csv"])
    assert len(read_scores(path)) == 18


def test_one_candidate_gives_a_report() -> None:
    """Hardly anything exists; nothing breaks."""
    page = sound(analysis_files(analyse([sheet(1, "B")], {"A": choices("B")}))["report.html"])
    assert "–" in page.text


def standard(tmp_path: Path, method: str, content: str, *more: str) -> int:
    """Run the command on a file with some content."""
    ratings, scores = tmp_path / "ratings.csv", tmp_path / "scores.csv"
    ratings.write_text(content, encoding="utf-8")
    scores.write_text(SCORES, encoding="utf-8")
    options = {
        "hofstee": ["--scores", str(scores)],
        "borderline-regression": ["--borderline", "2"],
    }
    return main(
        [
            *("standard", str(ratings), "--method", method, "-o", str(tmp_path / "out")),
            *options.get(method, []),
            *more,
        ]
    )


def test_every_method_that_is_offered_runs() -> None:
    """The names of the command and of the functions are the same."""
    assert set(_RUN) == set(METHODS) == set(FILES)


@pytest.mark.parametrize("method", METHODS)
def test_a_cut_score_is_a_sound_page(
    method: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each method writes its report and its numbers, and prints the cut."""
    assert standard(tmp_path, method, FILES[method]) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith("cut score ")
    assert printed.err == ""
    page = sound((tmp_path / "out" / "report.html").read_bytes())
    assert len(page.all("svg")) == 1
    for line in messages.section("exam.standard.notes")[method]:
        assert line in page.text
    numbers = {
        row["measure"]: row["value"] for row in rows((tmp_path / "out" / "cut.csv").read_bytes())
    }
    assert f"{float(numbers['cut']):.2f}" in printed.out


def test_where_there_is_no_cut_the_report_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Hofstee's curve above the box: a report without a cut, exit 0."""
    header = HOFSTEE.partition("\n")[0]
    assert standard(tmp_path, "hofstee", f"{header}\nJ1,5,6,1,2\n") == 0
    assert capsys.readouterr().out.startswith("no cut score")
    page = sound((tmp_path / "out" / "report.html").read_bytes())
    assert messages.text("exam.standard.misses.above") in page.text


@pytest.mark.parametrize(
    ("method", "content", "places"),
    [
        ("angoff", "item,J1\nQ1,1.2\nQ1,0.5\nQ2,x\n", ["2:2", "3:1", "4:2"]),
        ("angoff", "item\nQ1\n", ["1:1"]),
        ("angoff", "item,=J\nQ1,0.5\n", ["1:2"]),
        ("angoff", "item,J1\nQ1\n", ["2:1"]),
        ("ebel", "relevance,difficulty,items,J\nm,e,x,0.5\nm,e,2,60\n", ["2:3", "3:1", "3:4"]),
        ("ebel", "relevance,difficulty,items,J\nm,e,0,0.5\n", ["1:3"]),
        ("hofstee", HOFSTEE.partition("\n")[0] + "\nJ,5,4,10,110\n", ["2:3", "2:5"]),
        ("hofstee", "judge,lowest_cut\nJ,5\n", ["1:2"] * 3),
        ("borderline-regression", "candidate,score,J\n1,5,1\n2,6,1\n3,7,1\n", ["1:1"]),
        ("borderline-regression", "candidate,score,J\n1,5,3\n2,6,4\n3,7,5\n", ["1:1"]),
        ("borderline-regression", "candidate,score,J\n1,-5,3\n1,6,\n", ["2:2", "3:1", "3:3"]),
    ],
)
def test_faults_of_ratings(
    method: str,
    content: str,
    places: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Every fault with line and column, exit 1, nothing written."""
    assert standard(tmp_path, method, content) == 1
    told = capsys.readouterr().err.splitlines()
    found = [re.search(r"\.csv:(\d+:\d+): .", line) for line in told]
    assert [match[1] if match else "" for match in found] == places
    assert not (tmp_path / "out").exists()


def test_what_a_method_needs_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Scores for Hofstee, a grade for the regression, a file that is there."""
    path = tmp_path / "ratings.csv"
    path.write_text(HOFSTEE, encoding="utf-8")
    out = str(tmp_path / "out")
    assert main(["standard", str(path), "--method", "hofstee", "-o", out]) == 1
    assert "--scores" in capsys.readouterr().err
    assert main(["standard", str(path), "--method", "borderline-regression", "-o", out]) == 1
    assert "--borderline" in capsys.readouterr().err
    missing = str(tmp_path / "missing.csv")
    assert main(["standard", missing, "--method", "angoff", "-o", out]) == 1
    assert "missing.csv:1:1" in capsys.readouterr().err


def test_a_folder_is_replaced_only_where_it_is_ours(tmp_path: Path) -> None:
    """Files of the same names are replaced; anything else is left alone, and it says so."""
    folder = tmp_path / "out"
    write_folder(folder, {"a.csv": b"1", "b.csv": b"2"})
    write_folder(folder, {"a.csv": b"3", "b.csv": b"4"})
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == {
        "a.csv": b"3",
        "b.csv": b"4",
    }
    with pytest.raises(FaultsError, match=r"b\.csv"):
        write_folder(folder, {"a.csv": b"5"})
    assert (folder / "a.csv").read_bytes() == b"3"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(FaultsError, match="cannot be written"):
        write_folder(tmp_path / "file", {"a.csv": b"5"})
