"""The printed paper: everything is on it, nothing tells the key, and lengths are true."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab.platypus import Spacer
from tests.exam.papers import EVERY_KIND, SECRET, every_kind
from tests.generated import SCENARIOS
from tests.strategies import library

from offmidline import messages
from offmidline.cli import main
from offmidline.exam.form import Form
from offmidline.exam.letters import LETTERS, right_answer
from offmidline.exam.paper.candidate import candidate_pdf
from offmidline.exam.paper.figures import REDUCED, Figure, Place, Shown, shown_in, whole
from offmidline.exam.paper.files import score_sheet
from offmidline.exam.paper.key import key_pdf
from offmidline.exam.paper.question import together
from offmidline.exam.paper.styles import HEIGHT, WIDTH, paragraph
from offmidline.exam.responses import read_answer, read_responses
from offmidline.exam.secret import VARIABLE
from offmidline.figures import VIEWS
from offmidline.figures.page.drawing import Drawing
from offmidline.figures.page.metrics import shown_glyphs
from offmidline.items.item import Item
from offmidline.items.score import score
from offmidline.leaks.pdf import of_pdf

MM = 72 / 25.4
CAUTION = messages.text("caution.text")
A4 = (210 * MM, 297 * MM)
Segment = tuple[np.ndarray, np.ndarray]


@cache
def figures() -> tuple[Shown, ...]:
    """The figures of the specimen."""
    return shown_in(every_kind())


@cache
def candidate() -> PdfReader:
    """The candidates' paper of a specimen."""
    return PdfReader(io.BytesIO(candidate_pdf(every_kind(), figures())))


@cache
def key() -> PdfReader:
    """Its key."""
    return PdfReader(io.BytesIO(key_pdf(every_kind(), figures(), library().sources)))


def words(text: str) -> str:
    """A text with every space and line end taken out, as lines are broken on a page."""
    return "".join(text.split())


def all_words(reader: PdfReader) -> str:
    """The words of all pages but what stands on each, so that a text may go on overleaf."""
    return "".join(words(page.extract_text()) for page in reader.pages)


def question_words(reader: PdfReader, number: int) -> str:
    """The words from a question's heading to the next one's."""
    text = all_words(reader)
    _, _, rest = text.partition(f"Question{number}")
    return rest.partition(f"Question{number + 1}")[0]


def in_letters(form: Form, number: int) -> list[str]:
    """The answers of a question as printed, each behind its letter."""
    item = form.items[number - 1]
    order = item.shown or range(len(item.options))
    return [
        words(f"{letter} {item.options[at].text}")
        for letter, at in zip(LETTERS, order, strict=False)
    ]


def pictured(form: Form) -> list[int]:
    """The numbers of the questions with a figure of any sort."""
    return [
        number
        for number, item in enumerate(form.items, 1)
        if item.pictures or any(option.picture for option in item.options)
    ]


# What is printed.


def test_every_question_and_every_option_is_on_the_paper():
    """In the order of the form, options behind the letters A to E, orders as they are shown."""
    form = every_kind()
    for number, item in enumerate(form.items, 1):
        said = question_words(candidate(), number)
        assert words(item.stem) in said
        assert words(item.lead_in) in said
        if item.kind == "drawing":
            places = [said.index(f"{letter}LR") for letter in "ABCDE"[: len(item.options)]]
            assert places == sorted(places)
        elif item.options:
            places = [said.index(text) for text in in_letters(form, number)]
            assert places == sorted(places)
        asked_for = "Order:" if item.kind == "order" else "Answer:"
        assert asked_for in said
        assert ("Working:" in said) == (item.kind == "numeric")


def test_the_first_page_says_what_paper_it_is_and_every_page_carries_the_caution():
    """Title, form, duration, number of questions; pages count up to the last."""
    first = candidate().pages[0].extract_text()
    form = every_kind()
    facts = f"Form A. {form.minutes} minutes. {len(form.items)} questions."
    assert form.title in first
    assert facts in first
    for line in messages.section("exam.paper.instructions").values():
        assert words(line) in words(first)
    for reader in (candidate(), key()):
        count = len(reader.pages)
        for number, page in enumerate(reader.pages, 1):
            said = page.extract_text()
            assert words(CAUTION) in words(said)
            assert f"Page {number} of {count}" in said


def test_the_key_gives_every_right_answer_its_reason_and_every_mistake():
    """With the item's id, its family, and how far a number may lie from the key."""
    for number, item in enumerate(every_kind().items, 1):
        said = question_words(key(), number)
        answer = right_answer(item)
        told = [item.stem, f"Right answer: {answer}", item.explanation, item.standing.why]
        told += [item.ident, item.model, item.case]
        wrong = item.numeric.slips if item.numeric is not None else item.options
        for option in wrong:
            if not option.right:
                told += [option.title, option.feedback]
        if item.numeric is not None:
            told.append(item.numeric.why)
        # A page's foot may stand in the middle of a text that goes on overleaf.
        missing = [text for text in told if words(text) not in said]
        assert not missing
    sources = {name for item in every_kind().items for name in item.standing.source}
    assert all(f"[{name}]" in all_words(key()) for name in sources)


def test_the_key_is_judged_right_wherever_answers_are_judged():
    """What the key says is read like a candidate's answer and counts."""
    for item in every_kind().items:
        answer = right_answer(item)
        typed = answer.split()[0] if item.numeric is not None else answer
        read = read_answer(item, typed)
        assert read is not None
        assert score(item, read).right


def test_a_sheet_filled_with_the_key_is_read_as_all_right(tmp_path: Path):
    """The score sheet has the columns that the answers are read from."""
    form = every_kind()
    row = ["candidate-1", form.form]
    row += [
        right_answer(item).split()[0] if item.numeric is not None else right_answer(item)
        for item in form.items
    ]
    sheet = tmp_path / "responses.csv"
    sheet.write_bytes(score_sheet(form) + f"{','.join(row)},41\n".encode())
    (read,) = read_responses(sheet, {form.form: form})
    assert read.minutes == 41
    given_answers = zip(form.items, read.answers, strict=True)
    assert all(answer is not None and score(item, answer).right for item, answer in given_answers)


# What is not.


def held(reader: PdfReader) -> str:
    """Everything that a file holds: texts of pages, and strings and streams of all objects."""
    stream = reader.stream
    stream.seek(0)
    pieces = [piece for piece in of_pdf(stream.read()) if isinstance(piece, bytes)]
    assert len(pieces) > 20
    return words("\n".join(piece.decode("latin-1") for piece in pieces))


def telling(form: Form) -> set[str]:
    """What would tell a candidate something: words of keys, and names of models and mistakes."""
    told: set[str] = set()
    for item in form.items:
        wrong = item.numeric.slips if item.numeric is not None else item.options
        told |= {item.explanation, item.standing.why, item.ident, item.model, item.case}
        told |= {option.feedback for option in wrong}
        told |= {option.mistake for option in wrong if "-" in option.mistake}
        told |= {picture.part for picture in item.pictures if picture.part}
        told |= {option.picture.part for option in item.options if option.picture is not None}
        if item.numeric is not None:
            told.add(item.numeric.why)
    return {words(text) for text in told if text}


def test_nothing_of_the_key_is_in_the_candidates_file():
    """Not in a text, a name of an object, or metadata; the key's own file holds it, so that the
    search can find it.
    """
    form = every_kind()
    secret = telling(form)
    assert len(secret) > 20
    paper_holds, key_holds = held(candidate()), held(key())
    assert not [text for text in secret if text in paper_holds]
    found = [text for text in secret if text in key_holds]
    assert len(found) > len(secret) / 2
    assert "Right answer" not in paper_holds


def test_the_file_says_nothing_of_itself_but_its_title():
    """No date, no author, no program; and the two files of a form have different titles."""
    assert candidate().metadata == {"/Title": f"{every_kind().title}, form A, specimen"}
    assert set(key().metadata or {}) == {"/Title"}
    assert candidate().xmp_metadata is None
    assert not candidate().attachments


def test_only_a_specimen_carries_the_watermark_and_every_page_of_it():
    """A real paper says nowhere that it is one that can be worked out."""
    mark = messages.text("exam.paper.watermark")
    for reader in (candidate(), key()):
        assert all(mark in page.extract_text() for page in reader.pages)
    form = every_kind()
    real = replace(form, specimen=False, items=form.items[-1:], plans=form.plans[-1:])
    printed = PdfReader(io.BytesIO(candidate_pdf(real, figures()[-1:])))
    assert "specimen" not in held(printed).casefold()


# How it is made.


def test_questions_are_bookmarks_that_lead_to_their_pages():
    """One for each question, in order, to the page on which its heading stands."""
    for reader in (candidate(), key()):
        outline: list[Any] = reader.outline
        titles = [entry.title for entry in outline]
        assert titles == [f"Question {number}" for number in range(1, len(EVERY_KIND) + 1)]
        for entry in outline:
            number = reader.get_destination_page_number(entry)
            assert number is not None
            assert entry.title in reader.pages[number].extract_text()


def test_a_question_and_its_options_stand_on_one_page():
    """And its figure there or on the next one."""
    form = every_kind()
    pages = [words(page.extract_text()) for page in candidate().pages]
    for number, item in enumerate(form.items, 1):
        (at,) = [n for n, page in enumerate(pages) if f"Question{number}" in page]
        assert words(item.stem) in pages[at]
        assert all(text in pages[at] for text in in_letters(form, number) if item.kind != "drawing")
        if item.pictures:
            (figure,) = [n for n, page in enumerate(pages) if f"Figureforquestion{number}." in page]
            assert figure - at in (0, 1)


def fonts(resources: Any) -> Iterator[Any]:
    """The fonts of resources and of the forms in them."""
    for font in (resources.get("/Font") or {}).values():
        yield font.get_object()
    for form in (resources.get("/XObject") or {}).values():
        yield from fonts(form.get_object()["/Resources"])


def test_one_font_is_used_and_it_is_built_in():
    """Text looks the same on every machine, and can be searched."""
    for reader in (candidate(), key()):
        for page in reader.pages:
            for font in fonts(page["/Resources"]):
                assert re.fullmatch(r"/[A-Z]{6}\+DejaVuSans(-Bold)?", font["/BaseFont"])
                inner = font.get("/DescendantFonts", [font])[0].get_object()
                assert "/FontFile2" in inner["/FontDescriptor"].get_object()
                assert "/ToUnicode" in font


def test_pages_are_a4_and_viewers_are_asked_not_to_shrink_them():
    """True to size is the default of the print dialogue."""
    for reader in (candidate(), key()):
        root: Any = reader.trailer["/Root"]
        assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
        assert root["/Lang"] == "en"
        for page in reader.pages:
            assert tuple(map(float, page.mediabox)) == pytest.approx((0, 0, *A4), abs=0.01)


# True to scale.


def matrix(operands: list) -> np.ndarray:
    """A PDF's six numbers as a matrix for row vectors."""
    a, b, c, d, e, f = map(float, operands)
    return np.array([[a, b, 0], [c, d, 0], [e, f, 1]])


def segments(stream: Any, resources: Any, reader: PdfReader, at: np.ndarray) -> Iterator[Segment]:
    """Every straight line of a content stream and of the forms in it, in points of the page."""
    stack: list[np.ndarray] = []
    pen = np.zeros(3)
    for operands, operator in ContentStream(stream, reader).operations:
        if operator == b"q":
            stack.append(at)
        elif operator == b"Q":
            at = stack.pop()
        elif operator == b"cm":
            at = matrix(operands) @ at
        elif operator in (b"m", b"l"):
            point = np.array([float(operands[0]), float(operands[1]), 1.0]) @ at
            if operator == b"l":
                yield pen[:2], point[:2]
            pen = point
        elif operator == b"Do":
            form = resources["/XObject"][operands[0]].get_object()
            if form.get("/Subtype") == "/Form":
                yield from segments(form, form["/Resources"], reader, at)


def lines(number: int) -> list[Segment]:
    """The straight lines of a page of the candidates' paper."""
    page = candidate().pages[number]
    content = page["/Contents"].get_object()
    return list(segments(content, page["/Resources"], candidate(), np.eye(3)))


def lengths(some: list[Segment], axis: int) -> np.ndarray:
    """Lengths (mm) of the lines that run along an axis, 0 across the page and 1 up it."""
    runs = np.array([np.abs(end - start) for start, end in some])
    return runs[runs[:, 1 - axis] < 0.01][:, axis] / MM


def scale_of(drawing: Drawing) -> float:
    """Drawn to real, at the drawing's own width."""
    assert drawing.frame is not None
    return drawing.frame.scale


def figure_page(number: int) -> int:
    """The page on which the figure of a question stands."""
    name = f"/FormXob.{number}-1"
    resources: list[Any] = [page["/Resources"] for page in candidate().pages]
    (at,) = [n for n, found in enumerate(resources) if name in (found.get("/XObject") or {})]
    return at


def test_the_check_bar_measures_100_mm_on_the_first_page_and_beside_every_figure():
    """And there is none where nothing is to be measured."""
    due = {0} | {figure_page(number) for number in pictured(every_kind())}
    for number in range(len(candidate().pages)):
        bars = [
            abs(end[0] - start[0]) / MM
            for start, end in lines(number)
            if start[1] == end[1] and start[1] == pytest.approx(24 * MM, abs=0.01)
        ]
        if number in due:
            assert bars == [pytest.approx(100, abs=0.001)]
        else:
            assert not bars
        assert (number in due) == ("100 mm" in candidate().pages[number].extract_text())


def test_a_length_drawn_in_a_figure_is_as_long_on_the_page_as_its_heading_says():
    """The findings are drawn 1:1 and printed at 1:1.5, as there is no room for more: their bar of
    50 mm and the height of the lowest pit above the verge are as long as that makes them.
    """
    form = every_kind()
    item, planned = form.items[0], form.plans[0]
    assert [picture.view for picture in item.pictures] == ["findings"]
    assert scale_of(VIEWS["findings"].draw(planned)) == 1.0
    page = figure_page(1)
    assert "Figure for question 1. Printed at 1:1.5." in candidate().pages[page].extract_text()
    drawn = lines(page)
    lowest = min(pit.at for pit in planned.case.findings.pits)
    assert np.isclose(lengths(drawn, 0), 50 / 1.5, atol=0.01).any()
    assert np.isclose(lengths(drawn, 1), lowest / 1.5, atol=0.01).any()


def test_a_figure_does_not_say_a_scale_of_its_own():
    """It would be wrong where the figure is made smaller; the heading says the one that is true."""
    figures_of = [item for item in every_kind().items if item.pictures]
    for reader in (candidate(), key()):
        text = " ".join(page.extract_text() for page in reader.pages)
        assert len(re.findall(r"Printed at 1:[0-9.]+\.", text)) == len(figures_of)
        assert "mm wide" not in text


def test_drawings_to_choose_from_share_one_scale_and_their_bars_say_it():
    """A bar of 50 mm is as long as 50 mm of the drawing are, in every one of them."""
    number = next(n for n, item in enumerate(every_kind().items, 1) if item.kind == "drawing")
    item, planned = every_kind().items[number - 1], every_kind().plans[number - 1]
    pictures = [option.picture for option in item.options if option.picture]
    drawings = [VIEWS["choice"].draw(planned, picture.part) for picture in pictures]
    (scale,) = {scale_of(drawing) * 55 / drawing.width for drawing in drawings}
    bars = np.isclose(lengths(lines(figure_page(number)), 0), 50 * scale, atol=0.01).sum()
    assert bars == len(item.options) >= 3


@pytest.mark.parametrize(
    ("height", "share", "ratio"),
    [(200, 1.0, "1:2"), (200, REDUCED, "1:3"), (400, 1.0, None), (600, REDUCED, None)],
)
def test_a_figure_too_tall_for_a_page_is_reduced_and_its_scale_is_told(
    height: float, share: float, ratio: str | None
):
    """What has room has the share that was asked for."""
    figure = Figure("1-1", b"", 150 * MM, height * MM, 0.5)
    title, place = whole(figure, "Figure.", set(), share)
    assert isinstance(place, Place)
    assert place.height + title.wrap(WIDTH, HEIGHT)[1] + title.getSpaceBefore() <= HEIGHT
    told = title.getPlainText()
    if ratio is None:
        assert place.factor < share
        said = re.fullmatch(r"Figure\. Printed at 1:([0-9.]+)\.", told)
        assert said is not None
        assert float(said[1]) == pytest.approx(2 / place.factor, abs=0.06)
    else:
        assert (place.factor, told) == (share, f"Figure. Printed at {ratio}.")


def a(kind: str) -> Item:
    """The question of a kind."""
    return next(item for item in every_kind().items if item.kind == kind)


def in_height(mm: float) -> Any:
    """Something that takes so much of a page's height."""
    return Spacer(0, mm * MM)


@pytest.mark.parametrize(
    ("text", "ratio", "parts"), [(20, "1:2", 1), (100, "1:3", 1), (140, "1:3", 2)]
)
def test_a_figure_stands_in_its_own_size_then_smaller_then_overleaf(
    text: float, ratio: str, parts: int
):
    """A question is kept on one page while its figure can be read there."""
    figure = Figure("1-1", b"", 150 * MM, 200 * MM, 0.5)
    pieces = together(lambda _: [in_height(text)], a("fault"), Shown((figure,), ()), 1, set())
    assert len(pieces) == parts
    heading = pieces[-1]._content[-2].getPlainText()
    assert heading == f"Figure for question 1. Printed at {ratio}."


def test_what_a_number_may_be_read_off_keeps_its_size():
    """Its tolerance was reckoned for that scale."""
    figure = Figure("1-1", b"", 150 * MM, 200 * MM, 0.5)
    pieces = together(lambda _: [in_height(100)], a("numeric"), Shown((figure,), ()), 1, set())
    assert len(pieces) == 2
    assert pieces[-1]._content[-2].getPlainText() == "Figure for question 1. Printed at 1:2."


@pytest.mark.parametrize(("room", "tried"), [(100, [1.0]), (160, [1.0, 0.9, 0.8])])
def test_drawings_to_choose_from_are_made_smaller_until_their_question_fits(
    room: float, tried: list[float]
):
    """And no more than that."""
    drawing = Figure("1-1", b"", 50 * MM, 100 * MM)
    shares = []

    def text(share: float) -> list[Any]:
        shares.append(share)
        return [in_height(room), in_height(share * 100)]

    (piece,) = together(text, a("drawing"), Shown((), (drawing,)), 1, set())
    assert shares == tried
    assert len(piece._content) == 2


def test_figures_are_never_pictures():
    """No image anywhere: lines stay sharp at any size."""
    for reader in (candidate(), key()):
        assert not any(page.images for page in reader.pages)


# Any text that people write.


@given(st.text(max_size=200))
@example("<b>a</b> & <para> &amp; {x}")
@example("x" * 400)
@example("\x00\x1b 漢字 \u202e\u0301")
def test_any_text_is_printed_as_it_stands(text: str):
    """Signs that mean something elsewhere mean nothing here, and no word is too long."""
    printed = paragraph(text)
    assert printed.getPlainText(identify=0).split() == shown_glyphs(text).split()
    assert printed.wrap(WIDTH, HEIGHT)[0] <= WIDTH


# The command.


ENDS = ("candidate.pdf", "key.pdf", "qti.zip", "scoresheet.csv")
ROWS = """\
  - {topic: recovery, kind: order, number: 1}
  - {topic: marking, kind: fault, number: 1}
"""


@pytest.fixture
def scenarios(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The shipped scenarios with a small paper, in a project of their own, and no secret named."""
    monkeypatch.delenv(VARIABLE, raising=False)
    folder = tmp_path / "project" / "scenarios"
    shutil.copytree(SCENARIOS, folder)
    write_paper(folder, ROWS)
    return folder


def write_paper(folder: Path, rows: str) -> None:
    """The paper's file with these rows of its blueprint, which begin in line 9."""
    (folder / "papers" / "specimen.yml").write_text(
        "paper: specimen\ntitle: A small paper\ntechnique: off-midline-flap\n"
        "duration: 10 minutes\nseed: specimen\nforms: [A]\n"
        f"cases: [ceramics-student]\nblueprint:\n{rows}"
    )


def run(scenarios: Path, target: Path, *more: str) -> int:
    """The command's exit status."""
    return main(["paper", "specimen", "-o", str(target), "--scenarios", str(scenarios), *more])


def test_two_processes_write_the_same_bytes_a_real_paper_others(scenarios: Path, tmp_path: Path):
    """A secret takes the mark away from pages and file names, and draws other questions."""
    once, again, real = (tmp_path / name for name in ("once", "again", "real"))
    assert run(scenarios, once) == 0
    arguments = ["paper", "specimen", "-o", str(again), "--scenarios", str(scenarios)]
    environment = {**os.environ, "PYTHONHASHSEED": "11"}
    subprocess.run([sys.executable, "-m", "offmidline", *arguments], check=True, env=environment)
    ends = ("candidate.pdf", "key.pdf", "qti.zip", "scoresheet.csv")
    names = [f"specimen-A-specimen-{end}" for end in ends]
    assert sorted(path.name for path in once.iterdir()) == names
    assert all((once / name).read_bytes() == (again / name).read_bytes() for name in names)

    secret = tmp_path / "secret"
    secret.write_bytes(SECRET)
    assert run(scenarios, real, "--real", "--seed-file", str(secret)) == 0
    assert sorted(path.name for path in real.iterdir()) == [
        name.replace("A-specimen", "A") for name in names
    ]
    ours = (real / "specimen-A-candidate.pdf").read_bytes()
    text = all_words(PdfReader(io.BytesIO(ours)))
    assert messages.text("exam.paper.watermark") not in text
    assert SECRET not in ours
    assert text != all_words(PdfReader(once / names[0])).replace("SPECIMEN", "")


def test_a_folder_with_anything_else_in_it_is_left_alone(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """Nothing is written beside what somebody else keeps there."""
    write_paper(scenarios, "  - {topic: recovery, kind: order, number: 1}\n")
    target = tmp_path / "target"
    target.mkdir()
    (target / "notes.txt").write_text("mine")
    assert run(scenarios, target) == 1
    assert "notes.txt" in capsys.readouterr().err
    assert [path.name for path in target.iterdir()] == ["notes.txt"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["project", "target"]


def test_an_impossible_blueprint_names_its_rows_and_writes_nothing(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """file:line:column of every row that cannot be filled."""
    write_paper(
        scenarios,
        "  - {topic: recovery, kind: choice, number: 7}\n"
        "  - {topic: recovery, kind: order, number: 1}\n"
        "  - {topic: safety, kind: drawing, number: 2}\n",
    )
    assert run(scenarios, tmp_path / "target") == 1
    faults = capsys.readouterr().err.splitlines()
    file = re.escape(str(scenarios / "papers" / "specimen.yml"))
    places = [re.match(rf"{file}:(\d+):(\d+): (.*)", fault) for fault in faults]
    assert [place and place.groups()[:2] for place in places] == [("9", "5"), ("11", "5")]
    assert not (tmp_path / "target").exists()


def test_a_history_of_a_model_that_there_is_not_is_refused(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """Every row of it, in one run: what it says would be passed over otherwise."""
    sitting = "  - {{sitting: first, model: {}, candidates: 9, right: 4}}\n"
    models = ("widest-level", "widest-levels", "no-model")
    write_paper(scenarios, ROWS + "history:\n" + "".join(map(sitting.format, models)))
    assert run(scenarios, tmp_path / "target") == 1
    faults = capsys.readouterr().err.splitlines()
    file = re.escape(str(scenarios / "papers" / "specimen.yml"))
    first = 9 + ROWS.count("\n") + 2
    column = str(sitting.format("").index("model: ") + len("model: ") + 1)
    places = [re.match(rf"{file}:(\d+):(\d+): .*called (\S+):", fault) for fault in faults]
    assert [place and place.groups() for place in places] == [
        (str(first), column, "widest-levels"),
        (str(first + 1), column, "no-model"),
    ]
    assert not (tmp_path / "target").exists()


def test_a_real_paper_without_a_secret_and_an_unknown_paper_are_faults(
    scenarios: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    """Both before anything is drawn."""
    assert run(scenarios, tmp_path / "target", "--real") == 1
    assert VARIABLE in capsys.readouterr().err
    arguments = ["paper", "nothing", "-o", str(tmp_path / "target"), "--scenarios", str(scenarios)]
    assert main(arguments) == 1
    assert "specimen" in capsys.readouterr().err
    assert not (tmp_path / "target").exists()
