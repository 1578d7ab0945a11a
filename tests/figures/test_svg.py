"""The published file: names, size, accessibility, foreign text, the same bytes everywhere."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest
import shapely
from tests.figures.published import FIGURE, SVG, Published, drawn, extremes, planned, published
from tests.figures.soundness import GROUND
from tests.generated import SCENARIOS

from offmidline import figures
from offmidline.figures.page import export, style

VIEWS = ("marking", "section")
# How far from a text, mm, a line of the ground may end in its gap.
GAP = 2.0

HOSTILE = [
    "</title><script>alert(1)</script><b>&amp; \"quotes\" 'too'",
    "{{ 7 * 7 }} $x^2$ %d \\frac{1}{2} ]]> <!-- -->",
    "\u202eright to left\u202c \u2067again\u2069 \u200f\u061c",
    "\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627",
    "\u6f22\u5b57\u306e\u9577\u3044\u984c\u540d" * 28,
    "\U0001f469\u200d\u2695\ufe0f\U0001f9d1\U0001f3fd" * 40,
    "W" * 200,
    "a " * 100,
    "e\u0301\u0302\u0303" * 50,
    "\ufdfd \U00012031 \ufffd",
]

DRAW = """
import sys
sys.path.insert(0, {root!r})
from tests.strategies import shipped_plans
from offmidline import figures
for planned in shipped_plans()[:3]:
    for view in ("marking", "section"):
        if view == "marking" or planned.shown is not None:
            print(figures.render(planned, view, figure_id="figure").svg)
"""


@pytest.mark.parametrize("view", VIEWS)
def test_caution_case_technique_and_scale_stand_on_every_figure(view: str):
    """Title, technique, side letters, scale bar and caution are on every page."""
    for one, _, figure in drawn(view):
        said = " ".join(text.words for text in figure.texts)
        assert figures.words.say("caution") in said
        assert one.technique.title in said
        assert "50 mm" in said
        assert "when 150 mm wide" in said
        assert {"letter-left", "letter-right", "scale-bar"} <= figure.names
        assert any(name.startswith("case-title") for name in figure.names)


def test_bytes_are_the_same_in_every_process():
    """Two processes with different hash seeds draw the same bytes."""
    code = DRAW.format(root=str(SCENARIOS.parent))
    outputs = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert outputs[0] == outputs[1]
    assert outputs[0].count(b"<svg") > 3


def test_words_need_no_matplotlib():
    """The captions of every view come without importing matplotlib."""
    code = (
        f"import sys; sys.path.insert(0, {str(SCENARIOS.parent)!r})\n"
        "from tests.strategies import shipped_plans\n"
        "from offmidline import figures\n"
        "planned = next(one for one in shipped_plans() if one.shown is not None)\n"
        "for view in figures.VIEWS.values():\n"
        "    for part in view.parts(planned):\n"
        "        assert view.words(planned, part).caption\n"
        "assert 'matplotlib' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("view", VIEWS)
def test_captions_are_those_of_the_drawing(view: str):
    """What is said without drawing is what is said with it."""
    for one, rendered, _ in drawn(view)[:20]:
        words = figures.captions(one, view)
        assert (words.title, words.description, words.caption) == (
            rendered.title,
            rendered.description,
            rendered.caption,
        )


@pytest.mark.parametrize("view", VIEWS)
def test_left_is_the_mirror_of_right(view: str):
    """A case on the other side has the same texts and every path of the plan mirrored."""
    right, left = (planned(side=side, pits=[(60, 2), (74, 3)]) for side in ("right", "left"))
    one, other = published(right, view), published(left, view)
    assert {text.words for text in one.texts} - {text.words for text in other.texts} <= {
        "Marking, right side. Prone, seen from above, head up."
    }
    plain = {"scale-bar", "scale-bar-ends", "leaders"}
    mirrored = 0
    for name in one.names & other.names:
        element = one.elements.get(f"{FIGURE}-{name}")
        if element is None or not element.tag.endswith("path") or name in plain:
            continue
        if name.startswith("dimension") or name == "trough-hatch":
            continue
        mine, theirs = np.vstack(one.runs(name)), np.vstack(other.runs(name))
        mirror = shapely.MultiPoint(mine * (-1, 1) + (one.width, 0))
        if name in GROUND:
            # Texts are not mirrored, and where they lie such a line has a gap.
            there = shapely.MultiLineString(other.runs(name))
            texts = shapely.MultiPolygon([text.box for text in other.texts]).buffer(GAP)
            assert all(there.union(texts).distance(point) < 0.11 for point in mirror.geoms), name
            continue
        assert mirror.hausdorff_distance(shapely.MultiPoint(theirs)) < 0.11, name
        mirrored += 1
    assert mirrored > 12


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("title", HOSTILE)
def test_foreign_titles_are_text_on_the_page(title: str, view: str):
    """A title of any characters is shown as text, wrapped or shortened, and stays on the page."""
    case = planned(title=title[:200].strip())
    rendered = figures.render(case, view, figure_id=FIGURE)
    figure = Published(rendered.svg)
    lines = [e.text or "" for e in figure.root if "case-title" in e.get("id", "")]
    assert 1 <= len(lines) <= 3
    shown = "".join(lines).rstrip("…").replace(" ", "")
    assert case.case.title.replace(" ", "").startswith(shown)
    assert shown
    assert case.case.title in figure.text_of("title")
    tops = {e.tag.removeprefix(SVG) for e in figure.root}
    assert tops == {"title", "desc", "path", "text"}


@pytest.mark.parametrize("title", HOSTILE)
@pytest.mark.parametrize("file_format", ["png", "pdf"])
def test_foreign_titles_do_not_trouble_pictures(title: str, file_format: str):
    """PNG and PDF carry their font: what it lacks becomes a box, without a warning."""
    case = planned(title=title[:200].strip())
    view = figures.VIEWS["section"]
    data = export.FORMATS[file_format](view.draw(case), "light", view.words(case), FIGURE, 60.0)
    assert data.startswith({"png": b"\x89PNG", "pdf": b"%PDF"}[file_format])


def test_a_wide_title_takes_no_more_than_its_lines():
    """Two hundred of the widest letters are cut to three lines that end in an ellipsis."""
    figure = published(planned(title="W" * 200), "marking")
    lines = [text for text in figure.texts if text.gid.startswith("case-title")]
    assert len(lines) == 3
    assert lines[-1].words.endswith("…")
    assert all(line.box.bounds[2] <= figure.width - style.MARGIN + 0.5 for line in lines)


@pytest.mark.parametrize("theme", ["light", "dark", "grey"])
def test_files_have_the_colours_of_their_theme(theme):
    """A file holds plain colours of its theme only, on a page of its own."""
    figure = published(planned(), "marking", theme=theme)
    paints = {
        element.get(key)
        for element in figure.root.iter()
        for key in ("fill", "stroke")
        if element.get(key, "none") != "none"
    }
    assert paints <= set(style.PALETTES[theme].values())
    paper = figure.elements[f"{FIGURE}-paper"]
    assert paper.get("fill") == style.PALETTES[theme]["paper"]


def test_no_marking_is_explained_in_the_drawing():
    """Where no marking exists the findings are drawn, with the constraints that conflict."""
    case = extremes()["no marking possible"]
    figure = published(case, "marking")
    said = " ".join(text.words for text in figure.texts)
    assert "No marking satisfies the technique here." in said
    for conflict in figures.words.conflict_words(case.conflicts):
        assert conflict in said
    assert {"pit-1", "pit-2", "opening-1", "verge-clearance"} <= figure.names
    assert "outline" not in figure.names


def test_no_section_without_a_marking():
    """The section of such a case is refused with a sentence that says what to do."""
    case = extremes()["no marking possible"]
    with pytest.raises(figures.NoMarkingError, match="no marking satisfies"):
        figures.render(case, "section", figure_id=FIGURE)
    with pytest.raises(figures.NoMarkingError):
        figures.captions(case, "section")


def test_findings_are_told_apart_by_form():
    """What is excised is filled, what is left behind is crossed; a pit is round and an opening
    angular.
    """
    case = planned(
        pits=[(20, 2), (70, 2)],
        openings=[(140, 60, "right", 5)],
        marking={"cranial_apex": "120 mm", "caudal_apex": "20 mm", "reach": "5 mm"},
    )
    figure = published(case, "marking")
    assert {"pit-1-cross", "opening-1-cross"} <= figure.names
    assert "pit-2-cross" not in figure.names
    corners = np.unique(np.round(figure.runs("opening-1")[0], 3), axis=0)
    assert len(corners) == 4 < len(np.unique(np.round(figure.runs("pit-2")[0], 3), axis=0))
    words = " ".join(text.words for text in figure.texts)
    for expected in ("pit left behind", "pit, excised", "opening, left"):
        assert expected in words


def test_unknown_view():
    """A view that does not exist is a KeyError."""
    with pytest.raises(KeyError):
        figures.render(planned(), "nothing", figure_id=FIGURE)
