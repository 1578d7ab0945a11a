"""Packages of questions: scored like the site, of the shape of their grammars, and whole."""

from __future__ import annotations

import copy
import io
import math
import os
import re
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from importlib.resources import files
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from lxml import etree
from PIL import Image as Pixels
from tests import strategies
from tests.exam.qti_evaluator import NAMESPACES, Given, Told, evaluate
from tests.generated import SCENARIOS
from tests.strategies import a_technique

from offmidline import messages, mistakes
from offmidline.exam.form import Form
from offmidline.exam.qti import apex, package
from offmidline.exam.qti.answering import answering
from offmidline.exam.qti.contents import LEFT_OUT, MANIFEST, PAPER
from offmidline.exam.qti.frame import question
from offmidline.exam.qti.images import FINE, Image, image
from offmidline.exam.qti.markup import document, paragraphs
from offmidline.exam.qti.package import point_question
from offmidline.figures import VIEWS, render
from offmidline.figures.page.drawing import Shape, ellipse
from offmidline.items.emit import emit
from offmidline.items.item import CHOSEN, Item, Numeric, Option, Standing
from offmidline.items.model import Material
from offmidline.items.models import MODELS
from offmidline.items.score import Answer, UnreadableNumberError, score
from offmidline.items.stream import Stream
from offmidline.plan import CasePlan, plan_case
from offmidline.records import Library

LETTERS = "ABCDEFGHIJ"
SHIPPED = sorted(path.stem for path in (SCENARIOS / "cases").glob("*.yml"))
# One with its flap on the left, one on the right, and one that no marking fits.
LEFT, RIGHT, NONE = "ceramics-student", "orchard-hand", "rowing-coach"
# Where only the judgement is looked at, drawings need not be drawn.
BLANK = Image(b"", 1, 1, "Drawing")
JUST = Decimal("0.000001")


@pytest.fixture(scope="module")
def library() -> Library:
    """Everything that the shipped scenarios hold."""
    return strategies.library()


@pytest.fixture(scope="module")
def planned() -> dict[str, CasePlan]:
    """The shipped cases by their ids, each planned once."""
    return {one.case.case: one for one in strategies.shipped_plans()}


def items_of(planned: CasePlan, library: Library) -> Iterator[Item]:
    """Every item of a case: numbers both typed and chosen."""
    for model in MODELS.values():
        material = Material(planned, library, Stream("1"))
        made = [emit(model, material, kind) for kind in ("choice", "numeric")]
        yield from (item for item in made if item is not None)
        if not any(made) and (other := emit(model, material)) is not None:
            yield other


@pytest.fixture(scope="module")
def items(library: Library, planned: dict[str, CasePlan]) -> dict[str, list[Item]]:
    """Every item of every shipped case."""
    return {case: list(items_of(one, library)) for case, one in planned.items()}


def written(item: Item) -> bytes:
    """An item as a file, its drawings left blank."""
    drawings = {at: BLANK for at, one in enumerate(item.options) if one.picture is not None}
    asked = answering(item, drawings)
    return document(question(f"Q1-{item.ident}", 1, paragraphs([item.stem]), asked))


# --- judgement -------------------------------------------------------------------------------


def plain(value: Decimal) -> str:
    """A decimal as it is typed."""
    return f"{value:f}"


def typed(numeric: Numeric) -> Iterator[str]:
    """Key, slips, both edges of each, just outside both, and what is no number."""
    reach = Decimal(repr(numeric.tolerance))
    for value in (numeric.value, *(slip.value or 0.0 for slip in numeric.slips)):
        middle = Decimal(repr(value))
        beside = (reach, reach + JUST, reach - JUST)
        yield from (plain(middle + sign * way) for way in beside for sign in (-1, 1))
        yield plain(middle)
    yield from ("", "  ", "rubbish", "12 mm", "1,200.5")


def answers(item: Item) -> Iterator[tuple[Given, Answer | None]]:
    """What a candidate may give, and the same as the site takes it; None where it is no answer."""
    yield None, None
    if item.numeric is not None:
        yield from ((text, text) for text in typed(item.numeric))
    elif item.kind == "order":
        right = list(range(len(item.options)))
        swapped = [[*right[:at], right[at + 1], right[at], *right[at + 2 :]] for at in right[:-1]]
        for order in (right, right[::-1], right[1:] + right[:1], *swapped):
            yield [LETTERS[item.shown.index(entry)] for entry in order], order
        yield ["rubbish"], None
        yield [LETTERS[item.shown.index(0)]], None
    else:
        yield from ((LETTERS[at], at) for at in range(len(item.options)))
        yield LETTERS[len(item.options)], None
        yield "rubbish", None


def expected(item: Item, answer: Answer | None) -> Told:
    """What the site makes of an answer."""
    try:
        scored = None if answer is None else score(item, answer)
    except UnreadableNumberError:
        scored = None
    if scored is None:
        return Told(0.0)
    return (
        Told(1.0, "", item.explanation)
        if scored.right
        else Told(0.0, scored.title, scored.feedback)
    )


@pytest.mark.parametrize("case", SHIPPED)
def test_every_answer_is_worth_what_the_site_says(case, items):
    """Key, distractors, slips, edges, blanks and rubbish of every item: score and feedback."""
    kinds = set()
    for item in items[case]:
        file = written(item)
        for given_, answer in answers(item):
            found, due = evaluate(file, given_), expected(item, answer)
            assert found.score == due.score, (item.model, given_)
            # A part of an order tells what belongs at its first wrong place, and counts nothing.
            if given_ and answer is None:
                continue
            assert (found.title, found.feedback) == (due.title, due.feedback), (item.model, given_)
        kinds.add(item.kind)
    assert {"choice", "numeric", "order"} <= kinds


def test_every_kind_and_model_has_been_judged(items):
    """The test above would pass on nothing."""
    made = [item for several in items.values() for item in several]
    assert {item.kind for item in made} == {"choice", "numeric", "order", "drawing", "fault"}
    assert {item.model for item in made} == set(MODELS)


def test_the_declared_answer_is_right(items):
    """What a system shows as the solution scores, for every item."""
    for several in items.values():
        for item in several:
            file = written(item)
            declared = etree.fromstring(file).findall(".//q:correctResponse/q:value", NAMESPACES)
            texts = [one.text for one in declared]
            assert evaluate(file, texts if item.kind == "order" else texts[0]).score == 1.0


@given(
    key=st.integers(-300, 300),
    tolerance=st.sampled_from([1, 2, 3, 5, 6, 10]),
    away=st.lists(st.integers(-200, 200), min_size=1, max_size=4, unique=True),
    way=st.integers(-2200, 2200),
)
def test_numbers_go_to_the_nearest_mistake(key, tolerance, away, way):
    """In tenths: wherever a number lies, package and site tell the same."""
    slips = [key + one for one in away if abs(one) > 2 * tolerance]
    options = tuple(
        Option(str(at), f"slip-{at}", f"Title {at}", f"Feedback {at}", one / 10)
        for at, one in enumerate(slips)
    )
    numeric = Numeric(key / 10, "mm", 1, tolerance / 10, "why", options)
    item = Item(
        "m",
        "c",
        "t",
        "1",
        "numeric",
        "Stem.",
        "What?",
        "So.",
        Standing("", "", ""),
        numeric=numeric,
    )
    text = plain(Decimal(key) / 10 + Decimal(way) / 100)
    # Midway between two mistakes either may be told.
    ways = sorted(abs(Decimal(text) * 10 - one) for one in slips)
    assume(len(ways) < 2 or ways[0] != ways[1])
    assert evaluate(written(item), text) == expected(item, text)


def test_letters_are_those_of_the_printed_paper(items):
    """Choices stand as they are printed, so that a key of letters holds for both."""
    for item in (one for several in items.values() for one in several if one.options):
        order = item.shown if item.kind == "order" else range(len(item.options))
        shown = etree.fromstring(written(item)).findall(".//q:simpleChoice", NAMESPACES)
        assert [one.get("identifier") for one in shown] == list(LETTERS[: len(shown)])
        texts = ["".join(one.itertext()).strip() for one in shown]
        assert texts == [item.options[at].text for at in order]


# --- the caudal apex -------------------------------------------------------------------------


@dataclass(frozen=True)
class Pointed:
    """A question for a point as a file, and the transform of its figure read from the SVG."""

    asked: apex.Apex
    file: bytes
    picture: Image
    scale: float
    origin: tuple[float, float]
    sign: float

    def pixel(self, x: float, y: float) -> tuple[float, float]:
        """Where a point of the patient (mm) lies in the picture."""
        left, top = self.origin
        return (left + self.sign * self.scale * x) * FINE, (top - self.scale * y) * FINE

    def patient(self, text: str) -> tuple[float, float]:
        """Which point of the patient (mm) lies under a pixel."""
        (left, top), (x, y) = self.origin, (float(part) / FINE for part in text.split())
        return (x - left) / (self.sign * self.scale), (top - y) / self.scale


@pytest.fixture(scope="module")
def pointed(planned: dict[str, CasePlan]) -> dict[str, Pointed]:
    """The question for the apex of every shipped case that has a marking."""
    return {case: point_of(one) for case, one in planned.items() if one.right is not None}


def point_of(planned: CasePlan) -> Pointed:
    """The question for the apex of a case."""
    asked = apex.apex_question(planned)
    made = point_question(1, asked)
    svg = etree.fromstring(render(planned, "findings", figure_id="f").svg)
    return Pointed(
        asked,
        document(made.root),
        made.images[0],
        float(svg.get("data-scale")),
        (float(svg.get("data-origin-x")), float(svg.get("data-origin-y"))),
        -1.0 if svg.get("data-side") == "left" else 1.0,
    )


def test_the_declared_pixel_is_the_apex(pointed):
    """From mm to the pixel and back, on either side and at every scale: within half a pixel."""
    assert {one.sign for one in pointed.values()} == {-1.0, 1.0}
    for case, one in pointed.items():
        root = etree.fromstring(one.file)
        text = root.findtext(".//q:correctResponse/q:value", namespaces=NAMESPACES)
        outline = one.asked.planned.right.outline
        apex_ = (outline.offset + outline.caudal_shift, outline.caudal_apex)
        # What is less than a whole pixel is cut off above.
        assert math.dist(one.patient(text), apex_) <= 1.5 / FINE / one.scale, case
        circle = root.find(".//q:areaMapEntry", NAMESPACES).get("coords").split(",")
        assert " ".join(circle[:2]) == text
        assert int(circle[2]) == round(apex.TOLERANCE * one.scale * FINE)


@pytest.mark.parametrize("case", [LEFT, RIGHT])
def test_the_declared_pixel_is_where_the_figure_shows_it(case, planned, pointed):
    """A spot drawn at the apex into the figure comes to lie on the declared pixel."""
    drawing = VIEWS["findings"].draw(planned[case])
    assert drawing.frame is not None
    spot = ellipse(drawing.frame.at(*pointed[case].asked.at), 2.0, 2.0)
    spotted = replace(drawing, items=[*drawing.items, Shape("spot", spot, fill="ink")])
    one, other = (
        np.asarray(Pixels.open(io.BytesIO(data)).convert("L"), dtype=float)
        for data in (pointed[case].picture.data, image(spotted, FINE, "").data)
    )
    rows, columns = np.nonzero(np.abs(one - other) > 100)
    root = etree.fromstring(pointed[case].file)
    text = root.findtext(".//q:correctResponse/q:value", namespaces=NAMESPACES)
    x, y = map(int, text.split())
    assert abs(columns.mean() + 0.5 - x) <= 1.0
    assert abs(rows.mean() + 0.5 - y) <= 1.0


def test_a_point_counts_within_the_tolerance_alone(pointed):
    """In all directions, a pixel inside and a pixel outside; blanks and rubbish count nothing."""
    for one in pointed.values():
        x, y = one.pixel(*one.asked.at)
        reach = apex.TOLERANCE * one.scale * FINE
        for turn in np.linspace(0, 2 * np.pi, 16, endpoint=False):
            for way, due in ((0.0, 1.0), (reach - 2.0, 1.0), (reach + 2.0, 0.0)):
                at = f"{round(x + way * np.cos(turn))} {round(y + way * np.sin(turn))}"
                assert evaluate(one.file, at).score == due, (way, turn)
        assert [evaluate(one.file, text) for text in (None, "", "x", "5")] == [Told(0.0)] * 4


def test_a_mistake_of_the_apex_is_told(pointed):
    """At the place of each mistake nothing counts, and the mistake is named."""
    for one in pointed.values():
        at = one.asked.planned.right.outline.caudal_apex
        places = {
            "wrong-side": -one.asked.at[0],
            "caudal-shift-forgotten": one.asked.planned.right.outline.offset,
            "centred-on-midline": one.asked.planned.right.outline.caudal_shift,
        }
        for name, lateral in places.items():
            x, y = one.pixel(lateral, at)
            words = messages.section(f"mistakes.{name}")
            found = evaluate(one.file, f"{round(x)} {round(y)}")
            assert found == Told(0.0, words["title"], words["feedback"])
        x, y = one.pixel(*one.asked.at)
        assert evaluate(one.file, f"{round(x)} {round(y)}").feedback == one.asked.explanation


def test_a_case_without_a_marking_has_no_apex_to_place(planned):
    """Neither has one in which a mistake would count as right."""
    with pytest.raises(apex.NoPlaceError, match="no marking"):
        apex.apex_question(planned[NONE])
    near = a_technique(caudal_shift=f"{2 * apex.TOLERANCE} mm")
    with pytest.raises(apex.NoPlaceError, match="near"):
        apex.apex_question(plan_case(planned[LEFT].case, near))
    apart = a_technique(caudal_shift=f"{2 * apex.TOLERANCE + 0.5} mm")
    assert apex.apex_question(plan_case(planned[LEFT].case, apart)).slips


# --- grammars --------------------------------------------------------------------------------


def grammar(name: str) -> Any:
    """A grammar that lies beside the code."""
    text = files("offmidline.exam.qti").joinpath(f"{name}.rng").read_bytes()
    return etree.RelaxNG(etree.fromstring(text))


@pytest.fixture(scope="module")
def form(items: dict[str, list[Item]], planned: dict[str, CasePlan]) -> Form:
    """A form with every kind of item, on a case with a marking and on one without."""
    of_kind = {item.kind: item for item in items[LEFT]}
    shown = next(item for item in items[NONE] if item.pictures)
    chosen = (*of_kind.values(), shown)
    plans = (*(planned[LEFT] for _ in of_kind), planned[NONE])
    return Form("mock", "A paper & its <title>", 45, "A", chosen, plans, specimen=True)


@pytest.fixture(scope="module")
def packed(form: Form) -> dict[str, bytes]:
    """The files of its package."""
    with zipfile.ZipFile(io.BytesIO(package(form))) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_every_item_is_of_the_grammar(items):
    """Every item of every shipped case."""
    valid = grammar("item")
    for several in items.values():
        for item in several:
            assert valid.validate(etree.fromstring(written(item))), (item.model, valid.error_log)


def test_a_package_is_of_its_grammars(packed):
    """Questions with their figures, the question for a point, the paper, and the list of files."""
    item = grammar("item")
    for name in (name for name in packed if name.startswith("items/")):
        assert item.validate(etree.fromstring(packed[name])), (name, item.error_log)
    for name, file in (("paper", PAPER), ("manifest", MANIFEST)):
        valid = grammar(name)
        assert valid.validate(etree.fromstring(packed[file])), valid.error_log


Change = Callable[[Any], object]


def one(root: Any, path: str) -> Any:
    """The first element at a path; a mutant that changes nothing would prove nothing."""
    steps = [f"q:{step}" if step[:1].isalpha() else step for step in path.split("/")]
    return root.find("/".join(steps), {"q": etree.QName(root).namespace})


def put(path: str, name: str, value: str) -> Change:
    """Another value of an attribute."""
    return lambda root: one(root, path).set(name, value)


def drop(path: str, name: str) -> Change:
    """Without an attribute."""
    return lambda root: one(root, path).attrib.pop(name)


def say(path: str, text: str) -> Change:
    """Another text."""
    return lambda root: setattr(one(root, path), "text", text)


def remove(path: str) -> Change:
    """Without an element."""
    return lambda root: one(root, path).getparent().remove(one(root, path))


def double(path: str) -> Change:
    """An element twice."""
    return lambda root: one(root, path).addnext(copy.deepcopy(one(root, path)))


def last(path: str) -> Change:
    """An element behind its brothers."""
    return lambda root: one(root, path).getparent().append(one(root, path))


def add(path: str, name: str) -> Change:
    """A further element inside one."""
    return lambda root: etree.SubElement(
        one(root, path), f"{{{etree.QName(root).namespace}}}{name}"
    )


FOR_ALL: tuple[Change, ...] = (
    drop(".", "timeDependent"),
    drop(".", "identifier"),
    put(".", "identifier", "1 is no name"),
    put("responseDeclaration", "cardinality", "multiple"),
    put("responseDeclaration", "baseType", "string"),
    remove("responseDeclaration/correctResponse"),
    remove("outcomeDeclaration/defaultValue"),
    last("itemBody"),
    remove("itemBody"),
    remove("responseProcessing"),
    remove("modalFeedback/p"),
    add("itemBody", "script"),
    put("itemBody", "onload", "x"),
    put("modalFeedback", "identifier", "wrong-side"),
    put(".//responseIf//setOutcomeValue", "identifier", "MARKS"),
    put(".//variable", "identifier", "OTHER"),
    add("responseProcessing", "lookupOutcomeValue"),
)
OF_KIND: dict[str, tuple[Change, ...]] = {
    "choice": (
        double("responseDeclaration/correctResponse/value"),
        put(".//choiceInteraction", "shuffle", "true"),
        put(".//choiceInteraction", "maxChoices", "2"),
        drop(".//simpleChoice", "identifier"),
        remove(".//prompt"),
    ),
    "drawing": (
        drop(".//img", "alt"),
        put(".//img", "src", "http://example.org/a.png"),
        put(".//img", "src", "../images/wrong-side.png"),
        put(".//img", "width", "wide"),
    ),
    "numeric": (
        say(".//gte/baseValue", "4,5"),
        put(".//lte/baseValue", "baseType", "integer"),
        remove(".//responseIf/and/not"),
        remove(".//textEntryInteraction"),
        say("responseDeclaration/correctResponse/value", "four"),
    ),
    "order": (
        put("responseDeclaration", "cardinality", "single"),
        put(".//index", "n", "0"),
        remove(".//index/variable"),
    ),
    "point": (
        put(".//areaMapEntry", "coords", "1,2"),
        put(".//inside", "coords", "1,2,0"),
        put(".//inside", "shape", "rect"),
        drop("responseDeclaration/areaMapping", "upperBound"),
        put(".//object", "type", "image/svg+xml"),
        remove(".//responseIf/not"),
        say(".//object", ""),
    ),
}


@pytest.mark.parametrize("kind", OF_KIND)
def test_the_grammar_of_items_refuses_mutants(kind, form, packed):
    """Each differs in one thing from a question that is accepted."""
    kinds = [*(item.kind for item in form.items), "point"]
    root = etree.fromstring(packed[f"items/Q{kinds.index(kind) + 1}.xml"])
    refused_one_by_one(root, grammar("item"), [*FOR_ALL, *OF_KIND[kind]])


def refused_one_by_one(root: Any, valid: Any, changes: list[Change]) -> None:
    """The file is accepted, and with any of the changes refused."""
    assert valid.validate(root)
    for number, change in enumerate(changes):
        mutant = copy.deepcopy(root)
        change(mutant)
        assert not valid.validate(mutant), f"change {number} was not seen"


def test_the_grammars_of_paper_and_manifest_refuse_mutants(packed):
    """Feedback shown, no time limit, a question elsewhere; files elsewhere, no order, no type."""
    paper: list[Change] = [
        drop(".", "title"),
        remove(".//timeLimits"),
        put(".//itemSessionControl", "showFeedback", "true"),
        put(".//assessmentItemRef", "href", "../items/Q1.xml"),
        put("testPart", "submissionMode", "individual"),
        put(".//testVariables", "sectionIdentifier", "BEYOND"),
        remove("outcomeProcessing"),
        last("outcomeDeclaration"),
    ]
    refused_one_by_one(etree.fromstring(packed[PAPER]), grammar("paper"), paper)
    manifest: list[Change] = [
        last("metadata"),
        remove("organizations"),
        drop("resources/resource", "type"),
        put("resources/resource", "type", "webcontent"),
        put("resources/resource/file", "href", "/items/Q1.xml"),
        remove("resources/resource/file"),
        put(".//dependency", "identifierref", "no name"),
        last("resources/resource"),
        add("resources", "resource"),
        say("metadata/schema", "Package"),
    ]
    refused_one_by_one(etree.fromstring(packed[MANIFEST]), grammar("manifest"), manifest)


# --- the whole package -----------------------------------------------------------------------


def test_all_files_are_listed_and_all_that_are_listed_are_there(packed):
    """Under the question that shows them, and no two resources share a name."""
    root = etree.fromstring(packed[MANIFEST])
    namespaces = {"m": etree.QName(root).namespace}
    resources = root.findall("m:resources/m:resource", namespaces)
    listed: set[str] = set()
    for resource in resources:
        paths = [one.get("href") for one in resource.findall("m:file", namespaces)]
        assert resource.get("href") == paths[0]
        assert len(set(paths)) == len(paths)
        listed |= set(paths)
        if paths[0] != PAPER:
            assert shown(packed[paths[0]]) == set(paths[1:])
    assert listed | {MANIFEST} == set(packed)
    names = [resource.get("identifier") for resource in resources]
    assert len(set(names)) == len(names)
    needed = [one.get("identifierref") for one in root.iterfind(".//m:dependency", namespaces)]
    assert needed == names[:-1]


def shown(file: bytes) -> set[str]:
    """The pictures of a question."""
    return set(re.findall(r"\.\./(images/[^\"]+)", file.decode()))


def test_the_paper_asks_every_question_once(form, packed):
    """By the names of the files, those of the printed paper first; their marks are the total."""
    root = etree.fromstring(packed[PAPER])
    sections = root.findall(".//q:assessmentSection", NAMESPACES)
    refs = [one.findall("q:assessmentItemRef", NAMESPACES) for one in sections]
    assert [len(several) for several in refs] == [len(form.items), 1]
    for number, ref in enumerate((ref for several in refs for ref in several), 1):
        assert ref.get("href") == f"items/Q{number}.xml"
        asked = etree.fromstring(packed[ref.get("href")])
        assert asked.get("identifier") == ref.get("identifier")
        assert asked.get("title") == f"Question {number}"
    assert root.find("q:outcomeDeclaration", NAMESPACES).get("normalMaximum") == str(
        len(form.items)
    )
    assert root.find(".//q:timeLimits", NAMESPACES).get("maxTime") == str(45 * 60)
    assert root.get("title") == "A paper & its <title>, form A, specimen"


def test_what_is_declared_can_be_answered(packed):
    """Right letters are choices, every feedback can come up, and points lie in their picture."""
    for name in (name for name in packed if name.startswith("items/")):
        root = etree.fromstring(packed[name])
        right = [one.text for one in root.iterfind(".//q:correctResponse/q:value", NAMESPACES)]
        offered = {one.get("identifier") for one in root.iterfind(".//q:simpleChoice", NAMESPACES)}
        if offered:
            assert set(right) <= offered
        told = [one.get("identifier") for one in root.iterfind("q:modalFeedback", NAMESPACES)]
        set_to = {one.text for one in root.iterfind(".//q:setOutcomeValue/q:baseValue", NAMESPACES)}
        assert len(set(told)) == len(told)
        assert set(told) == (set_to - {"1"} or offered)
        for shown_ in root.iterfind(".//q:object", NAMESPACES):
            size = int(shown_.get("width")), int(shown_.get("height"))
            circles = root.iterfind(".//*[@coords]")
            for x, y, r in (map(int, one.get("coords").split(",")) for one in circles):
                assert r <= x <= size[0] - r
                assert r <= y <= size[1] - r


def test_pictures_are_of_the_size_that_is_declared(packed):
    """So that a point means the same in every system; and each file holds nothing but dots."""
    seen = 0
    for name in (name for name in packed if name.startswith("items/")):
        root = etree.fromstring(packed[name])
        for one_ in root.xpath(".//q:img | .//q:object", namespaces=NAMESPACES):
            path = (one_.get("src") or one_.get("data")).removeprefix("../")
            with Pixels.open(io.BytesIO(packed[path])) as picture:
                assert picture.size == (int(one_.get("width")), int(one_.get("height")))
                assert not picture.info
            seen += 1
    assert seen >= 5


def test_nothing_that_a_candidate_sees_tells_the_answer(form, packed):
    """Names of files, texts instead of figures, and no id of a model, a case or a mistake."""
    told = {*MODELS, *SHIPPED, *(one.mistake for one in mistakes.MISTAKES)}
    hidden = {name for name in told if "-" in name}
    for name, data in packed.items():
        assert re.fullmatch(r"images/[0-9a-f]{16}\.png|items/Q\d+\.xml|[a-z-]+\.(xml|txt)", name)
        if name.endswith(".xml"):
            assert not [one for one in hidden if one in data.decode()], name
    for number, item in enumerate(form.items, 1):
        root = etree.fromstring(packed[f"items/Q{number}.xml"])
        texts = {one.get("alt") for one in root.iterfind(".//q:img", NAMESPACES)}
        assert texts <= {f"Figure for question {number}.", *(f"Drawing {a}" for a in LETTERS)}
        body = "".join(root.find("q:itemBody", NAMESPACES).itertext())
        assert item.explanation not in body
        if item.kind not in CHOSEN:
            assert not any(
                slip.title in body for slip in (item.numeric.slips if item.numeric else ())
            )


def test_the_caution_stands_on_every_question(packed):
    """And in the paper, and in the list of what is left out."""
    caution = messages.text("caution.text")
    for name, data in packed.items():
        if name.endswith((".xml", ".txt")) and name != MANIFEST:
            assert caution in data.decode(), name


def test_what_is_left_out_is_listed_with_the_reason(packed):
    """A case without a marking has no apex to place; the others are not named."""
    lines = packed[LEFT_OUT].decode().splitlines()
    assert any(NONE in line and "no marking" in line for line in lines)
    assert not any(LEFT in line for line in lines)
    assert len([line for line in lines if line.startswith("- ")]) >= 5


SAME = f"""
import hashlib, sys
from pathlib import Path
from offmidline.exam.form import Form
from offmidline.exam.qti import package
from offmidline.items.bank import make
from offmidline.items.models import MODELS
from offmidline.plan import plan_case
from offmidline.records import AUDIENCES, load_library
library = load_library(Path({str(SCENARIOS)!r}), AUDIENCES)
(case,) = (case for case in library.cases if case.case == {RIGHT!r})
planned = plan_case(case, library.techniques[case.technique])
items = make(planned, library, [MODELS["reach"]], "1")
print(hashlib.sha256(package(Form("p", "P", 9, "A", items, (planned,)))).hexdigest())
"""


def test_two_processes_write_the_same_bytes():
    """Whatever order their sets have."""
    runs = [
        subprocess.run(
            [sys.executable, "-c", SAME],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert len(runs[0].strip()) == 64
