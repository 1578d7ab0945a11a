"""Markings to be judged: what is drawn and said is the marking, to one scale for all of a case, and
nothing tells which of them the technique asks for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from tests.figures.published import FIGURE, SVG, Published, extremes, planned
from tests.figures.soundness import texts_overlap
from tests.strategies import a_case, generated_plans, shipped_plans

from offmidline import figures, messages
from offmidline.figures.page.style import PAGE_WIDTH
from offmidline.figures.views.question import candidates, question_part
from offmidline.figures.words import number
from offmidline.mistakes import MISTAKES, wrong_plans
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.variants import what_changes

VIEWS = ("question", "choice")
SHARE = 1e-3
LEAST = 0.02
# The small pictures are shown this wide on a phone, and are no larger than this.
SMALL_PX = 160
SMALLEST_PX = 9
MOST_BYTES = 12_000
# Words that judge. "Right" is also a side, and then stands in one of these ways.
JUDGING = re.compile(
    r"\b(right|wrong|correct|incorrect|mistakes?|met|margins?|rules?|excised?|missed|leave)\b"
)
A_SIDE = re.compile(r"the (patient's )?right\b|\(\S+ right\)|letter-right|'data-side': 'right'")

Read = tuple[CasePlan, str, Plan, Published]


def _near(value: Any) -> Any:
    return pytest.approx(value, rel=SHARE, abs=LEAST)


@lru_cache(maxsize=1)
def _cases() -> tuple[CasePlan, ...]:
    """Cases that have a right marking: shipped, some generated, some extreme."""
    cases = [*shipped_plans(), *generated_plans(0, 6), *list(extremes().values())[:6]]
    return tuple(one for one in cases if one.right is not None)


@lru_cache(maxsize=2)
def _all(view: str) -> tuple[Read, ...]:
    return tuple(
        (one, part, plan, _read(one, view, part))
        for one in _cases()
        for part, plan in candidates(one).items()
    )


def _read(one: CasePlan, view: str, part: str) -> Published:
    return Published(figures.render(one, view, part=part, figure_id=FIGURE).svg)


def _said(one: CasePlan, view: str, part: str) -> Iterator[str]:
    """Everything that a reader or a program finds in a picture and its words."""
    rendered = figures.render(one, view, part=part, figure_id=FIGURE)
    yield from (rendered.title, rendered.description, rendered.caption)
    yield figures.VIEWS[view].part_title(part)
    figure = Published(rendered.svg)
    yield from figure.names
    yield from (f"{element.tag} {element.attrib}" for element in figure.root.iter())
    # Texts may be broken anywhere, so that they are read in one run.
    drawn = " ".join(element.text or "" for element in figure.root.iter(f"{SVG}text"))
    yield drawn.replace(messages.text("figures.caution"), "").replace(one.technique.title, "")


def test_a_code_is_that_of_its_case_and_mistake():
    """Eight hex digits of a hash, worked out apart; other cases and mistakes have others."""
    assert question_part("ferry-deckhand", None) == "d95cfc8f"
    assert question_part("ferry-deckhand", "wrong-side") == "5051d732"
    codes = {
        question_part(one.case.case, name)
        for one in shipped_plans()
        for name in (None, *(mistake.mistake for mistake in MISTAKES))
    }
    assert len(codes) == len(shipped_plans()) * (len(MISTAKES) + 1)


@pytest.mark.parametrize("view", VIEWS)
def test_every_marking_has_one_picture(view: str):
    """The right marking and each mistake that shows on the surface, in the order of the codes."""
    for one in _cases():
        assert one.right is not None
        expected = {question_part(one.case.case, None): one.right}
        for name, plan in wrong_plans(one).items():
            if what_changes(one.right.marking, plan.marking) == "surface":
                expected[question_part(one.case.case, name)] = plan
        assert figures.VIEWS[view].parts(one) == tuple(sorted(expected))
        assert dict(candidates(one)) == expected


@pytest.mark.parametrize("view", VIEWS)
def test_a_case_without_a_right_marking_has_no_pictures(view: str):
    """Where nothing can be right there is nothing to ask."""
    with pytest.raises(figures.NoMarkingError):
        figures.VIEWS[view].parts(planned(pits=[(8, 2)]))


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_tells_the_answer(view: str):
    """No text, id or word of a picture judges or names a mistake, but for the caution."""
    names = [mistake.mistake for mistake in MISTAKES]
    told = [*names, *(messages.text(f"mistakes.{name}.title").casefold() for name in names)]
    for one in _cases():
        for part in candidates(one):
            for words in _said(one, view, part):
                said = A_SIDE.sub("", words.casefold()).replace("letter-right", "")
                assert not [name for name in told if name in said], words
                if words in messages.text("figures.caution") or words == one.technique.title:
                    continue
                assert not JUDGING.search(said), words


def test_a_title_that_gives_the_answer_away_stays_out():
    """The title of a case is said nowhere; the patient stands in its place."""
    title = "The only one with its caudal shift forgotten"
    base = planned(openings=[(95, 25, "right", 4)])
    one = plan_case(a_case(title=title, openings=[(95, 25, "right", 4)]), base.technique)
    for view in VIEWS:
        for part in candidates(one):
            said = " ".join(_said(one, view, part))
            assert title not in said
            assert "A man of 30 years" in said


@pytest.mark.parametrize("view", VIEWS)
def test_pictures_of_a_case_differ_in_the_marking_alone(view: str):
    """Page, scale, midline and findings lie in the same place in all pictures of a case."""
    for one in _cases():
        seen = [figure for other, _, _, figure in _all(view) if other is one]
        assert len(seen) > 5
        pages = {tuple(figure.root.get(key) for key in ("viewBox", *_ORIGIN)) for figure in seen}
        assert len(pages) == 1
        found = [name for name in seen[0].paths if re.fullmatch(r"(pit|opening)-\d+", name)]
        for name in ("midline", "verge", "scale-bar", *found):
            first, *rest = (np.vstack(figure.runs(name)) for figure in seen)
            for other_run in rest:
                # A path of the other side is drawn from the other end, or the other way round.
                assert shapely.hausdorff_distance(
                    shapely.LineString(first), shapely.LineString(other_run)
                ) == pytest.approx(0, abs=LEAST), name


_ORIGIN = ("data-scale", "data-origin-x", "data-origin-y")


@pytest.mark.parametrize("view", VIEWS)
def test_the_outline_is_the_marking(view: str):
    """Area, apexes, width and reach read back from the drawing, on the side of the marking."""
    for _, _, plan, figure in _all(view):
        assert figure.root.get("data-side") == plan.marking.side
        outline, ring = plan.outline, figure.plan_path("outline")
        assert shapely.Polygon(ring).area == _near(outline.area_mm2)
        assert tuple(ring[ring[:, 1].argmax()]) == _near(outline.cranial_point)
        assert tuple(ring[ring[:, 1].argmin()]) == _near(outline.caudal_point)
        level = shapely.LineString([(-500, outline.widest_level), (500, outline.widest_level)])
        across = shapely.Polygon(ring).intersection(level)
        assert across.bounds[0] == _near(-outline.reach)
        assert across.length == _near(outline.width)


@pytest.mark.parametrize("view", VIEWS)
def test_findings_are_as_found(view: str):
    """Every pit and opening is hollow and without a cross, whatever the marking does to it."""
    for one, _, plan, figure in _all(view):
        places = [(0.0, pit.at) for pit in plan.pits] + [(o.x, o.at) for o in plan.openings]
        kinds = [("pit", n + 1) for n in range(len(plan.pits))]
        kinds += [("opening", n + 1) for n in range(len(plan.openings))]
        for place, (kind, count) in zip(places, kinds, strict=True):
            points = figure.plan_path(f"{kind}-{count}")
            middle = (points.min(axis=0) + points.max(axis=0)) / 2
            assert tuple(middle) == pytest.approx(place, abs=0.06)
            assert "paper" in (figure.paths[f"{kind}-{count}"].get("fill") or "")
            assert not figure.has(f"{kind}-{count}-cross")
        assert not figure.has("outline-area"), one.case.title


def test_dimensions_measure_what_they_say():
    """The arrowheads of a dimension are as far apart as its text says, and as the plan says."""
    seen = 0
    for _, _, plan, figure in _all("question"):
        outline = plan.outline
        for name, length, way in (
            ("offset", outline.offset, 0),
            ("caudal-apex", outline.caudal_point[0], 0),
            ("width", outline.width, 0),
            ("length", outline.length, 1),
        ):
            if abs(length) < 0.05:
                assert figure.text_of(f"label-{name}").endswith(" 0")
                continue
            assert figure.text_of(f"dimension-{name}-text").endswith(f" {number(length)}")
            tips = [run[0] for run in figure.plan_runs(f"dimension-{name}") if len(run) == 4]
            assert abs(tips[0][way] - tips[1][way]) == _near(abs(length)), name
            seen += 1
        words = "short of midline" if outline.reach < -0.05 else "reach"
        texts = [text.words for text in figure.texts]
        assert f"{words} {number(abs(outline.reach))}" in texts
        assert not figure.has("dimension-verge-clearance")
    assert seen > 400


def test_the_axis_runs_from_apex_to_apex():
    """It is midway between the edges, prolonged cranially, and not called the new midline."""
    for _, _, plan, figure in _all("question"):
        line = figure.plan_path("axis")
        assert tuple(line[0]) == _near(plan.outline.cranial_point)
        assert tuple(line[-1]) == _near(plan.outline.caudal_point)
        assert figure.plan_path("axis-prolonged")[:, 0] == _near(plan.outline.offset)
        assert not [name for name in figure.names if "new" in name]
        assert not [text.words for text in figure.texts if "new midline" in text.words]


def test_words_tell_all_lengths():
    """Whoever does not see the picture is told every length, on the side where it lies."""
    for one in _cases():
        for part, plan in candidates(one).items():
            outline = plan.outline
            told = figures.captions(one, "choice", part).description
            assert told == figures.captions(one, "question", part).description
            assert f"on the patient's {plan.marking.side}, {number(outline.length)} long" in told
            assert f" and {number(outline.width)} wide" in told
            for level in (outline.cranial_apex, outline.caudal_apex, outline.widest_level):
                assert f"at {number(level)}" in told
            for pit in one.case.findings.pits:
                assert (
                    f"Pit in the midline at {number(pit.at)}, {number(pit.diameter)} wide." in told
                )
            for opening in one.case.findings.openings:
                assert f"at {number(opening.at)}, {number(opening.lateral)} to the" in told


def test_words_by_hand():
    """A marking of the usual technique with its shift forgotten, worked out by hand."""
    one = planned(pits=[(70, 2)], openings=[(90, 40, "right", 4), (300, 30, "left", 4)])
    told = figures.captions(one, "question", question_part("crafted", "reach-missing")).description
    assert "20 to the right of the midline, its caudal apex at" in told
    assert "30 to the right of the midline." in told
    assert "The medial edge meets the midline there." in told
    assert "The outline encloses no part of the midline." in told
    assert "It does not extend to the level 300." in told
    other = figures.captions(one, "question", question_part("crafted", "wrong-side")).description
    assert "20 to the left of the midline, its caudal apex at" in other
    centred = figures.captions(one, "question", question_part("crafted", "centred-on-midline"))
    assert ", on the midline, its caudal apex at" in centred.description
    assert "It is widest at" in centred.description


def test_edges_at_an_opening_are_those_of_the_outline():
    """At an opening's level both edges are told as the drawn outline has them there."""
    seen = 0
    for one, part, plan, figure in _all("question"):
        told = figures.captions(one, "question", part).description
        ring = shapely.Polygon(figure.plan_path("outline"))
        for opening in plan.openings:
            level = shapely.LineString([(-500, opening.at), (500, opening.at)])
            pieces = re.findall(
                rf"At the level {number(opening.at)} its edges lie (\S+) \S+ \S+ \S+ of the midline"
                r" and (\S+)",
                told,
            )
            if not pieces:
                continue
            low, high = ring.intersection(level).bounds[0::2]
            assert [float(value) for value in pieces[0]] == pytest.approx(
                [abs(low), abs(high)], abs=0.06
            )
            seen += 1
    assert seen > 40


def test_the_ruler_counts_from_the_midline():
    """Each number of the ruler stands as far from the midline as it says, on both sides."""
    for _, _, _, figure in _all("choice"):
        origin, scale = figure.number("data-origin-x"), figure.scale
        numbers = [text for text in figure.texts if text.gid.startswith("ruler-")]
        assert len(numbers) >= 3
        for text in numbers:
            away = abs(text.box.centroid.x - origin)
            # Figures are not symmetric about the middle of their advance.
            assert away == pytest.approx(float(text.words) * scale, abs=0.6)
        strokes = [run for run in figure.runs("ruler") if abs(run[0][0] - run[1][0]) < LEAST]
        places = np.array([run[0][0] - origin for run in strokes]) / scale
        assert places == pytest.approx(np.round(places, -1), abs=LEAST)
        assert places.sum() == pytest.approx(0, abs=1)
        (bar,) = figure.runs("scale-bar")
        assert np.ptp(bar[:, 0]) / scale == _near(50.0)


def test_small_pictures_are_small_and_still_read():
    """Under 12 kB; the texts of the drawing at least 9 px, lines and symbols 0.5 px, at 160 px."""
    shrunk = SMALL_PX / PAGE_WIDTH
    below = ("case-title", "technique", "caution")
    for one, part, _, figure in _all("choice"):
        svg = figures.render(one, "choice", part=part, figure_id=f"{one.case.case}-{part}").svg
        assert len(svg.encode()) < MOST_BYTES
        texts = [text for text in figure.texts if not text.gid.startswith(below)]
        assert min(text.size for text in texts) * shrunk >= SMALLEST_PX
        widths = [float(path.get("stroke-width", "9")) for path in figure.paths.values()]
        assert min(widths) * shrunk >= 0.5
        for name in figure.paths:
            if re.fullmatch(r"(pit|opening)-\d+", name):
                assert np.ptp(figure.runs(name)[0][:, 0]) * shrunk > 2.3


def test_pictures_of_one_page_have_ids_of_their_own():
    """Four pictures with their own figure ids share no id."""
    one = _cases()[0]
    ids: list[str] = []
    for part in list(candidates(one))[:4]:
        svg = Published(figures.render(one, "choice", part=part, figure_id=f"f-{part}").svg)
        ids += [name for element in svg.root.iter() if (name := element.get("id"))]
        assert not texts_overlap(svg)
        assert svg.root.find(f"{SVG}title") is not None
    assert len(set(ids)) == len(ids)


def test_galleries_leave_questions_out():
    """No view that asks is listed; each can still be asked for by its name."""
    from offmidline.site.views import described, listed

    one = _cases()[0]
    names = [entry["name"] for entry in listed(one)]
    assert names == [name for name in figures.VIEWS if name not in VIEWS]
    for view in VIEWS:
        assert len(described(one, view)["parts"]) == len(candidates(one))
