"""The pages of checklists, from the technique's steps."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from offmidline.records import Technique, read_technique
from offmidline.site.checklists import link, pages
from offmidline.site.steps import Texts

from .conftest import Project
from .pages import PageReader
from .test_tree import faults_of, tree_of

NAME = "off-midline-flap"


def lists_of(project: Project, chapters: tuple[str, ...] = ()) -> dict[str, str]:
    """The sources of the pages of checklists, by path, without what keeps amounts on one line."""
    technique = technique_of(project)
    texts = Texts(technique, project.scenarios / "techniques" / f"{NAME}.yml")
    made = pages(technique, texts, chapters)
    return {
        page.path: re.sub(r'<span class="om-amount">([^<]*)</span>', r"\1", page.source)
        for page in made
    }


def technique_of(project: Project) -> Technique:
    """The technique of a project."""
    return read_technique(NAME, project.scenarios)


def change(project: Project, **fields: Any) -> None:
    """Give the technique other values of its fields."""
    file = project.scenarios / "techniques" / f"{NAME}.yml"
    file.write_text(yaml.safe_dump(yaml.safe_load(file.read_text("utf-8")) | fields), "utf-8")


def change_text(project: Project, old: str, new: str) -> None:
    """Replace a text of the technique's file."""
    file = project.scenarios / "techniques" / f"{NAME}.yml"
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new), "utf-8")


def ticks(source: str) -> list[str]:
    """The steps that a page has boxes for."""
    return [html.unescape(found) for found in re.findall(r'data-tick="([^"]*)"', source)]


def words(source: str) -> str:
    """The text of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", source)).split())


def steps(technique: Technique) -> Iterator[tuple[str, str]]:
    """Phase and step of every step."""
    for phase in technique.steps:
        for step in phase.steps:
            yield phase.phase, step.step


def test_every_step_stands_on_its_phases_page_and_in_the_pocket(small: Project) -> None:
    """Each step has one box on its phase's page and one in the pocket list, in order."""
    made, technique = lists_of(small), technique_of(small)
    for phase in technique.steps:
        wanted = [f"{phase.phase}/{step.step}" for step in phase.steps]
        assert ticks(made[f"checklists/{phase.phase}.md"]) == wanted
    assert ticks(made["checklists/pocket.md"]) == [f"{a}/{b}" for a, b in steps(technique)]


def test_the_sheet_has_every_step_and_no_box_for_the_screen(small: Project) -> None:
    """On paper every step is there with who does it, and every pause point is marked."""
    sheet, technique = lists_of(small)["checklists/sheet.md"], technique_of(small)
    assert ticks(sheet) == []
    assert sheet.count("<li") == len([*steps(technique)])
    paused = [step for phase in technique.steps for step in phase.steps if step.pause]
    assert sheet.count('class="om-pausing"') == sheet.count("Pause point") == len(paused)
    assert "scrub nurse" in sheet


def test_a_phases_page_says_why_when_right_and_what_goes_wrong(small: Project) -> None:
    """All four texts of a step stand on the page of its phase."""
    text = words(lists_of(small)["checklists/flap.md"])
    (step,) = (
        step
        for phase in technique_of(small).steps
        for step in phase.steps
        if step.step == "inspect-flap"
    )
    for part in (step.do, step.why, step.check, step.wrong):
        assert part is not None
        assert part in text


def test_what_a_tick_is_known_by_is_unique_and_outlives_changes(small: Project) -> None:
    """A step keeps its name when its text, its values or the order of the steps change."""
    before = ticks(lists_of(small)["checklists/pocket.md"])
    assert len(before) == len(set(before))
    change_text(small, "value: 20 mm", "value: 17 mm")
    change_text(small, "Draw the midline from", "Mark the midline from")
    technique = yaml.safe_load((small.scenarios / "techniques" / f"{NAME}.yml").read_text("utf-8"))
    for phase in technique["steps"]:
        phase["steps"].reverse()
    change(small, steps=technique["steps"])
    after = ticks(lists_of(small)["checklists/pocket.md"])
    assert after != before
    assert sorted(after) == sorted(before)


def test_numbers_follow_a_changed_technique(small: Project) -> None:
    """Phase page, sheet and pocket list show the technique's values, and no other."""
    was = "parallel to the midline, 20 mm towards"
    for path in ("marking", "sheet", "pocket"):
        assert was in words(lists_of(small)[f"checklists/{path}.md"])
    change_text(small, "value: 20 mm", "value: 17 mm")
    for path in ("marking", "sheet", "pocket"):
        now = words(lists_of(small)[f"checklists/{path}.md"])
        assert was not in now
        assert "parallel to the midline, 17 mm towards" in now


def test_a_technique_without_steps_still_has_a_handbook(small: Project) -> None:
    """The index, the sheet and the pocket list then say that there are none."""
    change(small, steps=[])
    made = lists_of(small)
    assert [*made] == [f"checklists/{name}.md" for name in ("index", "sheet", "pocket")]
    for source in made.values():
        assert "lists no steps" in source
    tree_of(small)


def test_other_phases_make_other_pages(small: Project) -> None:
    """Pages follow the technique; a phase does not take the place of the sheet, or of another."""
    step = {"step": "a", "do": "Do <b>it</b>.", "why": "It is due."}
    phases = [
        {"phase": "early", "title": "Early & first", "steps": [step]},
        {"phase": "sheet", "title": "Sheet", "steps": [step | {"step": "b"}]},
    ]
    change(small, steps=phases)
    made = lists_of(small)
    assert [*made] == [
        f"checklists/{name}.md" for name in ("index", "early", "sheet-phase", "sheet", "pocket")
    ]
    assert ticks(made["checklists/sheet-phase.md"]) == ["sheet/b"]
    assert "<b>" not in made["checklists/early.md"]
    assert "Do <b>it</b>." in words(made["checklists/early.md"])
    assert 'href="sheet-phase.md"' in made["checklists/index.md"]
    tree_of(small)


def test_a_wrong_name_in_a_step_is_a_fault_at_its_place(small: Project) -> None:
    """It is found though no chapter shows the step, and told once."""
    change_text(small, "Tape the buttocks apart evenly", "Tape {{ ofset }} apart evenly")
    (fault,) = faults_of(small)
    line = (small.scenarios / "techniques" / f"{NAME}.yml").read_text("utf-8").split("{{ ofset")[0]
    assert f"{NAME}.yml:{line.count(chr(10)) + 1}:" in fault
    assert "did you mean offset?" in fault


def test_pages_link_to_the_chapter_of_a_phase_and_back(small: Project) -> None:
    """A phase that has a chapter links to it, and a list of steps to its checklist."""
    assert "](../flap.md)" in lists_of(small, ("flap.md",))["checklists/flap.md"]
    assert "../flap.md" not in lists_of(small)["checklists/flap.md"]
    assert link("flap", "flap.md").endswith("(checklists/flap.md)")
    assert link("flap", "more/notes.md").endswith("(../checklists/flap.md)")


@pytest.mark.site
def test_the_built_pages_are_whole_without_scripts(small: Project) -> None:
    """Every box is in a label of its own, every list says that it is one, no address is broken."""
    site: Path = small.build()
    for phase in technique_of(small).steps:
        page = PageReader((site / "checklists" / f"{phase.phase}.html").read_text("utf-8"))
        labels = [tag for tag in page.all("label") if tag.get("class") == "om-tick"]
        boxes = [tag for tag in page.all("input") if "data-tick" in tag]
        assert len(labels) == len(boxes) == len(phase.steps)
        assert {tag["type"] for tag in boxes} == {"checkbox"}
        lists = [tag for tag in page.all("ol") if tag.get("class") == "om-checklist-steps"]
        assert [tag["role"] for tag in lists] == ["list"]
    index = PageReader((site / "checklists" / "index.html").read_text("utf-8"))
    for name in ("sheet.html", "pocket.html", "marking.html", "recovery.html"):
        assert name in index.links
