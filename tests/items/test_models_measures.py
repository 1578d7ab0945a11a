"""The models that ask a plan for its numbers and its choices: every key is worked out again here,
from the case and the five numbers of the outline, by other ways than the package's.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import pytest
import shapely
from tests import strategies
from tests.generated import SCENARIOS, cases

from offmidline import mistakes, rules
from offmidline.geometry.outline import Outline
from offmidline.items import MODELS, Material, lint
from offmidline.items.emit import emit
from offmidline.items.model import ItemModel, Question
from offmidline.items.models import closure, covered, excision, flap, infiltration, marking
from offmidline.items.stream import Stream
from offmidline.messages import section
from offmidline.plan import CasePlan, Plan, measure, plan_case
from offmidline.records import Library

TOPICS = {
    "marking": (*marking.MODELS, *covered.MODELS),
    "excision": excision.MODELS,
    "flap": flap.MODELS,
    "infiltration": infiltration.MODELS,
    "closure": closure.MODELS,
}
MINE = [model for models in TOPICS.values() for model in models]
SHIPPED = sorted(path.stem for path in (SCENARIOS / "cases").glob("*.yml"))
NAMED = {one.mistake for one in mistakes.MISTAKES}
SEEDS = range(1, 7)


@pytest.fixture(scope="module")
def library() -> Library:
    """Everything that the shipped scenarios hold."""
    return strategies.library()


@pytest.fixture(scope="module")
def planned() -> dict[str, CasePlan]:
    """The shipped cases by their ids, each planned once."""
    return {one.case.case: one for one in strategies.shipped_plans()}


def ask(model: str, planned: CasePlan, library: Library, seed: str = "1") -> Question | None:
    """The question that a model makes of a case."""
    return MODELS[model].ask(Material(planned, library, Stream(seed)))


def value(model: str, planned: CasePlan, library: Library) -> float:
    """The number that is right."""
    question = ask(model, planned, library)
    assert question is not None
    assert question.key.value is not None
    return question.key.value


@dataclass(frozen=True)
class Again:
    """A plan worked out again, from raw numbers that may be rounded as a stem tells them."""

    plan: Plan
    decimals: int = 12

    def told(self, number: float) -> float:
        """A number as it is told."""
        return round(number, self.decimals)

    def __getattr__(self, name: str) -> float:
        """One of the numbers that decide an outline, a section or a case."""
        for thing in (self.plan.outline, self.plan.marking, self.plan.case.findings):
            if name in getattr(thing, "__dataclass_fields__", {}) or hasattr(thing, name):
                return self.told(getattr(thing, name))
        raise AttributeError(name)

    @cached_property
    def edges(self) -> dict[str, shapely.LineString]:
        """Both edges as fine chains of points, from the circle's equation and the axis."""
        o = self.plan.outline
        a, h = (o.cranial_apex - o.caudal_apex) / 2, o.half_width
        middle, radius = (o.cranial_apex + o.caudal_apex) / 2, (a * a + h * h) / (2 * h)
        # Dense towards the apexes.
        y = middle - a * np.cos(np.linspace(0, math.pi, 20001))
        u = np.clip((middle - y) / a, 0, None)
        axis = o.offset + o.caudal_shift * u**2
        profile = np.sqrt(np.maximum(radius**2 - (y - middle) ** 2, 0)) - (radius - h)
        return {
            "medial": shapely.LineString(np.column_stack([axis - profile, y])),
            "lateral": shapely.LineString(np.column_stack([axis + profile, y])),
        }

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """What the two edges enclose."""
        medial = shapely.get_coordinates(self.edges["medial"])
        lateral = shapely.get_coordinates(self.edges["lateral"])
        return shapely.Polygon(np.vstack([lateral, medial[-2:0:-1]]))

    @cached_property
    def covered(self) -> tuple[float, float]:
        """Levels between which the midline lies in the outline."""
        line = shapely.LineString([(0, -500), (0, 500)]).intersection(self.polygon)
        return self.told(line.bounds[1]), self.told(line.bounds[3])

    @cached_property
    def nearest(self) -> tuple[float, float]:
        """The point of the outline nearest to the verge."""
        verge = shapely.Point(0, 0)
        along = self.polygon.exterior.project(verge)
        point = self.polygon.exterior.interpolate(along)
        return self.told(point.x), self.told(point.y)

    @property
    def medial(self) -> float:
        """Length of the medial edge."""
        return self.told(self.edges["medial"].length)

    @property
    def lateral(self) -> float:
        """Length of the lateral edge."""
        return self.told(self.edges["lateral"].length)

    @property
    def base(self) -> float:
        """From the corners of the section: where each wall meets the floor."""
        floor = [
            self.depth / math.tan(math.radians(angle)) if angle != 90 else 0.0
            for angle in (self.lateral_cut_deg, self.medial_cut_deg)
        ]
        return 2 * self.half_width - sum(floor)

    @property
    def section(self) -> float:
        """Area of the section between its corners."""
        corners = [(0, 0), (2 * self.half_width, 0), (self.base, self.depth), (0, self.depth)]
        return float(shapely.Polygon(corners).area)

    @property
    def rims(self) -> Iterator[float]:
        """How wide the rim of skin round each pit is."""
        for pit in self.plan.case.findings.pits:
            point = shapely.Point(0, pit.at)
            distance = self.told(self.polygon.exterior.distance(point))
            inside = 1 if self.polygon.contains(point) else -1
            yield inside * distance - pit.diameter / 2


def passes_verge(one: Again) -> float:
    """The straight line through the last two points of a fine axis, prolonged to level 0."""
    a = (one.cranial_apex - one.caudal_apex) / 2
    tiny = 1e-6
    before = one.offset + one.caudal_shift * (1 - tiny) ** 2
    apex = one.offset + one.caudal_shift
    return apex + (apex - before) / (a * tiny) * one.caudal_apex


# The key of each model that asks for a number, from the numbers of a plan.
KEYS: dict[str, Callable[[Again], float]] = {
    "cranial-apex-lateral": lambda one: one.half_width - (one.half_width - one.offset),
    "caudal-apex-lateral": lambda one: one.offset + one.caudal_shift,
    "reach": lambda one: one.half_width - one.offset,
    "width": lambda one: 2 * one.half_width,
    "lateral-edge": lambda one: float(one.polygon.bounds[2]),
    "widest-level": lambda one: (one.cranial_apex + one.caudal_apex) / 2,
    "length-needed": lambda one: one.plan.technique.settings.length_to_width * 2 * one.half_width,
    "verge-clearance": lambda one: math.hypot(*one.nearest),
    "passes-verge": passes_verge,
    "oblique-width": lambda one: (
        one.told(2 * one.half_width * math.sqrt(3) / 2) / (math.sqrt(3) / 2)
    ),
    "pit-rim": lambda one: min(one.rims),
    "midline-covered": lambda one: one.covered[1] - one.covered[0],
    "caudal-stretch": lambda one: one.covered[0] - one.caudal_apex,
    "excision-depth": lambda one: min(
        one.cavity_depth + one.plan.technique.settings.clearance_below_cavity, one.fascia_depth
    ),
    "base-width": lambda one: one.base,
    "section-area": lambda one: one.section / 100,
    "fat-kept": lambda one: (2 * one.half_width * one.depth - one.section) / 100,
    "upright-volume": lambda one: one.told(one.polygon.area / 100) * one.depth / 10,
    "wall-below-flap": lambda one: one.depth - one.flap_thickness,
    "recess-lateral": lambda one: one.half_width - one.offset + one.undermining,
    "edge-travel": lambda one: one.half_width,
    "deep-gap": lambda one: math.dist(
        (-one.half_width - one.undermining, one.flap_thickness), (0, one.depth)
    ),
    "skin-gap": lambda one: float(one.polygon.bounds[2] - one.polygon.bounds[0]),
    "deep-stitches": lambda one: next(
        count
        for count in range(99)
        if one.medial / (count + 1) <= one.plan.technique.settings.deep_spacing
    ),
    "scar-length": lambda one: (one.medial + one.lateral) / 2,
    "edge-mismatch": lambda one: 100 - 100 * one.lateral / one.medial,
    "paired-place": lambda one: one.lateral * 3 / 4,
}
# Keys of a plan that is drawn wrong, and of the doses: tested below.
ELSEWHERE = {
    "length-to-width", "length-missing", "stitch-spacing", "dose-mg", "dose-from-percent",
    "dose-limit", "largest-volume", "percent-of-limit", "volume-left",
}  # fmt: skip
CHOICES = {
    "side-to-choose", "openings-to-take", "pits-left-behind", "row-at-fault", "next-stitches",
    "dose-judged",
}  # fmt: skip


def test_every_model_is_worked_out_again_here() -> None:
    """No model is without an oracle of its own."""
    assert {model.model for model in MINE} == {*KEYS, *ELSEWHERE, *CHOICES}


def test_models_belong_to_the_chapter_of_their_module() -> None:
    """A topic is a chapter, and each model is registered."""
    assert all(model.topic == topic for topic, models in TOPICS.items() for model in models)
    assert all(MODELS[model.model] is model for model in MINE)


@pytest.mark.parametrize("name", SHIPPED)
def test_the_key_is_what_another_way_of_reckoning_gives(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """Keys against polygons, equations of circles and right angles."""
    right = planned[name].right
    asked = {model: ask(model, planned[name], library) for model in KEYS}
    if right is None:
        assert not any(asked.values())
        return
    again = Again(right)
    for model, question in asked.items():
        assert question is not None, model
        assert question.key.value == pytest.approx(KEYS[model](again), abs=2e-5), model


@pytest.mark.parametrize("name", SHIPPED)
def test_who_reckons_with_the_rounded_numbers_of_the_stem_is_right(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """Rounding in the stem never makes a right answer wrong."""
    right = planned[name].right
    if right is None:
        return
    told = Again(right, decimals=1)
    for model, key in KEYS.items():
        question = ask(model, planned[name], library)
        assert question is not None
        assert question.scale is not None
        answer = round(key(told) + 1e-9, question.scale.decimals)
        assert question.key.value == pytest.approx(answer, abs=question.scale.tolerance), model


@pytest.mark.parametrize("name", SHIPPED)
def test_a_drawn_outline_is_measured_as_it_is_drawn(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """Keys of what a mistake has drawn."""
    wrong = mistakes.wrong_plans(planned[name])
    if planned[name].right is None:
        assert ask("length-missing", planned[name], library) is None
        return
    short = Again(wrong["too-short"])
    _, south, _, north = short.polygon.bounds
    assert value("length-missing", planned[name], library) == pytest.approx(
        2 * (north - south) / 1.5 - (north - south), abs=1e-6
    )
    ratios = {
        round(value_of.key.value or 0.0, 6)
        for seed in range(20)
        if (value_of := ask("length-to-width", planned[name], library, str(seed)))
    }
    assert round((north - south) / short.half_width / 2, 6) in ratios
    assert len(ratios) == 3
    for seed in range(20):
        drawn = ask("length-to-width", planned[name], library, str(seed))
        assert drawn is not None
        assert drawn.scale is not None
        levels = re.findall(r"([\d.]+) mm", drawn.stem)
        low, high, wide = map(float, levels)
        told = round((high - low) / wide + 1e-9, 1)
        assert drawn.key.value == pytest.approx(told, abs=drawn.scale.tolerance)
    few = wrong["too-few-deep-stitches"]
    right_stitches = int(KEYS["deep-stitches"](Again(few)))
    assert value("stitch-spacing", planned[name], library) == pytest.approx(
        Again(few).medial / (right_stitches // 2 + 1), abs=1e-6
    )


@pytest.mark.parametrize("name", SHIPPED)
def test_doses_are_what_label_weight_and_volume_give(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """The smaller limit counts, and no volume passes it by rounding."""
    one = planned[name]
    given, weight = one.case.infiltration, one.case.patient.weight_kg
    asked = {model.model: ask(model.model, one, library) for model in infiltration.MODELS}
    if one.right is None or given is None or weight is None:
        assert not any(asked.values())
        return
    agent = one.technique.infiltration[given.agent]
    by_weight = math.inf if agent.per_kg_mg is None else agent.per_kg_mg * weight
    limit, dose = min(agent.fixed_mg, by_weight), given.volume_ml * given.concentration_mg_per_ml
    keys = {model: question.key.value for model, question in asked.items() if question}
    assert keys["dose-mg"] == keys["dose-from-percent"] == pytest.approx(dose)
    assert keys["percent-of-limit"] == pytest.approx(100 * dose / limit)
    for model, room in (("largest-volume", limit), ("volume-left", limit - dose)):
        if room > 0:
            most = keys[model]
            assert most is not None
            assert most * given.concentration_mg_per_ml <= room + 1e-9
            assert (most + 0.1) * given.concentration_mg_per_ml > room
        else:
            assert model not in keys
    assert ("dose-limit" in keys) == ("dose-judged" in keys) == math.isfinite(by_weight)
    if math.isfinite(by_weight):
        assert keys["dose-limit"] == limit
        said = asked["dose-judged"]
        assert said is not None
        fixed = "over" if dose > agent.fixed_mg else "within"
        assert said.key.text.startswith(f"{fixed} the fixed limit")
        assert (
            "over the limit by weight" in said.key.text
            if dose > by_weight
            else "within the limit by weight" in said.key.text
        )
        assert len({said.key.text, *(option.text for option in said.wrong)}) == 4
    # The label, both its limits and the strength stand in the stem.
    question = asked["percent-of-limit"]
    assert question is not None
    assert agent.name in question.stem
    assert agent.label in question.stem
    assert f"{agent.fixed_mg:g} mg" in question.stem
    assert agent.per_kg_mg is None or f"{agent.per_kg_mg:g} mg/kg" in question.stem
    # A limit that no label gives is not told as one, and nobody is left with a dose over the limit.
    taught = agent.per_kg_mg is not None and agent.per_kg_status == "common practice"
    assert ("limit by weight is usual teaching" in question.stem) == taught
    for model in ("dose-mg", "dose-from-percent", "percent-of-limit"):
        told = asked[model]
        assert told is not None
        assert ("must not be given" in told.explanation) == (dose > limit)


@pytest.mark.parametrize("name", SHIPPED)
def test_the_side_is_where_more_openings_are(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """A tie is not asked about."""
    openings = planned[name].case.findings.openings
    left = sum(one.side == "left" for one in openings)
    question = ask("side-to-choose", planned[name], library)
    if planned[name].right is None or 2 * left == len(openings):
        assert question is None
        return
    assert question is not None
    side = "left" if 2 * left > len(openings) else "right"
    assert question.key.text == f"to the {side} of the midline"


@pytest.mark.parametrize("name", SHIPPED)
def test_openings_are_taken_by_their_distance(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """Against the outline for the pits, widened by what counts as near."""
    one, question = planned[name], ask("openings-to-take", planned[name], library)
    if one.right is None or one.fitted.pits_only is None or not one.case.findings.openings:
        assert question is None
        return
    assert question is not None
    near = Again(replace(one.right, marking=one.right.marking.redrawn(
        one.fitted.pits_only, one.technique
    ))).polygon.buffer(one.technique.settings.near_opening)  # fmt: skip
    rims = [
        shapely.Point(
            opening.lateral if opening.side == one.case.flap_side else -opening.lateral, opening.at
        ).buffer(opening.diameter / 2)
        for opening in one.case.findings.openings
    ]
    taken, left = question.key.text.removeprefix("excise ").split(", leave ")
    for letter, rim in zip("ABC", rims, strict=False):
        assert (letter in taken) == near.intersects(rim)
        assert (letter in left) != near.intersects(rim)


@pytest.mark.parametrize("name", SHIPPED)
def test_pits_are_left_behind_beside_the_outline(
    name: str, planned: dict[str, CasePlan], library: Library
) -> None:
    """Against the polygon of the slid outline."""
    wrong = mistakes.wrong_plans(planned[name]).get("caudal-pit-outside")
    question = ask("pits-left-behind", planned[name], library)
    if wrong is None:
        assert question is None
        return
    assert question is not None
    polygon = Again(wrong).polygon
    inside, left = question.key.text.removeprefix("inside: ").split("; left behind: ")
    for pit in wrong.case.findings.pits:
        disc = shapely.Point(0, pit.at).buffer(pit.diameter / 2)
        assert (f"{pit.at:g} mm" in inside) == polygon.contains(disc)
        assert (f"{pit.at:g} mm" in left) != polygon.contains(disc)
    # The figure does not name the mistake.
    (picture,) = question.pictures
    assert picture.view == "question"
    assert len(picture.part) == 8


def test_wrong_answers_are_named_and_told_what_was_wrong(
    planned: dict[str, CasePlan], library: Library
) -> None:
    """A mistake's plan breaks its rules; a slip has its words."""
    for one in planned.values():
        for model in MINE:
            question = model.ask(Material(one, library, Stream("1")))
            if question is None:
                continue
            for answer in question.wrong:
                assert answer.title, (model.model, answer.mistake)
                assert "{" not in answer.title + answer.feedback, (model.model, answer.mistake)
                assert len(answer.feedback) > len(answer.title)
                if answer.mistake in NAMED:
                    (named,) = (m for m in mistakes.MISTAKES if m.mistake == answer.mistake)
                    plan = mistakes.wrong_plans(one)[answer.mistake]
                    assert rules.broken(plan) >= named.breaks
                    assert named.breaks
                else:
                    assert answer.mistake in section("items.slips")


@pytest.mark.parametrize("model", MINE, ids=lambda model: model.model)
def test_no_item_of_a_shipped_case_has_a_flaw(
    model: ItemModel, planned: dict[str, CasePlan], library: Library
) -> None:
    """Neither an error nor a warning of the linter."""
    made = [
        item
        for one in planned.values()
        for seed in SEEDS
        if (item := emit(model, Material(one, library, Stream(str(seed)))))
    ]
    assert made
    assert [flaw for item in made for flaw in lint(item)] == []
    assert not any("{" in item.stem + item.lead_in + item.explanation for item in made)


def test_no_item_of_a_generated_case_has_an_error(library: Library) -> None:
    """Over cases that nobody has written by hand."""
    made = [
        item
        for case in cases(15, seed=11)
        for one in [plan_case(case, library.techniques[case.technique])]
        for model in MINE
        if (item := emit(model, Material(one, library, Stream("7"))))
    ]
    assert {item.model for item in made} == {model.model for model in MINE}
    assert [flaw for item in made for flaw in lint(item) if flaw.level == "error"] == []


@pytest.fixture
def reference(planned: dict[str, CasePlan]) -> CasePlan:
    """The outline 120 mm long and 50 mm wide whose numbers are known, its caudal apex 30 mm above
    the verge, and a wound 20 mm deep.
    """
    return drawn(planned["ferry-deckhand"], caudal_shift=10)


def drawn(planned: CasePlan, caudal_shift: float) -> CasePlan:
    """A case whose right marking is the reference outline."""
    assert planned.right is not None
    outline = Outline(20, caudal_shift, 25, cranial_apex=150, caudal_apex=30)
    marked = planned.right.marking.redrawn(outline, planned.technique)
    plan = measure(planned.case, planned.technique, replace(marked, depth=20))
    return replace(planned, right=plan, shown=plan)


@pytest.mark.parametrize(
    ("model", "known", "within"),
    [
        ("midline-covered", 28.64 + 23.81, 0.01),  # bent axis, [derived]
        ("caudal-stretch", 60 - 23.81, 0.01),
        ("passes-verge", 30 + 2 * 10 / 60 * 30, 1e-9),
        ("scar-length", (138.77 + 129.43) / 2, 0.01),
        ("edge-mismatch", 6.7, 0.05),
        ("deep-stitches", 11, 0),
        ("upright-volume", 82.71, 0.005),
        ("section-area", 8.0, 1e-9),  # 50 x 20 less half of 20 x 20
        ("fat-kept", 2.0, 1e-9),
    ],
)
def test_known_numbers_of_the_reference_outline(
    model: str, known: float, within: float, reference: CasePlan, library: Library
) -> None:
    """The numbers of the bent outline, all derived."""
    assert value(model, reference, library) == pytest.approx(known, abs=within)


def test_the_arc_becomes_the_scar(planned: dict[str, CasePlan], library: Library) -> None:
    """[zou-2023]: the designed arc is as long as the scar; 133.44 mm at 120 by 50 mm."""
    straight = drawn(planned["ferry-deckhand"], caudal_shift=0)
    assert value("scar-length", straight, library) == pytest.approx(133.44, abs=0.005)
    # Edges of one length pair by themselves.
    assert ask("edge-mismatch", straight, library) is None
    assert ask("next-stitches", straight, library) is None
    assert ask("paired-place", straight, library) is None


def test_the_largest_volume_is_the_labels_own(
    planned: dict[str, CasePlan], library: Library
) -> None:
    """[levobupivacaine-smpc]: at most 60 ml of 2.5 mg/ml in one infiltration."""
    assert value("largest-volume", planned["tram-driver"], library) == 60.0


def test_a_tilted_camera_shortens_by_the_cosine(reference: CasePlan, library: Library) -> None:
    """50 mm look 43.301270 mm long at 30 degrees, [derived]."""
    question = ask("oblique-width", reference, library)
    assert question is not None
    (misread,) = (one for one in question.wrong if one.mistake == "oblique-misread")
    assert misread.value == pytest.approx(43.301270, abs=1e-6)
    assert question.key.value == 50
