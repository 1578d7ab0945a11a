"""The pages of papers: in the examiners' edition alone, each question beside its key."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from scipy.stats import binomtest

from offmidline.exam.assemble import forms_of
from offmidline.exam.form import Form
from offmidline.exam.secret import VARIABLE
from offmidline.items.item import CHOSEN, Item
from offmidline.items.shown import number
from offmidline.records import AUDIENCES, FaultsError, load_library
from offmidline.site.settings import Settings, secret_for
from offmidline.site.tree import Tree, build_tree

from .conftest import PLAIN_CASE, ROOT, SMALL_HANDBOOK, Project, small_project

CONTENTS = SMALL_HANDBOOK["contents.yml"] + "- Papers: papers/\n"
CASE = PLAIN_CASE.replace("case: plain", "case: asked").replace("trainee", "examiner")
SITTINGS: tuple[tuple[str, int, int], ...] = (("spring", 24, 9), ("autumn", 40, 21))
HISTORY = "".join(
    f"  - {{sitting: {name}, model: widest-level, candidates: {people}, right: {right}}}\n"
    for name, people, right in SITTINGS
)
PAPER = f"""\
paper: first
title: A paper of the tests
technique: off-midline-flap
duration: 30 minutes
seed: first
forms: [A, B]
cases: [asked]
blueprint:
  - {{topic: marking, kind: fault, number: 1}}
  - {{topic: marking, kind: order, number: 1}}
  - {{topic: marking, kind: drawing, number: 1}}
  - {{topic: flap, kind: numeric, number: 1}}
  - {{topic: excision, kind: numeric, number: 1}}
history:
{HISTORY}"""
SECRET = b"a secret of the tests, long enough"
QUESTION = re.compile(r'<section class="om-item".*?</section>', re.DOTALL)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Project:
    """A small project with a paper on an examiner's case."""
    made = small_project(tmp_path_factory.mktemp("papers"))
    made.write_case("asked", CASE)
    (made.scenarios / "papers").mkdir()
    (made.scenarios / "papers" / "first.yml").write_text(PAPER, "utf-8")
    (made.handbook / "contents.yml").write_text(CONTENTS, "utf-8")
    return made


def settings(project: Project, audience: str) -> Settings:
    """Those of an audience."""
    return Settings(project.scenarios, project.handbook, project.cache, audience)


def built(settings: Settings) -> Tree:
    """A tree with nothing left to draw."""
    tree = build_tree(settings)
    tree.drawings.finish()
    return tree


@pytest.fixture(scope="module")
def specimen(project: Project) -> Tree:
    """The examiners' tree without a secret."""
    return built(settings(project, "examiner"))


def forms(project: Project, secret: bytes | None) -> Mapping[str, Form]:
    """The forms of the paper by their letters, assembled once more."""
    library = load_library(project.scenarios, AUDIENCES)
    return {form.form: form for form in forms_of(library.papers["first"], library, secret)}


def source(tree: Tree, path: str) -> str:
    """The source of a page."""
    return next(page.source for page in tree.pages if page.path == path)


def text(html: str) -> str:
    """What a reader reads."""
    whole = re.sub(r"</?(?:a|b|code|span)\b[^>]*>", "", html)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", whole)).split())


def key(item: Item) -> str:
    """The key as a candidate writes it."""
    if item.kind in CHOSEN:
        return "ABCDE"["".join("K" if one.right else "-" for one in item.options).index("K")]
    if item.kind == "order":
        printed = {item.options[at].text: "ABCDEF"[place] for place, at in enumerate(item.shown)}
        return "".join(printed[entry.text] for entry in item.options)
    assert item.numeric is not None
    return number(item.numeric.value, item.numeric.unit, item.numeric.decimals)


def test_only_examiners_have_pages_of_papers(project: Project, specimen: Tree) -> None:
    """The others have neither a page nor a group for them."""
    paths = [page.path for page in specimen.pages if page.path.startswith("papers/")]
    expected = ["index.md", "first.md", "first/a.md", "first/b.md"]
    assert paths == [f"papers/{name}" for name in expected]
    assert "Papers" in {entry.title for entry in specimen.order}
    for audience in ("trainee", "educator"):
        tree = built(settings(project, audience))
        assert not any(page.path.startswith("papers/") for page in tree.pages)
        assert "Papers" not in {entry.title for entry in tree.order}
        assert all(entry.pages for entry in tree.order)


@pytest.mark.parametrize("letter", ["A", "B"])
def test_every_question_stands_beside_its_key(
    project: Project, specimen: Tree, letter: str
) -> None:
    """With its drawings, what each wrong answer stands for, and its family."""
    form = forms(project, None)[letter]
    pieces = QUESTION.findall(source(specimen, f"papers/first/{letter.lower()}.md"))
    assert len(pieces) == len(form.items)
    for at, (piece, item) in enumerate(zip(pieces, form.items, strict=True), 1):
        asks, answer = piece.split('<div class="om-posed-key">')
        assert text(item.stem) in text(asks)
        drawn = [*item.pictures, *(one.picture for one in item.options if one.picture)]
        named = re.findall(rf"<!-- offmidline (figure-paper-first-{letter.lower()}-{at}-\S+)", asks)
        assert len(named) == len(drawn)
        assert all(specimen.drawings.svg(name).count("<svg") == 1 for name in named)
        assert text(answer).startswith(f"Key: {key(item)} Right ")
        wrong = item.numeric.slips if item.numeric is not None else item.options
        assert all(
            one.title in text(answer) for one in wrong if one.mistake and item.kind != "order"
        )
        assert item.ident in answer
        assert item.model in text(answer)


def test_a_drawing_is_that_of_the_forms_own_patient(specimen: Tree) -> None:
    """Forms show other findings: no drawing of one is that of the other."""
    names = [name for name in specimen.figures if name.startswith("figure-paper-first-a-")]
    assert names
    for name in names:
        mine = specimen.drawings.svg(name)
        others = [
            specimen.drawings.svg(other).replace(other, name)
            for other in specimen.figures
            if other.startswith("figure-paper-first-b-")
        ]
        assert mine not in others


def test_history_is_told_with_its_intervals(specimen: Tree) -> None:
    """Each sitting and all together, as another library reckons them, the small ones marked."""
    page = source(specimen, "papers/first.md")
    rows = [text(row) for row in re.findall(r"<tr>.*?</tr>", page, re.DOTALL)]
    people_of_all, right_of_all = (
        sum(people for _, people, _ in SITTINGS),
        sum(right for _, _, right in SITTINGS),
    )
    pooled = ("All sittings", people_of_all, right_of_all)
    for name, people, right in (*SITTINGS, pooled):
        ends = binomtest(right, people).proportion_ci(method="wilson")
        told = f"{name} {right} / {people} {right / people:.2f} ({ends.low:.2f} to {ends.high:.2f})"
        (row,) = [row for row in rows if row.startswith(name)]
        assert row.startswith(told)
        assert row.endswith("little, few candidates" if people < 30 else "with caution")


def test_the_blueprint_is_shown(specimen: Tree) -> None:
    """Every row, and how many questions they make."""
    page = source(specimen, "papers/first.md")
    assert page.count("any</td>") == 5
    assert re.search(r"All</th><td></td><td>5</td>", page)
    assert "5 questions, 30 minutes. Forms: A, B." in text(page)


def test_pages_say_whether_the_key_is_real(
    project: Project, specimen: Tree, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """With the secret they hold the real paper's numbers, and say so; else a specimen's."""
    file = tmp_path / "seed"
    file.write_bytes(SECRET)
    monkeypatch.setenv(VARIABLE, str(file))
    secret = secret_for("examiner", project.scenarios)
    # What the other tests find in the cache stays there.
    kept = shutil.copytree(project.cache, tmp_path / "cache")
    real = built(replace(settings(project, "examiner"), secret=secret, cache=kept))
    for path in ("papers/first.md", "papers/first/a.md"):
        assert "The real paper." in source(real, path)
        assert "A specimen." in source(specimen, path)
    idents = {item.ident for item in forms(project, SECRET)["A"].items}
    assert all(ident in source(real, "papers/first/a.md") for ident in idents)
    mine = {item.ident for item in forms(project, None)["A"].items}
    assert idents != mine
    assert not any(ident in source(real, "papers/first/a.md") for ident in mine - idents)


def test_the_secret_is_read_for_examiners_alone(
    project: Project, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A secret that cannot be read stops their build and nobody else's."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "nowhere"))
    assert secret_for("trainee", project.scenarios) is None
    assert secret_for("educator", project.scenarios) is None
    with pytest.raises(FaultsError):
        secret_for("examiner", project.scenarios)


def test_a_paper_that_cannot_be_set_stops_the_build(tmp_path: Path) -> None:
    """With the line of the row."""
    made = small_project(tmp_path)
    made.write_case("asked", CASE)
    (made.scenarios / "papers").mkdir()
    file = made.scenarios / "papers" / "first.yml"
    file.write_text(PAPER.replace("flap, kind: numeric, number: 1", "flap, kind: order, number: 9"))
    (made.handbook / "contents.yml").write_text(CONTENTS, "utf-8")
    with pytest.raises(FaultsError) as caught:
        built(settings(made, "examiner"))
    line = PAPER[: PAPER.index("{topic: flap")].count("\n") + 1
    assert str(caught.value).startswith(f"{file}:{line}:")


def test_the_chapters_example_is_a_paper(tmp_path: Path) -> None:
    """What the chapter tells to write is read without a fault, once the cases are there."""
    chapter = (ROOT / "handbook" / "examiners.md").read_text("utf-8")
    (example,) = re.findall(r"```yaml\n(#[^\n]*paper\.json\n.*?)```", chapter, re.DOTALL)
    made = small_project(tmp_path)
    (made.scenarios / "papers").mkdir()
    for name in ("your-first-case", "your-second-case"):
        made.write_case(name, CASE.replace("case: asked", f"case: {name}"))
    (made.scenarios / "papers" / "spring.yml").write_text(example, "utf-8")
    assert set(load_library(made.scenarios, AUDIENCES).papers) == {"spring"}


def test_papers_from_the_cache_take_no_engine(project: Project, specimen: Tree) -> None:
    """Built again without a change, neither a plan nor a question is made."""
    assert specimen.figures
    script = (
        "import sys; from pathlib import Path; from offmidline.site.settings import Settings;"
        "from offmidline.site.tree import build_tree;"
        "tree = build_tree(Settings(*map(Path, sys.argv[1:]), 'examiner'));"
        "tree.drawings.finish();"
        "assert any(page.path == 'papers/first/a.md' for page in tree.pages);"
        "print([name for name in sys.modules if name in ('numpy', 'offmidline.plan', 'reportlab')])"
    )
    folders = [str(folder) for folder in (project.scenarios, project.handbook, project.cache)]
    command = [sys.executable, "-c", script, *folders]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
