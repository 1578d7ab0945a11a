"""The exercises as a learner meets them: every way of input, the judgement, and what surrounds it.

The verdicts themselves are compared with the engine elsewhere; here Python says what the page has
to show.
"""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from offmidline import messages
from offmidline.exercise import SECTION_RULES, SURFACE_RULES, judge_answer
from offmidline.marking import Marking
from offmidline.mistakes import wrong_plans
from offmidline.plan import CasePlan, plan_case
from offmidline.records import load_library
from offmidline.site.settings import SEES

from .conftest import ROOT, Project
from .test_axe import RUN, TAGS, axe  # noqa: F401 - a fixture
from .watch import Watch, collapsed

pytestmark = [pytest.mark.site, pytest.mark.browser]

LIBRARY = load_library(ROOT / "scenarios", SEES["trainee"])
LEFT, RIGHT = "beekeeper", "bookbinder"  # both can be marked right in whole millimetres
LONG = "ferry-deckhand"  # a title of two lines, pits and an opening
DESK, PHONE = (1280, 900), (360, 740)
SURFACE = ("offset", "cranial_apex", "caudal_apex", "reach", "caudal_shift")
SECTION = (
    *("depth", "medial_cut_deg", "lateral_cut_deg"),
    *("flap_thickness", "undermining", "deep_stitches"),
)
WORDS = messages.section("site.exercise.script")
NEW_MIDLINE, CRANIAL_APEX, MEDIAL_EDGE, CAUDAL_APEX = range(4)
FLOOR, MEDIAL_WALL, LATERAL_WALL, RECESS = range(4)


@cache
def planned(name: str) -> CasePlan:
    """A shipped case with its plan."""
    case = next(case for case in LIBRARY.cases if case.case == name)
    return plan_case(case, LIBRARY.techniques[case.technique])


@cache
def whole(name: str) -> Marking:
    """The right marking moved outwards to whole millimetres, which is right as well."""
    plan = planned(name)
    assert plan.right is not None
    marking = plan.right.marking
    line = marking.outline
    outline = replace(
        line,
        offset=round(line.offset),
        caudal_shift=round(line.caudal_shift),
        half_width=round(line.offset) + math.ceil(line.reach - 1e-6),
        cranial_apex=math.ceil(line.cranial_apex),
        caudal_apex=math.floor(line.caudal_apex),
    )
    made = replace(marking, outline=outline)
    judged = judge_answer(plan, made, SURFACE_RULES)
    assert judged.points == judged.most
    return made


def surface(marking: Marking) -> dict[str, float]:
    """The numbers of a marking as the form asks for them."""
    return {name: float(getattr(marking.outline, name)) for name in SURFACE}


def section(marking: Marking) -> dict[str, float]:
    """The numbers of a section as the form asks for them."""
    return {name: float(getattr(marking, name)) for name in SECTION}


class Exercise:
    """One of the two exercises of a page."""

    def __init__(self, page: Any, task: str) -> None:
        self.page = page
        self.task = task
        self.box = page.locator(f".om-exercise[data-task={task}]")
        self.grips = self.box.locator(".om-grip")
        self.result = self.box.locator(".om-exercise-result")
        self.hint = self.box.locator(".om-exercise-hint")

    def press(self, name: str) -> None:
        """Press a button of the form or of the judgement."""
        self.box.get_by_role("button", name=WORDS[name], exact=True).click()

    def field(self, name: str) -> Any:
        """The field of a number."""
        return self.box.locator(f"#{self.task}-{name}")

    def type(self, numbers: dict[str, float], comma: bool = False) -> None:
        """Type numbers into their fields."""
        for name, value in numbers.items():
            text = repr(value).replace(".", ",") if comma else repr(value)
            self.field(name).fill(text)
            self.field(name).blur()

    def numbers(self) -> dict[str, float]:
        """What the fields show."""
        names = SURFACE if self.task == "marking" else SECTION
        return {name: float(self.field(name).input_value().replace("−", "-")) for name in names}

    def choose(self, marking: Marking) -> None:
        """Choose side and openings by their labels."""
        self.box.get_by_label(WORDS[f"side_{marking.side}"], exact=True).check()
        boxes = self.box.locator("input[type=checkbox]")
        for index in range(boxes.count()):
            boxes.nth(index).set_checked(index in marking.excised_openings)

    def score(self) -> str:
        """The judgement's first line."""
        return collapsed(self.result.locator(".om-exercise-score b").inner_text())

    def verdicts(self) -> dict[str, str]:
        """The word of each rule's verdict."""
        rows = self.result.locator("tbody tr")
        found = rows.evaluate_all(
            "all => all.map(row => [row.dataset.rule, row.querySelector('td span').textContent])"
        )
        return {str(rule): str(word) for rule, word in found}

    def screen(self, to: tuple[float, float]) -> tuple[float, float]:
        """Where a place of the drawing, [mm to the right, mm up], is on the screen."""
        x, y = self.box.locator("svg.om-scene").evaluate(
            """(svg, [x, y]) => {
              const at = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM());
              return [at.x, at.y];
            }""",
            list(to),
        )
        return x, y

    def middle(self, grip: int) -> tuple[float, float]:
        """Where a handle is on the screen."""
        box = self.grips.nth(grip).locator("circle").first.bounding_box()
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def in_sight(self) -> None:
        """Scroll until the whole drawing can be touched."""
        self.box.locator("svg.om-scene").evaluate("e => e.scrollIntoView({block: 'center'})")


def full(name: str, rules: frozenset[str], marking: Marking) -> str:
    """What the page says of a marking that meets everything."""
    most = judge_answer(planned(name), marking, rules).most
    return (
        str(WORDS["result"]["all"]).replace("[points]", f"{most:g}").replace("[most]", f"{most:g}")
    )


@pytest.fixture
def opened(browser: Any, shipped_site: Path) -> Iterator[Callable[..., Any]]:
    """Opens the exercises of a case; nothing may go wrong on the page."""
    contexts, watches = [], []

    def start(name: str, size: tuple[int, int] = DESK, top: str = "", **how: Any) -> Any:
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, reduced_motion="reduce", **how
        )
        page = context.new_page()
        contexts.append(context)
        watches.append(Watch(page))
        page.goto(f"{top or shipped_site.as_uri() + '/'}exercises/{name}.html")
        page.wait_for_selector(".om-grip")
        return page

    yield start
    assert [problem for watch in watches for problem in watch.problems] == []
    for context in contexts:
        context.close()


def places(marking: Marking, grid_top: float) -> list[tuple[int, tuple[float, float]]]:
    """Where the handles of the surface have to go, in an order in which each stays reachable."""
    way = -1 if marking.side == "left" else 1
    line = marking.outline
    return [
        (CRANIAL_APEX, (0.0, line.cranial_apex)),
        (CAUDAL_APEX, (0.0, line.caudal_apex)),
        (NEW_MIDLINE, (way * line.offset, grid_top)),
        (MEDIAL_EDGE, (-way * line.reach, line.widest_level)),
        (CAUDAL_APEX, (way * (line.offset + line.caudal_shift), line.caudal_apex)),
    ]


def top_of(exercise: Exercise) -> float:
    """The level at which the new midline is held, mm."""
    return float(exercise.grips.nth(NEW_MIDLINE).get_attribute("data-at").split()[1])


@pytest.mark.parametrize("name", [LEFT, RIGHT])
def test_dragging_marks_a_case(opened: Callable[..., Any], name: str) -> None:
    """With the mouse every handle comes to its place; the new midline takes the side along."""
    page, right = opened(name), whole(name)
    exercise = Exercise(page, "marking")
    exercise.in_sight()
    for grip, to in places(right, top_of(exercise)):
        page.mouse.move(*exercise.middle(grip))
        page.mouse.down()
        page.mouse.move(*exercise.screen(to), steps=4)
        page.mouse.up()
    assert exercise.numbers() == surface(right)
    assert exercise.box.get_by_label(WORDS[f"side_{right.side}"], exact=True).is_checked()
    for index in right.excised_openings:
        exercise.box.locator("input[type=checkbox]").nth(index).click()
    exercise.press("judge")
    assert exercise.score() == full(name, SURFACE_RULES, right)


def test_two_taps_mark_a_case_on_a_phone(opened: Callable[..., Any]) -> None:
    """A tap on a handle and a tap on its aim do what dragging does (WCAG 2.2, 2.5.7)."""
    page, right = opened(LEFT, PHONE, has_touch=True, is_mobile=True), whole(LEFT)
    exercise = Exercise(page, "marking")
    exercise.in_sight()
    for grip, to in places(right, top_of(exercise)):
        page.touchscreen.tap(*exercise.middle(grip))
        assert exercise.grips.nth(grip).get_attribute("aria-pressed") == "true"
        page.touchscreen.tap(*exercise.screen(to))
        assert exercise.grips.nth(grip).get_attribute("aria-pressed") == "false"
    for name, value in surface(right).items():
        # A finger meets a millimetre, or its neighbour; the arrows of the number do the rest.
        assert abs(exercise.numbers()[name] - value) <= 1
    exercise.type(surface(right))
    exercise.choose(right)
    exercise.press("judge")
    assert exercise.score() == full(LEFT, SURFACE_RULES, right)


def test_a_finger_drags_and_the_page_stays(opened: Callable[..., Any]) -> None:
    """A touch that moves on a handle moves it, and does not scroll the page."""
    page = opened(LEFT, PHONE, has_touch=True, is_mobile=True)
    exercise = Exercise(page, "marking")
    exercise.in_sight()
    before, scrolled = exercise.numbers(), page.evaluate("scrollY")
    x, y = exercise.middle(CRANIAL_APEX)
    session = page.context.new_cdp_session(page)

    def touch(kind: str, down: float = 0.0) -> None:
        points = [] if kind == "touchEnd" else [{"x": x, "y": y - down}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart")
    for down in (15.0, 30.0, 45.0):
        touch("touchMove", down)
    touch("touchEnd")
    assert exercise.numbers()["cranial_apex"] > before["cranial_apex"] + 10
    assert page.evaluate("scrollY") == scrolled


def test_the_keyboard_alone_marks_a_case(opened: Callable[..., Any]) -> None:
    """Tab, arrows, Shift with arrows, Space and Enter are enough; each move is named."""
    page, right = opened(RIGHT), whole(RIGHT)
    exercise = Exercise(page, "marking")
    keys = page.keyboard
    wanted, now = surface(right), exercise.numbers()

    def walk(key: str, back: str, by: float) -> None:
        steps = round(abs(by))
        for _ in range(steps // 5):
            keys.press(f"Shift+{key if by > 0 else back}")
        for _ in range(steps % 5):
            keys.press(key if by > 0 else back)

    exercise.grips.nth(NEW_MIDLINE).focus()
    ring = "getComputedStyle(document.activeElement.querySelector('.om-grip-target')).strokeWidth"
    walk("ArrowRight", "ArrowLeft", wanted["offset"])
    keys.press("Tab")
    walk("ArrowUp", "ArrowDown", wanted["cranial_apex"] - now["cranial_apex"])
    keys.press("Tab")
    walk("ArrowLeft", "ArrowRight", wanted["reach"] - exercise.numbers()["reach"])
    keys.press("Tab")
    walk("ArrowUp", "ArrowDown", wanted["caudal_apex"] - now["caudal_apex"])
    walk("ArrowRight", "ArrowLeft", wanted["caudal_shift"])
    assert exercise.numbers() == wanted
    assert page.evaluate(ring) == "3px"  # where the keyboard is, is seen
    line = right.outline
    told = WORDS["grips"]["caudal_apex"].replace("[level]", f"{line.caudal_apex:g}")
    told = told.replace("[lateral]", f"{line.offset + line.caudal_shift:g}")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == told
    assert collapsed(exercise.box.locator(".om-exercise-said").inner_text()) == told
    keys.press("Tab")  # how to work here
    keys.press("Tab")
    assert page.evaluate("document.activeElement.type") == "radio"
    for index in range(len(planned(RIGHT).case.findings.openings)):
        keys.press("Tab")
        if index in right.excised_openings:
            keys.press("Space")
    keys.press("Tab")
    keys.press("Enter")
    assert exercise.score() == full(RIGHT, SURFACE_RULES, right)
    assert page.evaluate("document.activeElement.tagName") == "H3"


@pytest.mark.parametrize("served", [False, True], ids=["folder", "server"])
def test_typed_numbers_mark_a_case(
    opened: Callable[..., Any],
    shipped_site: Path,
    serve: Callable[[Path], str],
    served: bool,
) -> None:
    """The right marking itself, typed with a decimal comma or a point, meets every rule."""
    page = opened(LEFT, top=serve(shipped_site) if served else "")
    right = planned(LEFT).right
    assert right is not None
    exercise = Exercise(page, "marking")
    exercise.choose(right.marking)
    exercise.type(surface(right.marking), comma=served)
    exercise.press("judge")
    assert exercise.score() == full(LEFT, SURFACE_RULES, right.marking)
    cut = Exercise(page, "section")
    cut.type(section(right.marking), comma=served)
    cut.press("judge")
    assert cut.score() == full(LEFT, SECTION_RULES, right.marking)


def test_dragging_and_keys_cut_the_section(opened: Callable[..., Any]) -> None:
    """The walls, the floor and the recess come to their places by mouse, the rest by keys."""
    page, right = opened(RIGHT), planned(RIGHT).right
    assert right is not None
    cut, wanted = Exercise(page, "section"), section(right.marking)
    cut.in_sight()
    medial, lateral = -right.outline.reach, right.outline.offset + right.outline.half_width
    aims = [
        (FLOOR, (0.0, -wanted["depth"])),
        (MEDIAL_WALL, (medial, -wanted["depth"])),
        (LATERAL_WALL, (lateral - wanted["depth"], -wanted["depth"])),
        (RECESS, (medial - wanted["undermining"], -wanted["flap_thickness"])),
    ]
    for grip, to in aims:
        page.mouse.move(*cut.middle(grip))
        page.mouse.down()
        page.mouse.move(*cut.screen(to), steps=4)
        page.mouse.up()
    cut.grips.nth(RECESS).focus()
    page.keyboard.press("Shift+ArrowLeft")  # further is not wrong
    cut.type({"deep_stitches": wanted["deep_stitches"]})
    found = cut.numbers()
    assert found["undermining"] == wanted["undermining"] + 5
    for name in ("depth", "medial_cut_deg", "lateral_cut_deg", "flap_thickness"):
        assert abs(found[name] - wanted[name]) <= 2, name
    cut.press("judge")
    assert cut.score() == full(RIGHT, SECTION_RULES, right.marking)


def test_known_mistakes_are_named(opened: Callable[..., Any]) -> None:
    """Every wrong marking that is typed gets the verdicts, the points and the name that the engine
    gives it.
    """
    page, plan = opened(LEFT), planned(LEFT)
    titles = {name: words["title"] for name, words in messages.section("mistakes").items()}
    tasks = (
        (Exercise(page, "marking"), SURFACE_RULES, surface),
        (Exercise(page, "section"), SECTION_RULES, section),
    )
    named = set()
    for name, wrong in wrong_plans(plan).items():
        for exercise, rules, numbers in tasks:
            judged = judge_answer(plan, wrong.marking, rules)
            if judged.points == judged.most:
                continue
            if exercise.task == "marking":
                exercise.choose(wrong.marking)
            exercise.type(numbers(wrong.marking))
            exercise.press("judge")
            expected = {v.rule: messages.section("verdicts")[v.verdict] for v in judged.verdicts}
            assert exercise.verdicts() == expected, name
            assert f"{judged.points:g} of {judged.most:g} points" in exercise.score()
            told = exercise.result.locator(".om-exercise-mistake-title").all_inner_texts()
            known = [titles[judged.mistake]] if judged.mistake else []
            assert told == [WORDS["result"]["mistake"].replace("[title]", one) for one in known]
            named.add(judged.mistake)
    assert {"wrong-side", "centred-on-midline", "too-short", "flap-too-thin"} <= named


def test_ticks_are_judged_and_told(opened: Callable[..., Any]) -> None:
    """A right line with the wrong opening ticked is not right, and the table says which."""
    page, right = opened(LEFT), whole(LEFT)
    assert right.excised_openings == {0}
    exercise = Exercise(page, "marking")
    exercise.choose(replace(right, excised_openings=frozenset({1})))
    exercise.type(surface(right))
    exercise.press("judge")
    broken = {rule for rule, word in exercise.verdicts().items() if word == "not met"}
    assert broken == {"near-openings-excised", "distant-openings-left"}
    remarks = exercise.result.locator("td .om-reason").all_inner_texts()
    assert {"not ticked: A", "ticked: B"} <= set(remarks)


def test_nothing_is_judged_before_it_is_asked(opened: Callable[..., Any]) -> None:
    """The start is no answer, shows no right marking, and without a side there is no judgement."""
    page = opened(LEFT)
    exercise = Exercise(page, "marking")
    drawn = exercise.box.locator(".om-scene .om-board-right")
    assert not exercise.result.is_visible()
    assert drawn.count() == 0
    exercise.press("judge")
    assert not exercise.result.is_visible()
    assert exercise.hint.inner_text() == WORDS["choose_side"]
    assert page.evaluate("document.activeElement.type") == "radio"
    exercise.box.get_by_label("Right", exact=True).check()
    exercise.press("judge")
    assert {"side", "offset", "length-to-width"} & {
        rule for rule, word in exercise.verdicts().items() if word == "not met"
    } == {"side", "offset"}
    assert drawn.count() > 0
    exercise.type({"offset": 20.0})  # a judgement is of what was judged
    assert not exercise.result.is_visible()
    assert drawn.count() == 0


def test_undo_start_again_and_try_again(opened: Callable[..., Any]) -> None:
    """Each change is taken back by itself; the start comes back, and can be taken back too."""
    page = opened(LEFT)
    exercise = Exercise(page, "marking")
    start = exercise.numbers()
    exercise.press("undo")
    said = exercise.box.locator(".om-exercise-said")
    assert said.inner_text() == WORDS["nothing_to_undo"]
    exercise.grips.nth(CRANIAL_APEX).focus()
    page.keyboard.press("Shift+ArrowUp")
    exercise.type({"caudal_shift": 7.0})
    exercise.box.get_by_label("Left", exact=True).check()
    changed = exercise.numbers()
    assert changed == {**start, "cranial_apex": start["cranial_apex"] + 5, "caudal_shift": 7.0}
    exercise.press("undo")
    assert not exercise.box.get_by_label("Left", exact=True).is_checked()
    exercise.press("undo")
    assert exercise.numbers() == {**changed, "caudal_shift": 0.0}
    exercise.press("undo")
    assert exercise.numbers() == start
    exercise.type({"reach": 9.0})
    exercise.press("reset")
    assert exercise.numbers() == start
    exercise.press("undo")
    assert exercise.numbers() == {**start, "reach": 9.0}
    exercise.box.get_by_label("Left", exact=True).check()
    exercise.press("judge")
    exercise.press("again")
    assert not exercise.result.is_visible()
    assert exercise.numbers() == {**start, "reach": 9.0}


def test_hints_lead_step_by_step(opened: Callable[..., Any]) -> None:
    """First where to look, then why, then what is asked, then the right marking; and they count."""
    page = opened(LEFT)
    exercise, rules = Exercise(page, "marking"), messages.section("rules")
    drawn = exercise.box.locator(".om-scene .om-board-right")
    exercise.choose(whole(LEFT))
    exercise.press("hint")
    assert WORDS["look"]["offset"] in exercise.hint.inner_text()
    exercise.press("hint")
    assert rules["offset"]["why"] in exercise.hint.inner_text()
    exercise.press("hint")
    offset = planned(LEFT).technique.settings.offset
    assert f"{offset:g} mm" in exercise.hint.inner_text()
    assert drawn.count() == 0
    exercise.press("hint")
    assert drawn.count() > 0
    # What was asked for stays in sight.
    exercise.type({**surface(whole(LEFT)), "caudal_shift": 0.0})
    assert drawn.count() > 0
    exercise.press("hint")
    assert exercise.hint.inner_text().startswith("Hint 1")
    exercise.type(surface(whole(LEFT)))
    exercise.press("hint")
    assert exercise.hint.inner_text() == WORDS["hints"]["none"]
    exercise.press("judge")
    helped = WORDS["result"]["helped"].replace("[count]", "5")
    assert helped in collapsed(exercise.result.locator(".om-exercise-score").inner_text())


@pytest.mark.parametrize("wrong", ["", "twenty", "1,2,3", "61", "-1", "1e1"])
def test_what_is_no_number_is_told_and_not_judged(opened: Callable[..., Any], wrong: str) -> None:
    """The fault stands in words at its field, the drawing keeps the last number, and the judge
    leads to the field.
    """
    page = opened(LEFT)
    exercise = Exercise(page, "marking")
    exercise.choose(whole(LEFT))
    exercise.type(surface(whole(LEFT)))
    field = exercise.field("offset")
    field.fill(wrong)
    field.blur()
    assert field.get_attribute("aria-invalid") == "true"
    fault = page.locator(f"#{field.get_attribute('aria-describedby').split()[-1]}")
    assert "from 0 to 60 mm" in fault.inner_text()
    exercise.press("judge")
    assert not exercise.result.is_visible()
    assert page.evaluate("document.activeElement.id") == "marking-offset"
    field.fill("20 ")
    field.blur()
    assert field.get_attribute("aria-invalid") is None
    assert fault.inner_text() == ""
    exercise.press("judge")
    assert exercise.result.is_visible()


def test_an_outline_that_cannot_be_is_told(opened: Callable[..., Any]) -> None:
    """Wider than long: said in words, not judged, and mended by another number."""
    page = opened(LEFT)
    exercise = Exercise(page, "marking")
    exercise.choose(whole(LEFT))
    exercise.type({**surface(whole(LEFT)), "cranial_apex": 50.0})
    assert exercise.box.get_by_text(WORDS["no_outline"]).is_visible()
    exercise.press("judge")
    assert not exercise.result.is_visible()
    exercise.type(surface(whole(LEFT)))
    assert not exercise.box.get_by_text(WORDS["no_outline"]).is_visible()


def test_the_result_is_printed_alone(opened: Callable[..., Any], tmp_path: Path) -> None:
    """Board, verdicts, date, version and caution are on the sheet; the form and the other exercise
    are not.
    """
    from pypdf import PdfReader

    page, right = opened(LEFT), whole(LEFT)
    exercise = Exercise(page, "marking")
    exercise.choose(right)
    exercise.type(surface(right))
    exercise.press("judge")
    page.evaluate("window.print = () => { window.printed = true; }")
    exercise.press("print")
    assert page.evaluate("window.printed")
    page.pdf(path=str(tmp_path / "page.pdf"), prefer_css_page_size=True)
    sheets = PdfReader(tmp_path / "page.pdf").pages
    text = collapsed(" ".join(sheet.extract_text() for sheet in sheets))
    day = page.evaluate("new Date().toLocaleDateString('en-CA')")
    title = messages.section("rules")["pits-covered"]["title"]
    for words in (exercise.score(), title, f"Judged on {day}", "Version", "Not for planning"):
        assert words in text, words
    for words in (WORDS["judge"] + " ", WORDS["result"]["section"], "What is judged"):
        assert words not in text.replace("Judged", ""), words
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator(".om-printed").count() == 0


@pytest.mark.parametrize(
    ("task", "mistake"), [("marking", "oblique-misread"), ("section", "too-few-deep-stitches")]
)
def test_a_result_takes_two_sheets_at_most(
    opened: Callable[..., Any], tmp_path: Path, task: str, mistake: str
) -> None:
    """With a named mistake, its feedback and the help that was taken, where it is longest."""
    from pypdf import PdfReader

    page = opened(LONG)
    exercise = Exercise(page, task)
    wrong = wrong_plans(planned(LONG))[mistake].marking
    if task == "marking":
        exercise.choose(wrong)
    exercise.type(surface(wrong) if task == "marking" else section(wrong))
    exercise.press("hint")
    exercise.press("judge")
    assert exercise.box.locator(".om-exercise-mistake").is_visible()
    page.evaluate("window.print = () => {}")
    exercise.press("print")
    page.pdf(path=str(tmp_path / "page.pdf"), prefer_css_page_size=True)
    assert len(PdfReader(tmp_path / "page.pdf").pages) <= 2


def test_names_of_handles_stay_in_sight_when_the_drawing_shrinks(
    opened: Callable[..., Any],
) -> None:
    """A window made narrower places them anew, without a move of the handle."""
    page = opened(LEFT)
    exercise = Exercise(page, "marking")
    exercise.box.get_by_label(WORDS["side_left"], exact=True).check()
    exercise.type({"offset": 48.0})
    page.set_viewport_size({"width": 340, "height": 740})
    page.wait_for_timeout(200)
    outside = exercise.box.locator(".om-grip-name").evaluate_all(
        """all => all.filter(name => {
          const own = name.getBoundingClientRect();
          const whole = name.closest('svg').getBoundingClientRect();
          return own.width && (own.left < whole.left || own.right > whole.right);
        }).map(name => name.textContent)"""
    )
    assert outside == []


def test_without_scripts_the_page_says_so(browser: Any, shipped_site: Path) -> None:
    """The findings are there as a figure, with the way to the case."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((shipped_site / "exercises" / f"{LEFT}.html").as_uri())
    assert page.get_by_text("needs scripts").is_visible()
    assert page.locator("article figure svg").is_visible()
    page.get_by_role("link", name="on its own page").click()
    assert page.url.endswith(f"cases/{LEFT}.html")
    page.get_by_role("link", name="Mark this case").click()
    assert page.url.endswith(f"exercises/{LEFT}.html")
    context.close()


@pytest.mark.parametrize(
    ("size", "scheme"),
    [(DESK, "light"), (PHONE, "dark"), ((320, 640), "light")],
    ids=["desk", "phone", "narrow"],
)
def test_a_judged_exercise_is_accessible(
    opened: Callable[..., Any],
    axe: str,  # noqa: F811 - the fixture
    size: tuple[int, int],
    scheme: str,
) -> None:
    """With faults, hints and judgements on the page: no violation, nothing wider than the window,
    every handle large enough and named.
    """
    page = opened(LEFT, size, color_scheme=scheme)
    for task in ("marking", "section"):
        exercise = Exercise(page, task)
        if task == "marking":
            exercise.choose(whole(LEFT))
        exercise.press("hint")
        exercise.press("judge")
    cut = Exercise(page, "section")
    cut.field("undermining").fill("much")
    cut.field("undermining").blur()
    page.evaluate("scrollTo(0, 0)")  # the head of the page lies over nothing
    page.evaluate(axe)
    # The parts of these drawings are worked with, and so are checked one by one.
    assert page.evaluate(RUN.replace("svg > *", "figure"), TAGS) == []
    assert page.evaluate("document.scrollingElement.scrollWidth - innerWidth") <= 0
    grips = page.locator(".om-grip")
    for index in range(grips.count()):
        box = grips.nth(index).locator("circle").first.bounding_box()
        assert min(box["width"], box["height"]) >= 24
        assert grips.nth(index).get_attribute("aria-label")


@pytest.mark.parametrize("name", [LEFT, RIGHT])
def test_names_of_handles_stay_on_the_drawing(opened: Callable[..., Any], name: str) -> None:
    """On a phone, wherever a handle is, its name is read whole."""
    page = opened(name, (320, 640))
    for task in ("marking", "section"):
        exercise = Exercise(page, task)
        drawing = exercise.box.locator("svg.om-scene").bounding_box()
        for index in range(exercise.grips.count()):
            exercise.grips.nth(index).focus()
            text = exercise.grips.nth(index).locator("text")
            for line in (0, 1):
                assert text.nth(line).is_visible()
                box = text.nth(line).bounding_box()
                assert box["x"] >= drawing["x"] - 1
                assert box["x"] + box["width"] <= drawing["x"] + drawing["width"] + 1


def test_a_still_picture_is_one_image(opened: Callable[..., Any]) -> None:
    """The board's picture for feedback has a name and a description of its own, and no handles."""
    page = opened(LEFT)
    told = page.evaluate(
        """() => {
          const exercise = Offmidline.dom.data("om-exercise");
          const words = { title: "A", description: "B" };
          return [1, 2].map(() => {
            const made = Offmidline.board.picture(exercise, exercise.right, words);
            document.querySelector("article").append(made);
            return [made.getAttribute("role"), made.querySelectorAll(".om-grip").length,
              made.getAttribute("aria-labelledby").split(" ").map(id =>
                document.getElementById(id).textContent).join(" "),
              made.querySelectorAll(".om-board-outline").length, made.querySelector("title").id];
          });
        }"""
    )
    assert [one[:4] for one in told] == [["img", 0, "A B", 1]] * 2
    assert told[0][4] != told[1][4]


def test_pages_from_the_cache_take_no_engine(small: Project) -> None:
    """Built again without a change, the exercises need neither plan nor geometry."""
    script = (
        "import sys; from pathlib import Path; from offmidline.site.settings import Settings;"
        "from offmidline.site.tree import build_tree;"
        "tree = build_tree(Settings(*map(Path, sys.argv[1:]))); tree.drawings.finish();"
        "assert any(page.path == 'exercises/plain.md' for page in tree.pages);"
        "print([name for name in sys.modules if name in ('numpy', 'offmidline.plan')])"
    )
    folders = [str(folder) for folder in (small.scenarios, small.handbook, small.cache)]
    command = [sys.executable, "-c", script, *folders]
    first, again = (
        subprocess.run(command, capture_output=True, text=True, check=True).stdout for _ in "12"
    )
    assert "offmidline.plan" in first
    assert again == "[]\n"


def test_what_can_be_marked_has_a_page(shipped_site: Path) -> None:
    """The list names every case that the audience sees and that has a right marking, no other."""
    can = {case.case for case in LIBRARY.cases if planned(case.case).right is not None}
    made = {path.stem for path in (shipped_site / "exercises").glob("*.html")}
    assert made - {"index", "sandbox"} == can
    listed = (shipped_site / "exercises" / "index.html").read_text("utf-8")
    assert all(f'href="{name}.html"' in listed for name in can)
