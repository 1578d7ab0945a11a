"""Charts on pages: their figure, their sources, the cache, and what there is not."""

from __future__ import annotations

import re

import pytest

from offmidline.records import FaultsError
from offmidline.site import escape

from .conftest import Project
from .test_tree import page, tree_of

RESULT = """\
evidence: {name}
source: sozen-2011
design: randomised trial
subject: an invented trial
rows:
  - row: haematoma
    outcome: haematoma
    follow_up: 12 months
    arms:
      - {{operation: this-operation, events: {events}, of: 100}}
      - {{operation: midline-closure, events: 20, of: 100}}
"""


def evidence(project: Project, events: int = 10) -> None:
    """Let the project hold two invented trials of one source besides what it holds."""
    for name in ("one", "two"):
        text = RESULT.format(name=name, events=events)
        (project.scenarios / "evidence" / f"{name}.yml").write_text(text, "utf-8")


def show(project: Project, *names: str) -> None:
    """Let the first chapter hold these names, each on a line of its own."""
    lines = "\n\n".join(f"{{{{ {name} }}}}" for name in names)
    (project.handbook / "index.md").write_text(f"# Start\n\n{lines}\n", "utf-8")


def test_a_chart_is_a_figure_with_its_sources(small: Project) -> None:
    """The figure has the chart's id and caption, a drawing, and its rows' citations."""
    evidence(small)
    show(small, "chart:forest:haematoma", "chart:icons:one.haematoma")
    tree = tree_of(small)
    source = page(tree, "index.md")
    ids = ["figure-chart-forest-haematoma", "figure-chart-icons-one-haematoma"]
    assert re.findall(r"<!-- offmidline (\S+) -->", source) == ids
    assert all(tree.drawings.svg(ident).startswith("<svg") for ident in ids)
    assert escape.text(tree.figures[ids[1]].caption) in source
    assert re.search(r'class="om-chart-sources">[^\n]*1, 2: <a class="om-cite"', source)
    assert source.count('class="om-chart-sources"') == len(ids)


def test_a_chart_follows_its_numbers(small: Project) -> None:
    """Other counts make another drawing; the same ones come from the cache."""
    evidence(small)
    show(small, "chart:icons:one.haematoma")
    ident = "figure-chart-icons-one-haematoma"
    first = tree_of(small).drawings.svg(ident)
    kept = sorted(small.cache.rglob("*.json"))
    assert tree_of(small).drawings.svg(ident) == first
    assert sorted(small.cache.rglob("*.json")) == kept
    evidence(small, events=11)
    assert tree_of(small).drawings.svg(ident) != first


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("chart:forrest:recurrence", "forest:recurrence"),
        ("chart:forest:recurence", "forest:recurrence"),
        ("chart:icons:one.haematom", "icons:one.haematoma"),
        ("chart:cusums", "cusum"),
        ("chart:cusum:first", "cusum"),
    ],
)
def test_an_unknown_chart_is_a_fault_with_the_nearest(small: Project, name: str, said: str) -> None:
    """A wrong name or key is told with its place, and with what it might have been."""
    evidence(small)
    show(small, name)
    with pytest.raises(FaultsError) as caught:
        tree_of(small)
    (fault,) = caught.value.faults
    assert (fault.line, fault.column) == (3, 1)
    assert f"did you mean {said}?" in fault.message


def test_a_chart_stands_once_a_page(small: Project) -> None:
    """Its ids would be there twice."""
    show(small, "chart:cusum", "chart:cusum")
    with pytest.raises(FaultsError, match="once a page"):
        tree_of(small)
