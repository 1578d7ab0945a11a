"""The tree of pages, without MkDocs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from offmidline.cli import main
from offmidline.records import FaultsError
from offmidline.site.nav import MOST, navigation
from offmidline.site.settings import Settings
from offmidline.site.tree import Tree, build_tree
from offmidline.site.write import write_tree

from .conftest import PLAIN_CASE, Project


def tree_of(project: Project) -> Tree:
    """The trainees' tree, with nothing left to draw."""
    return built(Settings(project.scenarios, project.handbook, project.cache))


def built(settings: Settings) -> Tree:
    """A tree with nothing left to draw."""
    tree = build_tree(settings)
    tree.drawings.finish()
    return tree


def drawings(tree: Tree) -> dict[str, str]:
    """All drawings by the ids of their figures."""
    return {name: tree.drawings.svg(name) for name in tree.figures}


def page(tree: Tree, path: str) -> str:
    """The source of a page, without what keeps amounts on one line."""
    source = next(one.source for one in tree.pages if one.path == path)
    return re.sub(r'<span class="om-amount">([^<]*)</span>', r"\1", source)


def faults_of(project: Project) -> list[str]:
    """The faults that keep a tree from being built."""
    with pytest.raises(FaultsError) as caught:
        tree_of(project)
    return [str(fault) for fault in caught.value.faults]


def test_every_page_ends_with_the_caution(small: Project) -> None:
    """Chapters, cases, lists and techniques all carry the caution and the version at their end."""
    for one in tree_of(small).pages:
        ending = one.source[one.source.rindex("<aside") :]
        assert "Not for planning an operation on a patient" in ending, one.path
        assert "Version" in ending, one.path


def test_a_changed_technique_changes_every_number(small: Project) -> None:
    """Chapters, tables and cases follow one changed value of the technique."""
    before = tree_of(small)
    file = small.scenarios / "techniques" / "off-midline-flap.yml"
    file.write_text(file.read_text("utf-8").replace("value: 20 mm", "value: 17 mm", 1), "utf-8")
    after = tree_of(small)
    assert "An offset of 20 mm" in page(before, "index.md")
    assert "An offset of 17 mm" in page(after, "index.md")
    for path in ("techniques/off-midline-flap.md", "cases/plain.md"):
        assert page(before, path) != page(after, path)
    figure = "figure-plain-marking"
    assert before.drawings.svg(figure) != after.drawings.svg(figure)


def test_a_page_shows_what_the_plan_holds(small: Project) -> None:
    """The numbers of a case page are those that `offmidline measure` reports."""
    from offmidline.plan import plan_case
    from offmidline.records import read_case, read_technique
    from offmidline.report import report

    case = read_case(small.cases / "plain.yml", small.scenarios)
    planned = report(plan_case(case, read_technique(case.technique, small.scenarios)))
    source = page(tree_of(small), "cases/plain.md")
    for value, unit in (
        (planned["outline"]["length"], "mm"),
        (planned["trough"]["volume_ml"], "ml"),
        (planned["closure"]["deep_gap"], "mm"),
    ):
        assert f"<td>{round(value, 1):g} {unit}</td>" in source
    rules = re.findall(r'<tr><th scope="row">[^<]+<span class="om-reason">', source)
    assert len(rules) == len(planned["rules"])


def test_infiltration_names_label_and_the_limit_that_binds(small: Project) -> None:
    """The dose stands beside both limits, the label, the country, and which limit counts."""
    small.write_case(
        "light", PLAIN_CASE.replace("case: plain", "case: light").replace("82 kg", "50 kg")
    )
    tree = tree_of(small)
    heavy, light = page(tree, "cases/plain.md"), page(tree, "cases/light.md")
    assert "3 mg/kg × 82 kg = 246 mg" in heavy
    assert "<strong>200 mg</strong>, the fixed limit" in heavy
    assert "<strong>150 mg</strong>, the limit by weight" in light
    assert "United Kingdom" in light
    assert "The label gives no figure by weight" in light


def test_a_case_without_marking_explains_the_conflict(small: Project) -> None:
    """Where nothing fits, the page names the demands that conflict, each with its nearest."""
    low = PLAIN_CASE.replace("case: plain", "case: low").replace("at: 60 mm", "at: 18 mm")
    small.write_case("low", low.replace("  openings: [{at: 86 mm", "  openings: [{at: 40 mm"))
    source = page(tree_of(small), "cases/low.md")
    assert "No marking satisfies the technique" in source
    assert "at best" in source
    assert "figure-low-section" not in source


def test_unknown_names_are_found_with_their_place(small: Project) -> None:
    """Every unknown name of every page is a fault with file, line and column, in one run."""
    (small.handbook / "index.md").write_text(
        "# Start\n\n{{ ofset }} {{ source:sozen-2012 }}\n\n{{ figure:plain:marking }}\n\n"
        "{{ figure:plain:sideways }}\n\n{{ case:plain.outline.widht }}\n"
        "{{ figure:plain:marking }}\n",
        "utf-8",
    )
    path = small.handbook / "index.md"
    faults = faults_of(small)
    assert [fault.split(": ")[0] for fault in faults] == [
        f"{path}:3:1",
        f"{path}:3:13",
        f"{path}:7:1",
        f"{path}:9:1",
        f"{path}:10:1",
    ]
    assert "did you mean offset?" in faults[0]
    assert "did you mean outline.width?" in faults[3]
    assert "on this page already" in faults[4]


def test_a_wrong_name_in_a_step_points_into_the_technique(small: Project) -> None:
    """A name that a step of the technique gets wrong is shown in the technique's file."""
    (small.handbook / "index.md").write_text("# Start\n\n{{ steps:marking }}\n", "utf-8")
    file = small.scenarios / "techniques" / "off-midline-flap.yml"
    text = file.read_text("utf-8").replace("{{ reach }} beyond", "{{ reech }} beyond", 1)
    file.write_text(text, "utf-8")
    at = text.index("{{ reech }}")
    line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
    (fault,) = faults_of(small)
    assert fault.startswith(f"{file}:{line}:{column}: there is no reech: did you mean reach?")


def test_pages_and_contents_must_agree(small: Project) -> None:
    """A page that is not listed, and a listed one that is not there, are faults."""
    (small.handbook / "extra.md").write_text("# Extra\n", "utf-8")
    (small.handbook / "contents.yml").write_text(
        "- index.md\n- techniques/\n- cases/\n- sources.md\n- gone.md\n", "utf-8"
    )
    faults = "\n".join(faults_of(small))
    assert "extra.md is not listed" in faults
    assert "there is no such page" in faults


@pytest.mark.parametrize("text", ["", "a: b", "- [x", "- {a: 1}", "- 3"])
def test_contents_that_are_no_list_are_a_fault(small: Project, text: str) -> None:
    """An order of pages in another form is a fault that says what is right."""
    (small.handbook / "contents.yml").write_text(text, "utf-8")
    assert "write `- page.md`" in faults_of(small)[0]


def test_an_unknown_technique_is_a_fault(small: Project) -> None:
    """A technique that is not there is named, with the one that is."""
    with pytest.raises(FaultsError, match="off-midline-flap"):
        build_tree(
            Settings(small.scenarios, small.handbook, small.cache, technique="off-midline-flip")
        )


def test_unchanged_cases_are_not_worked_out_again(
    small: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second tree comes from the cache alone."""
    first = tree_of(small)
    drawn = drawings(first)
    monkeypatch.setattr("offmidline.plan.plan_case", lambda *_: pytest.fail("planned again"))
    second = tree_of(small)
    assert second == first
    assert drawings(second) == drawn


def test_cached_and_new_trees_are_equal(small: Project, tmp_path: Path) -> None:
    """What comes from the cache is what would be made."""
    drawn = drawings(tree_of(small))
    again = built(Settings(small.scenarios, small.handbook, tmp_path / "other"))
    assert tree_of(small) == again
    assert drawings(again) == drawn


def test_drawn_here_or_beside_is_the_same(small: Project, tmp_path: Path) -> None:
    """A second process draws what this one would, byte for byte."""
    beside = Settings(small.scenarios, small.handbook, tmp_path / "beside", few=0)
    here = Settings(small.scenarios, small.handbook, tmp_path / "here", few=99)
    assert drawings(build_tree(here)) == drawings(built(beside))


def test_what_the_second_process_cannot_draw_is_drawn_here(
    small: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the second process fails, the drawings come all the same."""
    monkeypatch.setattr("offmidline.site.artist.sys.executable", "/bin/false")
    assert all(svg.startswith("<svg") for svg in drawings(tree_of(small)).values())


def test_a_removed_case_leaves_the_cache(small: Project) -> None:
    """Cache entries of a case that is gone are gone."""
    drawings(tree_of(small))
    before = set(small.cache.rglob("*.json"))
    small.write_case("other", PLAIN_CASE.replace("case: plain", "case: other"))
    drawings(tree_of(small))
    (small.cases / "other.yml").unlink()
    drawings(tree_of(small))
    assert set(small.cache.rglob("*.json")) == before


def test_long_groups_are_split(small: Project) -> None:
    """The navigation never lists more cases together than a page can carry."""
    for number in range(MOST + 5):
        name = f"case-{number:02}"
        small.write_case(name, PLAIN_CASE.replace("case: plain", f"case: {name}"))
    nav = navigation(tree_of(small))
    group = next(item["Cases"] for item in nav if isinstance(item, dict) and "Cases" in item)
    assert group[0] == "cases/index.md"
    assert [len(items) for part in group[1:] for items in part.values()] == [MOST, 6]


def test_the_command_writes_and_tells(
    small: Project, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`offmidline write` says how many pages it wrote; with a fault it writes nothing."""
    monkeypatch.chdir(small.top)
    assert main(["write", "out"]) == 0
    assert capsys.readouterr().out == "18 pages are in out\n"
    (small.handbook / "index.md").write_text("# Start\n\n{{ ofset }}\n", "utf-8")
    assert main(["write", "other"]) == 1
    told = capsys.readouterr().err
    assert told == "handbook/index.md:3:1: there is no ofset: did you mean offset?\n"
    assert not (small.top / "other").exists()


def test_write_makes_the_same_pages(small: Project, tmp_path: Path) -> None:
    """`write` puts pages, drawings and assets into a folder, with drawings as images."""
    folder = tmp_path / "out"
    settings = Settings(small.scenarios, small.handbook, small.cache)
    assert write_tree(settings, folder) == len(tree_of(small).pages)
    source = (folder / "cases" / "plain.md").read_text("utf-8")
    image = '<img id="figure-plain-marking" src="../figures/figure-plain-marking.svg"'
    assert image in source
    assert (folder / "figures" / "figure-plain-marking.svg").read_text("utf-8").count("<svg") == 1
    assert (folder / "assets" / "handbook.css").exists()
    assert not (folder / "theme").exists()
    assert not (folder / "contents.yml").exists()
    assert "{{" not in source
