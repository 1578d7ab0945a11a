"""The self-test: whole without a script, judged in Chromium as in Python, kept on the device."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from importlib.resources import files
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from offmidline import messages
from offmidline.items import Item, items_of_case
from offmidline.items.score import UnreadableNumberError, score
from offmidline.plan import plan_case
from offmidline.records import Case, load_library
from offmidline.site import item_draft, selftest
from offmidline.site.item_draft import draft_item
from offmidline.site.settings import Settings
from offmidline.site.tree import build_tree

from .conftest import PLAIN_CASE, ROOT, Project
from .test_axe import RUN, TAGS
from .watch import Watch

pytestmark = pytest.mark.site

WORDS = messages.section("site.self_test.script")
ASSETS = ROOT / "handbook" / "assets"
JUDGEMENT = ("dom.js", "number.js", "selftest/answers.js")
KINDS = ("choice", "numeric", "order", "drawing", "fault")
DAY = dt.datetime(2026, 3, 2, 9, 30)  # noqa: DTZ001 - by the clock of the reader's device


@dataclass(frozen=True)
class Place:
    """A question on a page of the built site."""

    page: str
    marks: dict[str, Any]

    @property
    def anchor(self) -> str:
        """Its id on the page."""
        return f"question-{self.marks['name']}"


def places(site: Path) -> list[Place]:
    """Every question of every page."""
    found = []
    for path in sorted((site / "selftest").glob("*.html")):
        text = path.read_text("utf-8")
        data = re.search(r'class="om-self-test-items">(.*?)</script>', text, re.DOTALL)
        assert data, path
        found += [Place(path.name, marks) for marks in json.loads(data[1])]
    return found


def of_kind(site: Path, kind: str) -> Place:
    """A question of a kind."""
    return next(one for one in places(site) if one.marks["kind"] == kind)


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page on which nothing goes wrong, in a browser that has kept nothing."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion="reduce")
    page = context.new_page()
    watch = Watch(page)
    yield page
    assert watch.problems == []
    context.close()


def opened(page: Any, site: Path, place: Place) -> Any:
    """The question, shown alone."""
    page.goto(f"{(site / 'selftest' / place.page).as_uri()}#{place.anchor}")
    return page.locator(f"#{place.anchor}")


def check(question: Any) -> str:
    """Press Check; what is said then."""
    question.get_by_role("button", name=WORDS["check"], exact=True).click()
    return str(question.locator(".om-item-said").inner_text())


def choose(question: Any, at: int) -> None:
    """Choose an option."""
    question.get_by_role("radio").nth(at).check()


def arrange(question: Any, shown: list[int]) -> None:
    """Bring entries into their right order with the buttons."""
    order = list(shown)
    for place in range(len(order)):
        for at in range(order.index(place), place, -1):
            question.locator(".om-item-order > li").nth(at).get_by_role("button").first.click()
            order[at - 1], order[at] = order[at], order[at - 1]


def answer_right(question: Any, marks: dict[str, Any]) -> None:
    """Give the right answer."""
    if marks["kind"] == "numeric":
        question.get_by_role("textbox").fill(str(marks["value"]))
    elif marks["kind"] == "order":
        arrange(question, marks["shown"])
    else:
        choose(question, marks["key"])


def answer_wrong(question: Any, marks: dict[str, Any]) -> None:
    """Give a wrong answer; an order is wrong as it is shown."""
    if marks["kind"] == "numeric":
        question.get_by_role("textbox").fill(str(marks["slips"][0]))
    elif marks["kind"] != "order":
        choose(question, 0 if marks["key"] else 1)


@pytest.mark.browser
@pytest.mark.parametrize("kind", KINDS)
def test_a_right_answer_is_told_with_its_reason(page, shipped_site, kind):
    """Right is said in words, with the explanation; the score counts it."""
    place = of_kind(shipped_site, kind)
    question = opened(page, shipped_site, place)
    assert question.locator(".om-item-said").inner_text() == ""
    answer_right(question, place.marks)
    said = check(question)
    assert said.lstrip("✓ ").startswith(WORDS["is_right"])
    assert question.locator(".om-item-said .om-item-because").inner_text()
    assert question.locator(".om-item-said .om-item-rule").inner_text()
    assert "Answered: 1, right: 1." in page.locator(".om-item-position").inner_text()


@pytest.mark.browser
@pytest.mark.parametrize("kind", KINDS)
def test_a_wrong_answer_is_named_and_put_beside_the_right_one(page, shipped_site, kind):
    """The mistake's own words, then both answers; drawings as drawings."""
    place = of_kind(shipped_site, kind)
    question = opened(page, shipped_site, place)
    answer_wrong(question, place.marks)
    said = check(question)
    assert said.lstrip("✗ ").startswith(WORDS["is_wrong"])
    assert question.locator(".om-item-said .om-item-mistake").inner_text()
    yours, right = question.locator(".om-item-compare > div").all()
    assert WORDS["your_answer"] in yours.inner_text()
    assert yours.inner_text().split("\n", 1)[1] != right.inner_text().split("\n", 1)[1]
    if kind == "drawing":
        assert yours.locator("svg").count() == right.locator("svg").count() == 1
        assert page.evaluate(
            "() => { const all = [...document.querySelectorAll('[id]')].map(e => e.id);"
            " return all.length === new Set(all).size }"
        )
    if kind == "order":
        assert WORDS["misplaced"] in yours.inner_text()
        assert WORDS["misplaced"] not in right.inner_text()
        assert WORDS["misplaced_first"] in said
    assert "Answered: 1, right: 0." in page.locator(".om-item-position").inner_text()


@pytest.mark.browser
def test_nothing_is_graded_on_change_and_the_first_answer_stays(page, shipped_site):
    """Choosing says nothing; Check without a choice says what is missing; no second answer."""
    place = of_kind(shipped_site, "choice")
    question = opened(page, shipped_site, place)
    assert check(question) == ""
    assert question.locator(".om-form-fault").inner_text() == WORDS["no_choice"]
    answer_wrong(question, place.marks)
    answer_right(question, place.marks)
    assert question.locator(".om-item-said").inner_text() == ""
    check(question)
    assert question.locator(".om-form-fault").inner_text() == ""
    assert question.get_by_role("radio").first.is_disabled()
    assert not question.locator(".om-answer").is_visible()


@pytest.mark.browser
def test_a_number_is_taken_as_people_write_it(page, shipped_site):
    """A comma for decimals, spaces around; a separator of thousands is a fault in words, tied to
    the field; every slip's own number is recognised as that slip.
    """
    place = of_kind(shipped_site, "numeric")
    question = opened(page, shipped_site, place)
    field = question.get_by_role("textbox")
    assert place.marks["unit"] in question.inner_text()
    for typed, fault in (("", "empty"), ("1 200", "thousands"), ("many", "no_number")):
        field.fill(typed)
        check(question)
        assert field.get_attribute("aria-invalid") == "true"
        described = (field.get_attribute("aria-describedby") or "").split()
        assert question.locator(f"#{described[-1]}").inner_text() == WORDS[fault]
    field.fill(f" {place.marks['value']:.1f} ".replace(".", ","))
    assert WORDS["is_right"] in check(question)
    assert field.get_attribute("aria-invalid") is None
    for at, slip in enumerate(place.marks["slips"]):
        page.reload()
        question = page.locator(f"#{place.anchor}")
        question.get_by_role("textbox").fill(str(slip))
        said = check(question)
        title = question.locator(f'.om-answer [data-answer="{at}"] b').text_content()
        assert title in said


@pytest.mark.browser
def test_the_keyboard_alone_goes_through_a_test(page, shipped_site):
    """Arrows choose, Enter checks, Tab goes on; the next question has the focus."""
    place = of_kind(shipped_site, "order")
    question = opened(page, shipped_site, place)
    first = question.locator(".om-item-order > li").first
    words = first.inner_text()
    first.get_by_role("button").last.focus()
    page.keyboard.press("ArrowDown")
    assert question.locator(".om-item-order > li").nth(1).inner_text() == words
    assert "place 2 of" in question.locator(".om-unseen").inner_text()
    page.keyboard.press("ArrowUp")
    assert question.locator(".om-item-order > li").first.inner_text() == words

    place = of_kind(shipped_site, "choice")
    question = opened(page, shipped_site, place)
    question.get_by_role("radio").first.focus()
    page.keyboard.press("Space")
    for _ in range(place.marks["key"]):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert WORDS["is_right"] in question.locator(".om-item-said").inner_text()
    heading = question.locator(".om-item-name").inner_text()
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") in (WORDS["next"], WORDS["summary"]):
            break
    page.keyboard.press("Enter")
    now = page.evaluate("document.activeElement.textContent")
    assert now != heading
    assert page.evaluate("document.activeElement.matches('.om-item-name')")


@pytest.mark.browser
def test_the_result_says_what_to_review_and_starts_again(page, shipped_site):
    """By chapter, with the missed questions; a new start keeps the review dates."""
    page.goto((shipped_site / "selftest" / "index.html").as_uri())
    here = [one for one in places(shipped_site) if one.page == "index.html"]
    for number, place in enumerate(here):
        question = page.locator(f"#{place.anchor}")
        (answer_wrong if number == 1 else answer_right)(question, place.marks)
        check(question)
        page.locator(".om-item-buttons button:visible").last.click()
    summary = page.locator(".om-item-summary")
    assert f"{len(here) - 1} of {len(here)} right." in summary.inner_text()
    counts = summary.locator("tbody tr").evaluate_all(
        "rows => rows.map(row => [...row.cells].slice(1).map(cell => Number(cell.textContent)))"
    )
    assert sum(right for right, _ in counts) == len(here) - 1
    assert sum(count for _, count in counts) == len(here)
    missed = summary.locator("li")
    assert missed.count() == 1
    for _ in range(2):  # a second click on the same link changes no address
        missed.get_by_role("link").first.click()
        assert page.locator(f"#{here[1].anchor}").is_visible()
        for _ in here[1:]:
            page.locator(".om-item-buttons button:visible").last.click()
        assert summary.is_visible()
    kept = page.evaluate("localStorage.getItem('offmidline/self-test')")
    page.locator(".om-item-bar input").uncheck()
    page.get_by_role("button", name=WORDS["restart"]).click()
    assert "Answered: 0, right: 0." in page.locator(".om-item-position").inner_text()
    assert page.locator(".om-item input:checked").count() == 0
    assert page.evaluate("localStorage.getItem('offmidline/self-test')") == kept
    assert len(json.loads(kept)) == len(here)


@pytest.mark.browser
def test_a_drawing_of_several_questions_is_with_the_one_that_is_shown(page, tested, monkeypatch):
    """Drawn once; moved where one question is shown at a time, linked where all are."""

    def with_findings(item: Item) -> dict[str, Any]:
        made = draft_item(item)
        findings = "{{ picture:plain:findings }}"
        return made if findings in made["html"] else {**made, "html": findings + made["html"]}

    monkeypatch.setattr(item_draft, "draft_item", with_findings)
    page.goto((tested.build() / "selftest" / "marking.html").as_uri())
    drawing = page.locator("#figure-plain-findings")
    count = page.locator(".om-item").count()
    assert count > 3
    for _ in range(count):
        assert page.locator(".om-item:visible").count() == 1
        assert page.locator(".om-item:visible #figure-plain-findings").is_visible()
        assert page.locator(".om-item:visible .om-picture > a:visible").count() == 0
        page.locator(".om-item-buttons button:visible").last.click()
    page.locator(".om-item-bar input").uncheck()
    assert page.locator(".om-item:visible").count() == count
    assert drawing.count() == 1
    links = page.locator(".om-item .om-picture > a:visible")
    assert links.count() == count - 1
    home = page.locator(str(links.first.get_attribute("href")))
    assert home.locator("#figure-plain-findings").is_visible()


@pytest.mark.browser
def test_a_question_comes_again_after_longer_and_longer(page, shipped_site):
    """The next day after a wrong answer; after right ones as the constants say; early right
    answers move nothing, early wrong ones do.
    """
    place = of_kind(shipped_site, "choice")
    right, again = list(selftest.AFTER_RIGHT), selftest.AFTER_WRONG
    day = DAY

    def answered(now: dt.datetime, give: Callable[[Any, dict[str, Any]], None]) -> str:
        page.clock.set_fixed_time(now)
        question = opened(page, shipped_site, place)
        page.reload()
        give(question, place.marks)
        check(question)
        kept = json.loads(page.evaluate("localStorage.getItem('offmidline/self-test')"))
        return str(kept[place.marks["name"]]["due"])

    def after(now: dt.datetime, days: int) -> str:
        return (now + dt.timedelta(days=days)).date().isoformat()

    assert answered(day, answer_wrong) == after(day, again)
    assert answered(day, answer_right) == after(day, right[0])
    due = answered(day, answer_right)
    assert due == after(day, right[0])  # answered again before its day
    for days in [*right[1:], right[-1]]:
        day = dt.datetime.fromisoformat(f"{due}T23:50")
        due = answered(day, answer_right)
        assert due == after(day, days)
    assert answered(day, answer_wrong) == after(day, again)
    said = page.locator(f"#{place.anchor} .om-item-again").inner_text()
    then = day + dt.timedelta(days=again)
    assert f"{then.day} {then:%B %Y}" in said


@pytest.mark.browser
def test_what_is_due_is_listed_saved_and_erased(page, shipped_site):
    """Today's questions lead to their places; the file holds the dates; erasing is asked twice."""
    page.clock.set_fixed_time(DAY)
    place = next(one for one in places(shipped_site) if one.page == "marking.html")
    question = opened(page, shipped_site, place)
    answer_wrong(question, place.marks)
    check(question)
    index = (shipped_site / "selftest" / "index.html").as_uri()
    page.goto(index)
    due = page.locator(".om-item-due")
    assert due.locator(".om-item-said").inner_text() == WORDS["due_none"]
    page.clock.set_fixed_time(DAY + dt.timedelta(days=selftest.AFTER_WRONG))
    page.reload()
    assert due.locator(".om-item-said").inner_text() == WORDS["due_one"]
    link = due.locator("li:visible a")
    assert str(link.get_attribute("href")).endswith(f"marking.html#{place.anchor}")
    title = link.inner_text()
    with page.expect_download() as download:
        due.get_by_role("button", name=WORDS["export"]).click()
    saved = json.loads(Path(download.value.path()).read_text("utf-8"))
    then = (DAY + dt.timedelta(days=selftest.AFTER_WRONG)).date().isoformat()
    assert saved == {
        "saved": then,
        "questions": [{"question": title, "due": then, "right_in_a_row": 0}],
    }
    due.get_by_role("button", name=WORDS["erase"]).click()
    due.get_by_role("button", name=WORDS["erase_no"]).click()
    assert due.locator("li:visible").count() == 1
    due.get_by_role("button", name=WORDS["erase"]).click()
    due.get_by_role("button", name=WORDS["erase_yes"]).click()
    assert due.locator("li:visible").count() == 0
    assert page.evaluate("localStorage.getItem('offmidline/self-test')") is None
    assert WORDS["erased"] in due.inner_text()


@pytest.mark.browser
@pytest.mark.parametrize(
    "kept", ["[1", "[]", "null", '{"a": 1, "b": {"due": "soon", "row": -1}, "c": null}']
)
def test_what_is_kept_but_broken_does_no_harm(page, shipped_site, kept):
    """Whatever stands in the browser's storage, the test works."""
    place = of_kind(shipped_site, "choice")
    opened(page, shipped_site, place)
    page.evaluate("text => localStorage.setItem('offmidline/self-test', text)", kept)
    page.reload()
    question = page.locator(f"#{place.anchor}")
    answer_right(question, place.marks)
    assert WORDS["is_right"] in check(question)
    kept_now = json.loads(page.evaluate("localStorage.getItem('offmidline/self-test')"))
    assert list(kept_now) == [place.marks["name"]]


@pytest.mark.browser
def test_a_browser_that_keeps_nothing_is_told_of(page, shipped_site):
    """Without storage the test works all the same, and says that nothing is kept."""
    page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('', 'QuotaExceededError') }"
    )
    place = next(one for one in places(shipped_site) if one.page == "index.html")
    question = opened(page, shipped_site, place)
    answer_wrong(question, place.marks)
    assert WORDS["refused"] in page.locator(".om-item-due").inner_text()
    assert WORDS["is_wrong"] in check(question)
    assert WORDS["refused"] in page.locator(".om-item-due").inner_text()


@pytest.mark.browser
def test_it_works_from_a_server_and_asks_nobody_else(page, shipped_site, serve):
    """Every request goes to the site itself."""
    top = serve(shipped_site)
    watch = Watch(page)
    place = of_kind(shipped_site, "numeric")
    page.goto(f"{top}selftest/{place.page}#{place.anchor}")
    question = page.locator(f"#{place.anchor}")
    answer_right(question, place.marks)
    assert WORDS["is_right"] in check(question)
    assert all(address.startswith(top) for address in watch.requests)


@pytest.mark.browser
def test_without_scripts_every_question_has_its_answer_to_open(browser, shipped_site):
    """Nothing to press, nothing hidden but the answers, which open without a script."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((shipped_site / "selftest" / "index.html").as_uri())
    questions = page.locator(".om-item")
    here = [one for one in places(shipped_site) if one.page == "index.html"]
    assert questions.count() == len(here)
    assert page.locator(".om-self-test :is(input, button)").count() == 0
    assert not page.locator(".om-item-due").is_visible()
    for question in questions.all():
        key = question.locator(".om-answer > :is(.om-item-key, ol)")
        assert question.locator(".om-item-asks").is_visible()
        assert not key.is_visible()
        question.locator("summary").click()
        assert key.is_visible()
    context.close()


@pytest.mark.browser
@pytest.mark.parametrize(("scheme", "width"), [("light", 320), ("dark", 1280)])
def test_no_question_has_a_violation_once_answered(browser, shipped_site, scheme, width):
    """All at once, right and wrong and one at fault, on a desk and on a phone; nothing is wider
    than the window.
    """
    axe = files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
    context = browser.new_context(
        color_scheme=scheme, reduced_motion="reduce", viewport={"width": width, "height": 800}
    )
    context.add_init_script(axe)
    page = context.new_page()
    page.goto((shipped_site / "selftest" / "index.html").as_uri())
    page.locator(".om-item-bar input").uncheck()
    here = [one for one in places(shipped_site) if one.page == "index.html"]
    for number, place in enumerate(here):
        question = page.locator(f"#{place.anchor}")
        if place.marks["kind"] == "numeric" and number == len(here) - 1:
            question.get_by_role("textbox").fill("much")
        else:
            (answer_wrong if number % 3 else answer_right)(question, place.marks)
        check(question)
    assert page.evaluate(RUN, TAGS) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


@pytest.mark.browser
def test_paper_holds_the_questions_and_no_answer(page, shipped_site):
    """All of them, whichever is shown on the screen."""
    page.goto((shipped_site / "selftest" / "marking.html").as_uri())
    page.emulate_media(media="print")
    count = len([one for one in places(shipped_site) if one.page == "marking.html"])
    assert page.locator(".om-item:visible").count() == count
    assert page.locator(".om-self-test button:visible, .om-answer:visible").count() == 0


def test_the_static_question_does_not_tell_the_key(shipped_site):
    """Options differ in their words and drawings alone; no id or class names a model or mistake."""
    telling = [*messages.section("mistakes"), *messages.section("items.slips")]
    for path in (shipped_site / "selftest").glob("*.html"):
        text = re.sub(r"<svg.*?</svg>", "", path.read_text("utf-8"), flags=re.DOTALL)
        for section in re.findall(r'<section class="om-item".*?</section>', text, re.DOTALL):
            question = section.partition("<details")[0]
            tags = " ".join(re.findall(r"<[^>]*>", question))
            assert not re.search(r"right|wrong|correct|key|answer", tags), tags
            assert not [name for name in telling if f'"{name}"' in tags]
            options = re.search(r'<ul class="om-item-options">(.*?)</ul>', question, re.DOTALL)
            plain = re.sub(
                r'<span class="om-amount">(.*?)</span>', r"\1", options[1] if options else ""
            )
            forms = {
                " ".join(re.sub(r' id="[^"]*"', "", tag) for tag in re.findall(r"<[^>]*>", option))
                for option in plain.split("</li>")[:-1]
                if "<a " not in option  # a drawing that was shown before
            }
            assert len(forms) <= 1, forms


def test_nothing_of_it_is_searched(shipped_site):
    """Neither a question nor an answer is in the index, and the other pages are."""
    index = json.loads((shipped_site / "search" / "search_index.json").read_text("utf-8"))
    pages = {entry["location"].partition("#")[0] for entry in index["docs"]}
    assert "marking.html" in pages
    assert not [page for page in pages if page.startswith("selftest/")]


def test_chapters_and_tests_link_to_each_other(shipped_site):
    """Each test is listed, links to its chapter, and is linked at the chapter's end."""
    listed = (shipped_site / "selftest" / "index.html").read_text("utf-8")
    for path in (shipped_site / "selftest").glob("*.html"):
        if path.stem != "index":
            assert f'href="{path.name}"' in listed
            assert f'href="../{path.stem}.html"' in path.read_text("utf-8")
            chapter = (shipped_site / f"{path.stem}.html").read_text("utf-8")
            assert f'href="selftest/{path.name}"' in chapter.rpartition("</h2>")[0]


def test_tests_are_whole_and_mixed(shipped_site, trainee_items):
    """Every model that gives an item is asked in its chapter; the mixed one is spread over cases
    and chapters.
    """
    drafts = {draft_item(item)["name"]: item for item in trainee_items}
    found = places(shipped_site)
    asked = {drafts[one.marks["name"]].model for one in found if one.page != "index.html"}
    assert asked == {item.model for item in trainee_items}
    mixed = [drafts[one.marks["name"]] for one in found if one.page == "index.html"]
    assert {item.topic for item in mixed} == {item.topic for item in trainee_items}
    assert {item.case for item in mixed} == {item.case for item in trainee_items}
    names = [(one.page, one.marks["name"]) for one in found]
    assert len(set(names)) == len(names)


def test_pages_stay_light(shipped_site):
    """A page of questions and all that it loads, compressed as a server does."""
    import gzip

    for path in (shipped_site / "selftest").glob("*.html"):
        text = path.read_text("utf-8")
        loaded = {path.resolve()}
        for way in re.findall(r'<(?:script[^>]* src|link[^>]* href)="([^"#:]+)"', text):
            loaded.add((path.parent / html.unescape(way)).resolve())
        size = sum(len(gzip.compress(one.read_bytes())) for one in loaded if one.is_file())
        assert size < 250_000, (path.name, size)


@pytest.fixture(scope="module")
def trainee_items() -> list[Item]:
    """The items of which the shipped pages are chosen."""
    library = load_library(ROOT / "scenarios", ("trainee",))

    def items(case: Case) -> tuple[Item, ...]:
        planned = plan_case(case, library.techniques[case.technique])
        return items_of_case(planned, library, selftest.SEED)

    return [item for case in library.cases for item in items(case)]


def answers_to(item: Item) -> list[Any]:
    """Every option; every order of up to four; every edge of every number, and beyond it."""
    if item.numeric is not None:
        numeric = item.numeric
        values = [numeric.value, *(slip.value or 0.0 for slip in numeric.slips)]
        steps = [0.0, numeric.tolerance, numeric.tolerance + 1e-6, numeric.tolerance / 2]
        numbers = {value + sign * step for value in values for step in steps for sign in (-1, 1)}
        written = sorted(f"{number:.9f}" for number in numbers)
        return [*written, written[0].replace(".", ","), "1,200", "x", "", " 7 "]
    if item.kind == "order":
        every = list(range(len(item.options)))
        orders = [list(order) for order in permutations(every[:4])]
        return [order + every[4:] for order in orders]
    return list(range(len(item.options)))


def judged(item: Item, answer: Any) -> Any:
    """What Python makes of an answer."""
    try:
        scored = score(item, answer)
    except UnreadableNumberError as refused:
        return refused.fault
    return [scored.right, scored.option]


def crowded(item: Item) -> Item:
    """The same with slips so near to each other that a number may be either's."""
    assert item.numeric is not None
    far = [item.numeric.value + share * item.numeric.tolerance for share in (10, 11.2)]
    slips = tuple(replace(item.numeric.slips[0], value=value) for value in far)
    return replace(item, numeric=replace(item.numeric, slips=slips))


@pytest.mark.browser
def test_the_browser_judges_as_python_does(browser, trainee_items):
    """Every answer to every item of every case of the trainees."""
    typed = next(item for item in trainee_items if item.numeric is not None)
    trainee_items = [*trainee_items, crowded(typed)]
    asked = [(draft_item(item)["marks"] | {"kind": item.kind}) for item in trainee_items]
    given = [answers_to(item) for item in trainee_items]
    page = browser.new_page()
    page.set_content("<p>")
    for name in JUDGEMENT:
        page.add_script_tag(content=(ASSETS / name).read_text("utf-8"))
    found = page.evaluate(
        """([items, answers]) => items.map((item, at) => answers[at].map((answer) => {
          const { read, judge } = Offmidline.answers;
          if (item.kind === "numeric" && "fault" in read(answer)) return read(answer).fault;
          const { right, about } = judge(item, answer);
          return [right, about];
        }))""",
        [asked, given],
    )
    page.close()
    count = 0
    for item, answers, results in zip(trainee_items, given, found, strict=True):
        for answer, result in zip(answers, results, strict=True):
            count += 1
            assert result == judged(item, answer), (item.model, item.case, answer)
    assert count > 10 * len(trainee_items) / 4


CANARY = (
    PLAIN_CASE.replace("case: plain", "case: canary-file")
    .replace("audience: trainee", "audience: examiner")
    .replace("at: 60 mm", "at: 61.371 mm")
)


@pytest.fixture
def tested(small: Project) -> Project:
    """A small project with a chapter and its self-test, and a case that trainees do not see."""
    (small.handbook / "marking.md").write_text("# Lines { #lines }\n\nText.\n", "utf-8")
    contents = small.handbook / "contents.yml"
    listed = f"{contents.read_text('utf-8')}- marking.md\n- Self-test: selftest/\n"
    contents.write_text(listed, "utf-8")
    small.write_case("canary-file", CANARY)
    return small


def pages_of(project: Project, audience: str = "trainee") -> dict[str, str]:
    """The sources of a handbook's pages, before MkDocs."""
    settings = Settings(
        scenarios=project.scenarios,
        handbook=project.handbook,
        cache=project.cache,
        audience=audience,
    )
    tree = build_tree(settings)
    tree.drawings.close()
    return {page.path: page.source for page in tree.pages}


def names_on(pages: dict[str, str]) -> set[str]:
    """The questions on the pages of the self-test."""
    return set(re.findall(r'id="question-([0-9a-f]+)"', "".join(pages.values())))


def test_only_cases_that_the_audience_sees_are_asked_about(tested):
    """No question on an examiners' case in the trainees' build; the examiners have some."""
    trainees = pages_of(tested)
    library = load_library(tested.scenarios, ("examiner",))
    (case,) = library.cases
    planned = plan_case(case, library.techniques[case.technique])
    hidden = {draft_item(i)["name"] for i in items_of_case(planned, library, selftest.SEED)}
    assert names_on(trainees)
    assert not names_on(trainees) & hidden
    assert names_on(pages_of(tested, "examiner")) & hidden
    # Of topics without a chapter there is no test.
    listed = [path for path in trainees if path.startswith("selftest/")]
    assert listed == ["selftest/index.md", "selftest/marking.md"]


def refuse(_: Item) -> dict[str, Any]:
    """Make no item."""
    raise AssertionError("an item was made")


def test_a_build_without_changes_makes_no_item(tested, monkeypatch):
    """The second build takes all questions from the cache, and is the same to a letter."""
    first = pages_of(tested)
    monkeypatch.setattr(item_draft, "draft_item", refuse)
    again = pages_of(tested)
    for path in ("selftest/index.md", "selftest/marking.md", "marking.md"):
        assert again[path] == first[path]


def test_another_case_has_its_own_items_made_alone(tested, monkeypatch):
    """What is kept of a case stays while another comes."""
    pages_of(tested)
    made = []

    def note(item: Item) -> dict[str, Any]:
        made.append(item.case)
        return draft_item(item)

    monkeypatch.setattr(item_draft, "draft_item", note)
    tested.write_case("another", PLAIN_CASE.replace("case: plain", "case: another"))
    pages_of(tested)
    assert set(made) == {"another"}


def test_no_item_is_made_where_no_self_test_is_listed(small, monkeypatch):
    """The contents decide whether there is one."""
    (small.handbook / "marking.md").write_text("# Lines\n\nText.\n", "utf-8")
    contents = small.handbook / "contents.yml"
    contents.write_text(f"{contents.read_text('utf-8')}- marking.md\n", "utf-8")
    monkeypatch.setattr(item_draft, "draft_item", refuse)
    pages = pages_of(small)
    assert "selftest" not in pages["marking.md"]
    assert not [path for path in pages if path.startswith("selftest/")]
