"""A gallery: all views of a case, with the lines they are drawn from and the command."""

from __future__ import annotations

import html
import json
import re
import shlex
from typing import Any

import markdown  # type: ignore[import-untyped]
import pytest
import yaml

from offmidline import figures
from offmidline.cli import main
from offmidline.site.escape import without_elements

from .conftest import PLAIN_CASE, ROOT, Project
from .test_escape import EXTENSIONS
from .test_stepper import planned, show
from .test_tree import faults_of, page, tree_of


def blocks(source: str) -> list[tuple[str, str]]:
    """The titles and the texts of a page's blocks of code, as a browser shows them."""
    found = re.findall(r"<p>([^\n]*)</p>\n<pre[^>]*><code>(.*?)</code></pre>", source, re.DOTALL)
    return [
        (html.unescape(without_elements(title)), html.unescape(without_elements(text)))
        for title, text in found
    ]


def sections(source: str) -> dict[str, str]:
    """The parts of a gallery by the ids of their headings."""
    pieces = re.split(r"^## .* \{ #(\S+) \}$", source, flags=re.MULTILINE)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def gallery(project: Project, case: str = "plain") -> dict[str, str]:
    """The parts of the gallery of a case."""
    show(project, f"gallery:{case}")
    return sections(page(tree_of(project), "index.md"))


def test_every_view_has_its_part(small: Project) -> None:
    """Each listed view that can show the case has a heading, summary, pictures and command."""
    case, found = planned(small), gallery(small)
    possible = {
        name: view.parts(case)
        for name, view in figures.VIEWS.items()
        if view.listed and view.parts(case)
    }
    assert list(found) == [f"plain-{name}" for name in possible]
    for name, parts in possible.items():
        source = found[f"plain-{name}"]
        assert figures.VIEWS[name].summary[1:] in source
        assert source.count("<figure") == len(parts)
        assert ("om-stepper" in source) == (len(parts) > 1)
        assert blocks(source)[-1][1].startswith("offmidline draw ")


def test_the_lines_are_those_of_the_files(small: Project) -> None:
    """Every line of a block stands in the file that the block names, as it is there."""
    found = gallery(small)
    title, text = blocks(found["plain-marking"])[0]
    assert title == "Drawn from these lines of scenarios/cases/plain.yml:"
    assert "  pits: [{at: 60 mm, diameter: 2 mm}]" in text.split("\n")
    for source in found.values():
        *origins, _ = blocks(source)
        for title, text in origins:
            file = re.search(r"scenarios/\S+\.yml", title)
            assert file is not None
            written = (small.top / file[0]).read_text("utf-8").split("\n")
            assert set(text.split("\n")) <= set(written), title


def test_a_technique_gives_its_values(small: Project) -> None:
    """Of a dimension of the technique the line of its value is shown, under its names."""
    origins = dict(blocks(gallery(small)["plain-section"]))
    text = origins["Drawn from these lines of scenarios/techniques/off-midline-flap.yml:"]
    assert text.startswith("dimensions:\n  lateral_cut:\n    value: 45 deg\n")
    assert "why:" not in text


def test_every_key_that_a_view_reads_is_one(small: Project) -> None:
    """Views name dimensions of the technique, and keys that a case may have."""
    schema = json.loads((ROOT / "scenarios" / "schema" / "case.json").read_text("utf-8"))
    technique = yaml.safe_load(
        (small.scenarios / "techniques" / "off-midline-flap.yml").read_text("utf-8")
    )
    for view in figures.VIEWS.values():
        assert view.reads, view.name
        for key in view.reads:
            kind, _, name = key.partition(":")
            assert kind in ("case", "technique"), key
            if kind == "case":
                assert in_schema(schema, name.split(".")), key
            else:
                name = name.removeprefix("dimensions.")
                assert name in technique["dimensions"] or name in technique, key


def in_schema(schema: dict[str, Any], way: list[str]) -> bool:
    """Whether an object of the schema may have a key, given by the way to it."""
    here = schema
    for part in way:
        here = here.get("properties", {}).get(part, {})
        while "$ref" in here:
            here = schema[here["$ref"].split("/")[1]][here["$ref"].split("/")[2]]
    return bool(here)


def test_the_command_makes_the_view(small: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a part says one should type, typed beside the handbook, draws the view."""
    found = gallery(small)
    monkeypatch.chdir(small.top)
    for name in ("marking", "section"):
        title, command = blocks(found[f"plain-{name}"])[-1]
        assert title == "Made as a file by:"
        program, *arguments = shlex.split(command)
        assert program == "offmidline"
        assert main(arguments) == 0
        assert (small.top / f"{name}.svg").read_text("utf-8").count("<svg") == 1


def test_a_case_without_marking_shows_its_findings(small: Project) -> None:
    """Where no marking is possible, the gallery has the findings and nothing else."""
    low = PLAIN_CASE.replace("case: plain", "case: low").replace("at: 60 mm", "at: 18 mm")
    small.write_case("low", low)
    assert list(gallery(small, "low")) == ["low-findings"]


def test_a_gallery_comes_from_the_cache(small: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second tree with a gallery plans nothing, and is the same."""
    show(small, "gallery:plain")
    first = tree_of(small)
    monkeypatch.setattr("offmidline.plan.plan_case", lambda *_: pytest.fail("planned again"))
    assert tree_of(small) == first


def test_lines_are_text_in_markdown(small: Project) -> None:
    """Lines with marks and blank lines come out of Markdown as they are in the file."""
    text = PLAIN_CASE.replace(
        "  pits: [{at: 60 mm, diameter: 2 mm}]",
        "  pits:  # <b> *x* {{ offset }} & `c`\n\n\n    - {at: 60 mm, diameter: 2 mm}",
    )
    small.write_case("plain", text)
    source = gallery(small)["plain-marking"]
    _, lines = blocks(markdown.markdown(source, extensions=EXTENSIONS))[0]
    assert "  pits:  # <b> *x* {{ offset }} & `c`\n\n\n    - {at: 60 mm, diameter: 2 mm}" in lines


def test_wide_lines_can_be_reached_by_the_keyboard(small: Project) -> None:
    """Code wider than a phone is a stop of the keyboard with a name; a command is wrapped."""
    wide = f"cavity_depth: 14 mm   # {'wide ' * 20}"
    small.write_case("plain", PLAIN_CASE.replace("cavity_depth: 14 mm", wide))
    source = gallery(small)["plain-section"]
    case, technique, command = re.findall(r"<pre ([^>]*)>", source)
    assert 'tabindex="0" role="group" aria-label="Drawn from' in case
    assert "tabindex" not in technique
    assert "tabindex" not in command


def test_an_unknown_case_has_no_gallery(small: Project) -> None:
    """A gallery of a case that is not there is a fault, also where the name is a path."""
    show(small, "gallery:plian", "gallery:../cases/plain", "gallery:plain:marked")
    faults = faults_of(small)
    path = small.handbook / "index.md"
    assert faults[0] == f"{path}:3:1: there is no plian: did you mean plain?"
    assert [fault.split(": ")[0] for fault in faults] == [f"{path}:{n}:1" for n in (3, 5, 7)]


def test_a_gallery_shows_the_views_that_it_names(small: Project) -> None:
    """Some views of a case, in the order in which they are named; an unknown one is a fault."""
    assert list(gallery(small, "plain:section,marking")) == ["plain-section", "plain-marking"]
    show(small, "gallery:plain:sections")
    assert any("did you mean section?" in fault for fault in faults_of(small))


def test_the_shipped_galleries_show_every_view() -> None:
    """The pages of the gallery together show each listed view once."""
    text = "".join(path.read_text("utf-8") for path in ROOT.glob("handbook/gallery*.md"))
    named = re.findall(r"\{\{ gallery:ferry-deckhand:(\S+) \}\}", text)
    shown = [name for name, view in figures.VIEWS.items() if view.listed]
    assert sorted(",".join(named).split(",")) == sorted(shown)
