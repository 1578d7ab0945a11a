"""The sandbox in Chromium: cases built with a mouse, the keyboard and numbers, against Python's fit
of the case file that the page writes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from offmidline import messages
from offmidline.cli import main
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.records import ranges, read_case, read_technique
from offmidline.report import conflict_lines

from .conftest import ROOT, small_project
from .test_axe import RUN, TAGS
from .test_reflow import CUT_OFF, TOO_WIDE
from .watch import Watch, collapsed

pytestmark = [pytest.mark.site, pytest.mark.browser]

SCENARIOS = ROOT / "scenarios"
WORDS = messages.section("site.sandbox.script")
PAGE = "exercises/sandbox.html"
TOLERANCE = 0.02  # mm
RING = 96  # points of each edge of the outline that the board draws
OUTLINE = ".om-board-outline.om-board-own"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small site, with the sandbox as every site has it."""
    return small_project(tmp_path_factory.mktemp("sandbox")).build()


@pytest.fixture
def page(browser: Any, site: Path) -> Iterator[Any]:
    """The sandbox, opened from its folder."""
    page = browser.new_page(viewport={"width": 1280, "height": 1000})
    watch = Watch(page)
    page.goto((site / PAGE).as_uri())
    yield page
    assert watch.problems == []
    page.close()


def say(key: str, /, **values: object) -> str:
    """Words of the page with their values put in."""
    return re.sub(r"\[(\w+)\]", lambda name: str(values[name[1]]), str(WORDS[key]))


def planned(page: Any, folder: Path) -> CasePlan:
    """Python's plan of the case file that the page shows, which `check` has passed."""
    name = str(WORDS["case"])
    file = folder / f"{name}.yml"
    file.write_text(page.get_by_label(WORDS["yaml_label"]).input_value(), "utf-8")
    assert main(["check", str(file), "--scenarios", str(SCENARIOS)]) == 0
    case = read_case(file, SCENARIOS)
    return plan_case(case, read_technique(case.technique, SCENARIOS))


def drawn(page: Any) -> list[tuple[float, float]]:
    """The points of the outline on the board: mm to the patient's right, mm cranial."""
    way = page.locator(OUTLINE).get_attribute("d")
    numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", way)]
    return [(x, -y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def assert_same_marking(page: Any, folder: Path) -> Plan:
    """What is drawn, listed and said is Python's marking of the written case; its plan."""
    plan = planned(page, folder).right
    assert plan is not None
    outline, side = plan.outline, plan.marking.side
    sign = -1 if side == "left" else 1
    expected = [(sign * x, y) for x, y in outline.ring(RING)]
    found = drawn(page)
    assert len(found) == len(expected)
    for one, other in zip(found, expected, strict=True):
        assert one == pytest.approx(other, abs=TOLERANCE)
    taken = page.locator(".om-board-opening").evaluate_all(
        "all => all.flatMap((e, at) => e.classList.contains('om-board-taken') ? [at] : [])"
    )
    assert taken == sorted(plan.marking.excised_openings)
    shown = dict(
        zip(
            page.locator(".om-sandbox-measures dt").all_inner_texts(),
            page.locator(".om-sandbox-measures dd").all_inner_texts(),
            strict=True,
        )
    )
    measures = messages.section("measures")
    for name in ("offset", "length", "width", "reach", "caudal_shift", "scar_length"):
        number = float(shown[measures[name]].removesuffix(" mm"))
        assert number == pytest.approx(getattr(outline, name), abs=0.05 + TOLERANCE)
    assert str(WORDS[side]) in page.locator(".om-sandbox-sentence").inner_text()
    return plan


def place(page: Any, x: float, level: float) -> tuple[float, float]:
    """Where a place of the board (mm to the patient's right, mm cranial) lies on the screen."""
    page.locator(".om-sandbox-board svg").scroll_into_view_if_needed()
    found = page.evaluate(
        """([x, y]) => { const m = document.querySelector('.om-sandbox-board svg').getScreenCTM();
        const p = new DOMPoint(x, -y).matrixTransform(m); return [p.x, p.y] }""",
        [x, level],
    )
    return found[0], found[1]


def click(page: Any, x: float, level: float) -> None:
    """Click on a place of the board."""
    page.mouse.click(*place(page, x, level))


def emptied(page: Any) -> None:
    """Take every finding off, with the buttons of the form."""
    for key in ("remove_opening", "remove_pit"):
        first = str(WORDS[key]).partition("[")[0]
        while (button := page.get_by_role("button", name=re.compile(f"^{first}"))).count():
            button.first.click()
    assert said(page).endswith(str(WORDS["no_pit"]))


def said(page: Any) -> str:
    """What the live region says."""
    return collapsed(page.locator(".om-sandbox-said").inner_text())


def grips(page: Any) -> list[str]:
    """The names of the findings' handles."""
    found: list[str] = page.locator(".om-grip").evaluate_all(
        "all => all.map(e => e.getAttribute('aria-label'))"
    )
    return found


def fill(page: Any, way: str, value: str) -> None:
    """Type a number into a field of the form."""
    page.locator(f"#sandbox-{way}").fill(value)


def test_a_case_is_built_with_the_mouse(page, tmp_path):
    """Clicks add a pit and openings, one is dragged, one goes where the second click says."""
    emptied(page)
    click(page, 3, 60)
    click(page, -2, 76)
    page.get_by_label(WORDS["adds_opening"]).check()
    click(page, 30, 90)
    click(page, 44, 130)
    assert grips(page) == [
        say("pit_grip", name=1, at=60),
        say("pit_grip", name=2, at=76),
        say("opening_grip", name="A", at=90, lateral=30, side="right"),
        say("opening_grip", name="B", at=130, lateral=44, side="right"),
    ]
    page.locator("#sandbox-side").select_option("right")
    start, stop = place(page, 30, 90), place(page, 38, 84)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move((start[0] + stop[0]) / 2, (start[1] + stop[1]) / 2)
    page.mouse.move(*stop)
    page.mouse.up()
    click(page, 0, 76)
    click(page, 20, 70)
    assert grips(page)[1:3] == [
        say("pit_grip", name=2, at=70),
        say("opening_grip", name="A", at=84, lateral=38, side="right"),
    ]
    plan = assert_same_marking(page, tmp_path)
    assert plan.marking.excised_openings == {0}
    assert [pit.at for pit in plan.case.findings.pits] == [60, 70]


def test_a_case_is_built_with_the_keyboard(page, tmp_path):
    """Buttons add, arrows move, Delete removes; an opening crosses the midline."""
    page.get_by_role("button", name=WORDS["add_pit"]).press("Enter")
    focused = "document.activeElement.id"
    assert page.evaluate(focused) == "sandbox-pits-2-at"
    grip = page.locator(".om-grip")
    grip.nth(2).focus()
    page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowLeft")
    grip.nth(0).focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    opening = grip.nth(3)
    opening.focus()
    for _ in range(5):
        page.keyboard.press("Shift+ArrowRight")
    assert grips(page)[3] == say("opening_grip", name="A", at=96, lateral=3, side="right")
    grip.nth(1).focus()
    page.keyboard.press("Delete")
    assert said(page).startswith(say("removed", name=say("pit", name=2)))
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == grips(page)[1]
    plan = assert_same_marking(page, tmp_path)
    assert [pit.at for pit in plan.case.findings.pits] == [60, 88]
    assert plan.case.flap_side == "left"
    page.get_by_role("button", name=WORDS["undo"]).press("Enter")
    assert len(grips(page)) == 4


def test_a_case_is_built_by_numbers(page, tmp_path):
    """Points and commas; the patient too; what is no number stays and is named beside it."""
    fill(page, "pits-0-at", "58,4")
    fill(page, "pits-1-diameter", "2.5")
    fill(page, "openings-0-lateral", "31")
    page.locator("#sandbox-openings-0-side").select_option("right")
    page.locator("#sandbox-side").select_option("right")
    fill(page, "cavity_depth", "17")
    fill(page, "patient-age", "31")
    fill(page, "patient-weight", "71.5")
    page.locator("#sandbox-patient-sex").select_option("female")
    case = assert_same_marking(page, tmp_path).case
    assert (case.findings.pits[0].at, case.findings.pits[1].diameter) == (58.4, 2.5)
    assert (case.patient.age_years, case.patient.weight_kg, case.patient.sex) == (
        *(31, 71.5),
        "female",
    )

    field = page.locator("#sandbox-pits-0-at")
    for wrong in ("abc", "", str(ranges.PIT_AT.high + 1), "0", "-4"):
        field.fill(wrong)
        high = f"{ranges.PIT_AT.high:g}"
        expected = say("not_above", low=f"{ranges.PIT_AT.low:g}", high=high, unit="mm")
        assert page.locator("#sandbox-pits-0-at-fault").inner_text() == expected
        assert field.get_attribute("aria-invalid") == "true"
        assert field.input_value() == wrong
        assert page.locator(OUTLINE).count() == 0
        assert page.get_by_label(WORDS["yaml_label"]).input_value() == ""
    assert said(page) == WORDS["mend"]
    page.locator("#sandbox-fascia_depth").fill("30")
    assert field.input_value() == "-4"
    field.fill("59")
    assert page.locator("[aria-invalid]").count() == 0
    assert_same_marking(page, tmp_path)


@pytest.mark.parametrize(
    ("fields", "key"),
    [
        ({"pits-1-at": "62"}, "same_pit"),
        ({"cavity_depth": "30"}, "deep_cavity"),
    ],
)
def test_findings_that_cannot_be_are_told(page, fields, key):
    """What the reader of case files refuses is refused here, and no file is written."""
    for way, value in fields.items():
        fill(page, way, value)
    assert said(page) == say(key, one=1, other=2)
    assert page.get_by_label(WORDS["yaml_label"]).input_value() == ""


@pytest.mark.parametrize(
    ("fields", "key"),
    [
        ({"pits-0-at": "9"}, "too_low"),
        ({"openings-0-at": "12", "openings-0-lateral": "18"}, "too_far"),
    ],
)
def test_no_marking_is_told_with_its_reasons(page, tmp_path, fields, key):
    """The same conflicts with the same nearest misses as in Python."""
    for way, value in fields.items():
        fill(page, way, value)
    plan = planned(page, tmp_path)
    assert plan.right is None
    assert said(page) == say(key, name=1, at="9 mm")
    listed = page.locator(".om-sandbox-result li").all_inner_texts()
    assert [line.replace("−", "-") for line in listed] == conflict_lines(plan.conflicts)
    assert page.locator(OUTLINE).count() == 0


def test_each_decision_on_an_opening_has_its_reason(page, tmp_path):
    """Inside the first outline, within reach of it, further away."""
    fill(page, "openings-0-at", "70")
    for at, lateral in ((84, 46), (130, 60)):
        page.get_by_role("button", name=WORDS["add_opening"]).click()
        index = page.locator(".om-board-opening").count() - 1
        fill(page, f"openings-{index}-at", str(at))
        fill(page, f"openings-{index}-lateral", str(lateral))
    plan = assert_same_marking(page, tmp_path)
    assert [one.decision for one in plan.openings] == ["excise", "excise", "leave"]
    near = f"{plan.technique.settings.near_opening:g} mm"
    lines = page.locator(".om-sandbox-result li").all_inner_texts()
    assert lines[1] == say("taken_inside", name="A")
    for line, key, name in ((lines[2], "taken_near", "B"), (lines[3], "left_alone", "C")):
        pattern = re.escape(say(key, name=name, gap="GAP", near=near)).replace("GAP", r"[\d.]+ mm")
        assert re.fullmatch(pattern, line)


def test_undo_and_reset(page):
    """Each change is one step back, a drag too; a reset can be taken back."""
    first = grips(page)
    start, stop = place(page, -22, 96), place(page, -40, 110)
    page.mouse.move(*start)
    page.mouse.down()
    for share in (0.3, 0.6, 1.0):
        page.mouse.move(*(a + share * (b - a) for a, b in zip(start, stop, strict=True)))
    page.mouse.up()
    moved = grips(page)
    assert moved != first
    fill(page, "pits-0-at", "50")
    page.get_by_role("button", name=WORDS["reset"]).click()
    assert grips(page) == first
    undo = page.get_by_role("button", name=WORDS["undo"])
    undo.click()
    assert grips(page)[0] == say("pit_grip", name=1, at=50)
    undo.click()
    assert grips(page) == moved
    undo.click()
    assert grips(page) == first
    undo.click()
    assert said(page).startswith(str(WORDS["nothing_to_undo"]))


def test_the_board_grows_with_what_is_on_it(page, tmp_path):
    """A finding far up is typed, then moved on; its handle keeps the focus."""
    fill(page, "pits-1-at", "178")
    page.locator(".om-grip").nth(1).focus()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowUp")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == say(
        "pit_grip", name=2, at=193
    )
    assert_same_marking(page, tmp_path)


def test_the_file_is_copied_or_selected(browser, site, serve: Callable[[Path], str]):
    """Into the clipboard where there is one; else it stands selected."""
    address = serve(site) + PAGE
    for blocked in (False, True):
        context = browser.new_context()
        context.grant_permissions(["clipboard-read", "clipboard-write"])
        page = context.new_page()
        if blocked:
            page.add_init_script(
                "Object.defineProperty(navigator, 'clipboard', {value: undefined})"
            )
        page.goto(address)
        page.get_by_role("button", name=WORDS["copy"]).click()
        text = page.get_by_label(WORDS["yaml_label"]).input_value()
        assert text.count("\n") > 10
        if blocked:
            page.get_by_text(WORDS["by_hand"], exact=True).wait_for()
            assert page.evaluate("getSelection().toString()") == text
        else:
            page.get_by_text(WORDS["copied"], exact=True).wait_for()
            assert page.evaluate("navigator.clipboard.readText()") == text
        context.close()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 320), ("light", 360)])
def test_everyone_can_use_it(browser, site, scheme, width):
    """Nothing for axe to find, nothing cut off: as it opens, with a fault, without a marking."""
    context = browser.new_context(
        color_scheme=scheme, reduced_motion="reduce", viewport={"width": width, "height": 800}
    )
    page = context.new_page()
    page.goto((site / PAGE).as_uri())
    page.add_script_tag(content=files("axe_playwright_python").joinpath("axe.min.js").read_text())
    for way, value in ((None, ""), ("pits-0-at", "-"), ("pits-0-at", "9")):
        if way:
            fill(page, way, value)
        assert page.evaluate(RUN, TAGS) == []
        assert page.evaluate(TOO_WIDE) <= 0
        assert page.evaluate(CUT_OFF) == []
    context.close()
