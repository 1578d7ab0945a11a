"""Views of several pictures on a page: their steps, one of them, and what there is not."""

from __future__ import annotations

import re

import pytest

from offmidline import figures
from offmidline.plan import CasePlan, plan_case
from offmidline.records import read_case, read_technique
from offmidline.site.figure import Figure
from offmidline.site.stepper import one_figure, stepper

from .conftest import Project
from .test_tree import faults_of, page, tree_of

VIEW = "closure"


def planned(project: Project, case: str = "plain") -> CasePlan:
    """A case of the project with what follows from it."""
    read = read_case(project.cases / f"{case}.yml", project.scenarios)
    return plan_case(read, read_technique(read.technique, project.scenarios))


def show(project: Project, *names: str) -> None:
    """Let the first chapter hold these names, each on a line of its own."""
    lines = "\n\n".join(f"{{{{ {name} }}}}" for name in names)
    (project.handbook / "index.md").write_text(f"# Start\n\n{lines}\n", "utf-8")


def test_a_view_of_several_pictures_becomes_steps(small: Project) -> None:
    """Every picture is there in order, with its number, its name, its caption and its id."""
    case = planned(small)
    parts = figures.VIEWS[VIEW].parts(case)
    assert len(parts) > 2
    show(small, f"figure:plain:{VIEW}")
    tree = tree_of(small)
    source = page(tree, "index.md")
    assert f'<div class="om-stepper" id="figure-plain-{VIEW}" role="group"' in source
    assert '<ol class="om-stepper-steps" role="list">' in source
    ids = [f"figure-plain-{VIEW}-{part}" for part in parts]
    assert re.findall(r"<!-- offmidline (\S+) -->", source) == ids
    numbers = re.findall(r'<p class="om-stepper-name">(\d+) of (\d+): \S', source)
    assert numbers == [(str(n), str(len(parts))) for n in range(1, len(parts) + 1)]
    assert source.count("<figcaption>") == len(parts)
    assert "A plain case" not in source
    for ident, part in zip(ids, parts, strict=True):
        assert tree.figures[ident].caption == figures.captions(case, VIEW, part).caption
        assert tree.drawings.svg(ident).startswith("<svg")
    assert len({tree.drawings.svg(ident) for ident in ids}) == len(ids)


def test_one_part_of_a_view_is_one_figure(small: Project) -> None:
    """A part asked for by its name comes alone, and only it is drawn."""
    _, part, *_ = figures.VIEWS[VIEW].parts(planned(small))
    show(small, f"figure:plain:{VIEW}:{part}")
    tree = tree_of(small)
    source = page(tree, "index.md")
    assert "om-stepper" not in source
    assert source.count('<figure class="om-figure">') == 1
    assert [name for name in tree.figures if VIEW in name] == [f"figure-plain-{VIEW}-{part}"]


def test_what_there_is_not_is_told_with_its_place(small: Project) -> None:
    """Unknown views, unknown parts, and parts of a view of one picture are faults."""
    first, *_ = figures.VIEWS[VIEW].parts(planned(small))
    show(
        small,
        f"figure:plain:{VIEW}:{first}x",
        "figure:plain:marking:part",
        f"figure:plain:{VIEW}x",
        f"figure:plian:{VIEW}",
        f"figure:plain:{VIEW}:",
    )
    path = small.handbook / "index.md"
    faults = faults_of(small)
    assert faults[0] == f"{path}:3:1: there is no {first}x: did you mean {first}?"
    assert faults[1] == f"{path}:5:1: there is no part: known here: –"
    assert faults[2].startswith(f"{path}:7:1: there is no {VIEW}x: did you mean {VIEW}?")
    assert faults[3] == f"{path}:9:1: there is no plian: did you mean plain?"
    assert faults[4].startswith(f"{path}:11:1: ")
    assert len(faults) == 5


def test_a_view_that_cannot_show_the_case_is_unknown(small: Project) -> None:
    """Where no marking is possible, the views that need one are not there to be named."""
    low = (small.cases / "plain.yml").read_text("utf-8").replace("at: 60 mm", "at: 18 mm")
    small.write_case("low", low.replace("case: plain", "case: low"))
    show(small, f"figure:low:{VIEW}")
    (fault,) = faults_of(small)
    assert f"there is no {VIEW}: " in fault


def test_a_step_and_its_view_do_not_share_a_page(small: Project) -> None:
    """A picture that would be on a page twice, alone and as a step, is a fault."""
    first, *_ = figures.VIEWS[VIEW].parts(planned(small))
    show(small, f"figure:plain:{VIEW}", f"figure:plain:{VIEW}:{first}")
    (fault,) = faults_of(small)
    assert ":5:1: " in fault
    assert "on this page already" in fault


def test_words_are_worked_out_for_shown_views_only(
    small: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A site puts those views into words that its pages show; the findings are an exercise's."""
    from offmidline.site import views

    described, asked = views.described, []

    def noted(case: CasePlan, name: str) -> dict[str, object]:
        asked.append(name)
        return described(case, name)

    monkeypatch.setattr(views, "described", noted)
    tree_of(small)
    assert sorted(asked) == ["coverage", "findings", "marking", "section"]


def test_words_of_people_are_text_in_steps() -> None:
    """Names and captions of steps are escaped, and so is the title of the whole."""
    wild = '"><script>x</script> {{ a }} *b*'
    made = stepper("id", wild, [Figure("figure-a", wild, wild, wild, wild)])
    assert "<script" not in made
    assert "{{" not in made
    assert "*" not in made
    assert made.count("<!--") == 1
    assert "\n\n" not in made


def test_a_figure_alone_has_no_number() -> None:
    """One picture stands without a step's name."""
    made = one_figure(Figure("figure-a", "Name", "Title", "Description", "Caption"))
    assert "om-stepper" not in made
    assert "Name" not in made


def test_a_step_is_named_by_what_it_shows(small: Project) -> None:
    """No name of a step repeats the title of its view or of its case."""
    from offmidline.site.views import described

    case = planned(small)
    for name, view in figures.VIEWS.items():
        parts = described(case, name)["parts"] if view.parts(case) else []
        names = [words["name"] for _, words in parts]
        assert len(set(names)) == len(names)
        if len(names) > 1:
            said = (view.title, case.case.title, "Step")
            assert not [one for one in names if any(word in one for word in said)], names
