"""``offmidline draw`` and ``offmidline views``: files, their formats, and what goes wrong."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from tests.figures.published import Published
from tests.generated import SCENARIOS
from tests.strategies import shipped_plans

from offmidline.cli import main
from offmidline.figures import CHARTS, VIEWS
from offmidline.figures.command import WrongOptionError, write_whole

MM_PER_POINT = 25.4 / 72
CASES = sorted((SCENARIOS / "cases").glob("*.yml"))


def _case(feasible: bool) -> Path:
    ids = {one.case.case for one in shipped_plans() if (one.shown is not None) is feasible}
    return next(path for path in CASES if path.stem in ids)


def _draw(*options: object) -> int:
    return main(["draw", *map(str, options), "--scenarios", str(SCENARIOS)])


STARTS = {"svg": b"<?xml", "png": b"\x89PNG", "pdf": b"%PDF"}


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("ending", STARTS)
def test_a_view_in_every_format(view: str, ending: str, tmp_path: Path):
    """The file's ending names the format; a view of several pictures makes a numbered file of
    each, and nothing else is left in the folder.
    """
    feasible = next(one for one in shipped_plans() if one.case.case == _case(True).stem)
    parts = VIEWS[view].parts(feasible)
    names = [f"figure-{index + 1}-{part}" for index, part in enumerate(parts)]
    expected = ["figure"] if len(parts) == 1 else names
    assert _draw(_case(True), "--view", view, "-o", tmp_path / f"figure.{ending}") == 0
    written = {path.name: path for path in tmp_path.iterdir()}
    assert set(written) == {f"{name}.{ending}" for name in expected}
    for path in written.values():
        assert path.read_bytes().startswith(STARTS[ending])
        assert path.stat().st_mode & 0o400


def test_one_picture_of_several(tmp_path: Path, capsys):
    """--part writes that picture alone, under the name that was asked for."""
    path = tmp_path / "figure.svg"
    assert _draw(_case(True), "--view", "section-steps", "--part", "flap", "-o", path) == 0
    assert list(tmp_path.iterdir()) == [path]
    assert capsys.readouterr().out == ""
    every = tmp_path / "every.svg"
    assert _draw(_case(True), "--view", "section-steps", "-o", every) == 0
    same = next(tmp_path.glob("every-*-flap.svg"))
    assert same.read_bytes() == path.read_bytes()
    assert capsys.readouterr().out.split() == sorted(map(str, tmp_path.glob("every-*.svg")))


def test_unknown_part_names_the_known_ones(capsys, tmp_path: Path):
    """A picture that the view does not have is answered with those that it has."""
    options = ("--view", "section-steps", "--part", "dressing", "-o", tmp_path / "a.svg")
    said = _refused(capsys, _case(True), *options)
    assert "no picture dressing" in said
    assert all(part in said for part in ("before", "medial-wall", "skin"))
    assert list(tmp_path.iterdir()) == []


def test_format_overrules_the_ending(tmp_path: Path):
    """--format writes that format whatever the file is called."""
    path = tmp_path / "figure.txt"
    assert _draw(_case(True), "--view", "marking", "-o", path, "--format", "svg") == 0
    assert path.read_bytes().startswith(b"<?xml")


def test_pictures_are_true_to_scale(tmp_path: Path):
    """PDF and PNG are as wide as the page of the SVG, 150 mm, to a tenth of a millimetre."""
    for ending in ("svg", "pdf", "png"):
        assert _draw(_case(True), "--view", "marking", "-o", tmp_path / f"a.{ending}") == 0
    figure = Published((tmp_path / "a.svg").read_text("utf-8"))
    box = PdfReader(tmp_path / "a.pdf").pages[0].mediabox
    assert float(box.width) * MM_PER_POINT == pytest.approx(figure.width, abs=0.1)
    assert float(box.height) * MM_PER_POINT == pytest.approx(figure.height, abs=0.1)
    with Image.open(tmp_path / "a.png") as picture:
        wide = picture.width / picture.info["dpi"][0] * 25.4
    assert wide == pytest.approx(figure.width, abs=0.1)


def test_width_is_that_of_the_picture(tmp_path: Path):
    """--width gives the picture's width in mm and keeps its proportions."""
    path = tmp_path / "a.svg"
    assert _draw(_case(True), "--view", "section", "-o", path, "--width", "75") == 0
    figure = Published(path.read_text("utf-8"))
    assert figure.root.get("width") == "75mm"
    height = float(figure.root.get("height", "").removesuffix("mm"))
    assert height == pytest.approx(figure.height / 2, abs=0.01)


def test_dark_theme_paints_its_page(tmp_path: Path):
    """A dark picture has a dark ground."""
    path = tmp_path / "a.png"
    options = ("--view", "marking", "-o", path, "--theme", "dark", "--width", "60")
    assert _draw(_case(True), *options) == 0
    with Image.open(io.BytesIO(path.read_bytes())) as picture:
        corner = picture.convert("RGB").getpixel((2, 2))
    assert corner == (0x1E, 0x21, 0x29)


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_files_are_the_same_every_time(ending: str, tmp_path: Path):
    """Drawing twice gives the same bytes."""
    paths = [tmp_path / f"{name}.{ending}" for name in "ab"]
    for path in paths:
        assert _draw(_case(True), "--view", "section", "-o", path) == 0
    assert paths[0].read_bytes() == paths[1].read_bytes()


def test_views_are_listed(capsys):
    """Each view is a line that begins with its name, then each chart with how it is asked for."""
    assert main(["views"]) == 0
    names = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert names == [*VIEWS, *(f"chart:{name}" for name in CHARTS)]


def _refused(capsys, *options: object) -> str:
    assert _draw(*options) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "Traceback" not in said.err
    assert said.err.count("\n") == 1
    return str(said.err)


def test_a_faulty_case_is_told_with_its_place(capsys, tmp_path: Path):
    """Faults of the case come as file:line:column, and no file is written."""
    case = tmp_path / "wrong.yml"
    case.write_text(_case(True).read_text("utf-8").replace("cavity_depth: ", "cavity_depht: "))
    assert _draw(case, "--view", "marking", "-o", tmp_path / "a.svg") == 1
    assert f"{case}:" in capsys.readouterr().err
    assert not (tmp_path / "a.svg").exists()


def test_a_chart_needs_no_case(tmp_path: Path):
    """--chart writes a chart, whose ids begin with its name."""
    path = tmp_path / "a.svg"
    assert _draw("--chart", "cusum", "-o", path) == 0
    assert Published(path.read_text("utf-8")).root.get("id") == "cusum"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--chart", "funnel"), "there is no chart funnel"),
        (("--chart", "forest:gout"), "no picture gout"),
        (("--chart", "cusum", "--part", "first"), "leave the case file and --part out"),
        (("--view", "marking"), "name the case file"),
    ],
)
def test_what_cannot_be_drawn_is_told(options: tuple[str, ...], said: str, capsys, tmp_path: Path):
    """An unknown chart, a chart of a case, and a view of none are refused with what would do."""
    assert said in _refused(capsys, *options, "-o", tmp_path / "a.svg")
    assert list(tmp_path.iterdir()) == []


def test_no_section_without_a_marking(capsys, tmp_path: Path):
    """A case without a marking has no section; the command says so and what to view instead."""
    said = _refused(capsys, _case(False), "--view", "section", "-o", tmp_path / "a.svg")
    assert "--view marking" in said
    assert not (tmp_path / "a.svg").exists()


def test_unknown_view_names_the_known_ones(capsys, tmp_path: Path):
    """A wrong name is answered with the right ones."""
    said = _refused(capsys, _case(True), "--view", "plan", "-o", tmp_path / "a.svg")
    assert all(view in said for view in VIEWS)


@pytest.mark.parametrize("name", ["a.gif", "a", ".svg.bak"])
def test_unknown_ending(name: str, capsys, tmp_path: Path):
    """An ending that names no format is answered with those that do."""
    said = _refused(capsys, _case(True), "--view", "marking", "-o", tmp_path / name)
    assert "svg, png or pdf" in said


@pytest.mark.parametrize("width", ["0", "-5", "nan", "inf", "1e9"])
def test_impossible_width(width: str, capsys, tmp_path: Path):
    """A width outside the range is refused with the range."""
    options = ("--view", "marking", "-o", tmp_path / "a.svg", f"--width={width}")
    assert "from 20 to 1000 mm" in _refused(capsys, _case(True), *options)


def test_unwritable_place(capsys, tmp_path: Path):
    """A folder that does not exist is named, without a trace of the program."""
    path = tmp_path / "nowhere" / "a.svg"
    assert str(path) in _refused(capsys, _case(True), "--view", "marking", "-o", path)


def test_a_failed_write_leaves_the_old_file(tmp_path: Path):
    """Where the new file cannot take its place nothing changes and nothing is left behind."""
    folder = tmp_path / "a.svg"
    folder.mkdir()
    (folder / "old").write_text("old")
    with pytest.raises(WrongOptionError):
        write_whole(folder, b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["a.svg"]
    assert (folder / "old").read_text() == "old"
