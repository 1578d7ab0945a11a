"""The grading systems on a page: tables that are whole by themselves, calculators that agree with
the evaluation in Python.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from offmidline import messages
from offmidline.grading import maximum, score, walk, ways
from offmidline.records import Grading, load_library
from offmidline.site.grading_words import grading
from offmidline.site.template import UnknownNameError

from .conftest import ROOT, small_project
from .watch import Watch, collapsed

pytestmark = pytest.mark.site

SHIPPED = ROOT / "scenarios"
LIBRARY = load_library(SHIPPED, ())
GRADINGS = LIBRARY.gradings
TREES = [name for name, system in GRADINGS.items() if system.questions]
SCORES = [name for name, system in GRADINGS.items() if system.parts]
HOSTILE = "</div><script>window.__pwned=1</script> \"A' &amp; {{ offset }}"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site whose first page has every grading system, one of them with hostile texts."""
    project = small_project(tmp_path_factory.mktemp("gradings"))
    shutil.copytree(SHIPPED / "gradings", project.scenarios / "gradings", dirs_exist_ok=True)
    hostile = (SHIPPED / "gradings" / "clavien-dindo.yml").read_text("utf-8")
    quoted = HOSTILE.replace("'", "''")
    hostile = hostile.replace("grading: clavien-dindo", "grading: hostile")
    hostile = hostile.replace("title: Clavien-Dindo", f"title: '{quoted}'")
    hostile = hostile.replace("ask: Did the patient die of it?", f"ask: '{quoted}'")
    (project.scenarios / "gradings" / "hostile.yml").write_text(hostile, "utf-8")
    names = "\n\n".join(f"{{{{ grading:{name} }}}}" for name in [*GRADINGS, "hostile"])
    (project.handbook / "index.md").write_text(f"# Start\n\n{names}\n", "utf-8")
    return project.build()


@pytest.fixture
def page(browser: Any, site: Path) -> Iterator[Any]:
    """The page with the calculators."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    watch = Watch(page)
    page.goto((site / "index.html").as_uri())
    yield page
    assert watch.problems == []
    assert page.evaluate("window.__pwned") is None
    page.close()


def filled(name: str, **values: object) -> str:
    """Words of the script with their values."""
    text = str(messages.section("site.gradings.script")[name])
    for key, value in values.items():
        text = text.replace(f"[{key}]", str(value))
    return text


def result(page: Any, name: str) -> str:
    """What the calculator of a system says."""
    return collapsed(page.locator(f"#grading-{name}").get_by_role("status").inner_text())


def said(system: Grading, chosen: dict[str, list[str]]) -> str:
    """What the calculator must say of some choices."""
    made = score(system, chosen)
    words = filled("band", points=made.points, most=made.maximum, band=made.band.title)
    if made.highest_day is not None:
        other = filled("highest", points=made.highest_day, most=made.highest_possible)
        words = f"{words} {other}"
    return words


def choose(page: Any, system: Grading, chosen: dict[str, list[str]]) -> None:
    """Make the choices of a score in the page."""
    box = page.locator(f"#grading-{system.grading}")
    for part in system.parts:
        at = {choice.choice: n for n, choice in enumerate(part.choices)}
        for day, name in enumerate(chosen[part.part], start=1):
            if part.days > 1:
                label = f"{part.title}, {filled('day', day=day)}"
                box.get_by_label(label, exact=True).select_option(index=at[name] + 1)
            else:
                group = box.get_by_role("group", name=part.title, exact=True)
                group.get_by_role("radio").nth(at[name]).check()


@pytest.mark.browser
@pytest.mark.parametrize("name", TREES)
def test_every_way_through_the_questions_gives_its_grade(page, name):
    """Each complete set of answers leads, in the page, to the grade that Python gives."""
    system = GRADINGS[name]
    box = page.locator(f"#grading-{name}")
    for way in ways(system):
        for question in system.questions:
            if question.question not in way:
                continue
            at = [answer.answer for answer in question.answers].index(way[question.question])
            group = box.get_by_role("group", name=question.ask, exact=True)
            group.get_by_role("radio").nth(at).check()
        grade = walk(system, way)
        assert grade is not None
        assert result(page, name) == filled("grade", grade=grade.title, means=grade.means)
        assert box.get_by_role("group").count() == len(way)


@pytest.mark.browser
def test_another_answer_takes_back_what_followed(page):
    """No question stays that the answers no longer lead to, and no grade of other answers."""
    box = page.locator("#grading-clavien-dindo")
    first = box.get_by_role("group", name="Did the patient die of it?")
    assert result(page, "clavien-dindo") == filled("begin")
    first.get_by_label("Yes").check()
    assert "Grade V" in result(page, "clavien-dindo")
    first.get_by_label("No").check()
    assert result(page, "clavien-dindo") == filled("further")
    assert box.get_by_role("group").count() == 2
    box.get_by_role("button", name="Start again").click()
    assert box.get_by_role("group").count() == 1
    assert box.locator("input:checked").count() == 0
    assert result(page, "clavien-dindo") == filled("begin")


@pytest.mark.browser
@pytest.mark.parametrize("name", SCORES)
def test_scores_of_random_choices_agree(page, name):
    """Points, band and the highest single day are those of Python, also nothing and everything."""
    system, chance = GRADINGS[name], random.Random(name)

    def made(pick):
        return {
            part.part: [pick(part.choices).choice for _ in range(part.days)]
            for part in system.parts
        }

    least, most = (
        made(lambda choices, best=best: best(choices, key=lambda choice: choice.points))
        for best in (min, max)
    )
    for chosen in (least, most, *(made(chance.choice) for _ in range(8))):
        choose(page, system, chosen)
        assert result(page, name) == said(system, chosen)


@pytest.mark.browser
def test_every_edge_of_the_bands_agrees(page):
    """On both sides of every cut-off of the daily score."""
    system = GRADINGS["asepsis"]
    wanted = {0, maximum(system)}
    for band in system.bands:
        wanted |= {band.start, band.start - 1} - {-1}
    for points in sorted(wanted):
        chosen = with_points(system, points)
        choose(page, system, chosen)
        assert score(system, chosen).points == points
        assert result(page, "asepsis") == said(system, chosen)


def with_points(system: Grading, points: int) -> dict[str, list[str]]:
    """Choices whose points add up to a sum, the greatest first."""
    left = points
    chosen: dict[str, list[str]] = {}
    ordered = sorted(system.parts, key=lambda part: -max(one.points for one in part.choices))
    for part in ordered:
        chosen[part.part] = []
        for _ in range(part.days):
            fitting = [one for one in part.choices if one.points <= left]
            best = max(fitting, key=lambda one: one.points)
            left -= best.points
            chosen[part.part].append(best.choice)
    return chosen


@pytest.mark.browser
def test_a_score_is_not_given_before_all_is_answered(page):
    """Until then it says how much is open; the rest can be set to 0 at once."""
    box = page.locator("#grading-asepsis")
    box.get_by_label("Pus, Day 1", exact=True).select_option(index=3)
    fields = sum(part.days for part in GRADINGS["asepsis"].parts)
    assert result(page, "asepsis") == filled("so_far", points=4, most=190, open=fields - 1)
    box.get_by_role("button", name="Give the rest 0 points").click()
    assert result(page, "asepsis").startswith("4 of 190 points: Satisfactory healing.")
    box.get_by_role("button", name="Start again").click()
    assert result(page, "asepsis") == filled("so_far", points=0, most=190, open=fields)


@pytest.mark.browser
def test_the_keyboard_is_enough(page):
    """Tab reaches the first radio button, arrows and Space choose, the focus is seen and stays."""
    page.locator("#grading-clavien-dindo input").first.focus()
    page.keyboard.press("ArrowDown")
    focused = "document.activeElement"
    assert page.evaluate(f"{focused}.checked && {focused}.value") == "1"
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert "Grade IVb" in result(page, "clavien-dindo")
    assert page.evaluate(f"getComputedStyle({focused}).outlineStyle") == "solid"


@pytest.mark.browser
def test_without_scripts_the_tables_say_all(browser, site):
    """Every grade, every part and every band; no form."""
    bare = browser.new_context(java_script_enabled=False).new_page()
    bare.goto((site / "index.html").as_uri())
    assert bare.locator(".om-form").count() == 0
    for name, system in GRADINGS.items():
        text = collapsed(bare.locator(f"#grading-{name}").inner_text())
        titles = [one.title for one in system.grades]
        titles += [one.title for one in system.parts] + [one.title for one in system.bands]
        assert [title for title in titles if title not in text] == []
        assert system.convention in text
    bare.context.close()


@pytest.mark.browser
def test_hostile_texts_are_text(page):
    """In the tables and in the calculator; the fixture sees to it that nothing ran."""
    box = page.locator("#grading-hostile")
    assert box.get_by_role("group", name=HOSTILE).count() == 1
    assert HOSTILE in box.locator(".om-form-title").inner_text()


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 1280])
def test_nothing_is_wider_than_the_window(page, width):
    """Also with every question open."""
    page.set_viewport_size({"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    form = page.locator("#grading-asepsis .om-form")
    assert form.evaluate("e => e.scrollWidth <= e.clientWidth")


def test_an_unknown_system_is_named():
    """The nearest known one is offered."""
    with pytest.raises(UnknownNameError, match="did you mean asepsis"):
        grading(LIBRARY, "asepsi")
