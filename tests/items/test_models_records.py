"""Items about drawn markings, steps, complications, grades and the choice to operate: every key is
found again from the records' own texts and numbers, by another way than the models take.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely
import yaml
from tests.generated import SCENARIOS
from tests.strategies import a_case, a_technique, library, shipped_plans

from offmidline import messages
from offmidline.figures.views.question import candidates
from offmidline.items.emit import emit
from offmidline.items.item import Item, Picture
from offmidline.items.lint import lint
from offmidline.items.model import Material
from offmidline.items.models import MODELS, choosing, complications, faults, grading, steps
from offmidline.items.stream import Stream
from offmidline.mistakes import MISTAKES, wrong_plans
from offmidline.plan import CasePlan, Plan, plan_case
from offmidline.records import Complication, Grading
from offmidline.records.grading import Answer
from offmidline.rules import broken

MINE = [m for topic in (choosing, complications, faults, grading, steps) for m in topic.MODELS]
SEEDS = range(1, 4)
HANDBOOK = Path(__file__).resolve().parents[2] / "handbook"
WITHOUT_MARKING = {"rowing-coach"}
NEED_A_MARKING = {"fault-in-marking", "right-drawing", "what-foretold-it"}


@cache
def items(model: str) -> tuple[tuple[CasePlan, Item], ...]:
    """The items of a model over all shipped cases and some seeds, with their cases."""
    made = (
        (planned, emit(MODELS[model], Material(planned, library(), Stream(seed))))
        for planned in shipped_plans()
        for seed in SEEDS
    )
    return tuple((planned, item) for planned, item in made if item is not None)


def every(prefix: str) -> Iterator[tuple[CasePlan, Item]]:
    """The items of all models whose name begins so."""
    for model in MINE:
        if model.model.startswith(prefix):
            yield from items(model.model)


def key(item: Item) -> str:
    """The text of the right option."""
    return item.options[item.key].text


def wrong(item: Item) -> list[str]:
    """The texts of the wrong options."""
    return [one.text for one in item.options if not one.right]


@pytest.mark.parametrize("model", [m.model for m in MINE])
def test_every_case_that_can_be_asked_is_asked_and_nothing_is_badly_written(model):
    """No flaw and no warning; only what needs a marking is silent where there is none."""
    silent = WITHOUT_MARKING if model in NEED_A_MARKING else set()
    cases = {planned.case.case for planned, _ in items(model)}
    assert cases == {planned.case.case for planned in shipped_plans()} - silent
    for _, item in items(model):
        assert lint(item) == ()
        texts = (item.stem, item.lead_in, item.explanation, *(o.text for o in item.options))
        assert not any("{" in text or "  " in text for text in texts)
        assert (HANDBOOK / f"{item.topic}.md").is_file()
        # Where a number is typed, two slips may come to the same number.
        if item.numeric is None:
            assert all(
                option.title and option.feedback for option in item.options if option.mistake
            )


def test_the_same_seed_asks_the_same_and_another_one_something_else():
    """Chance decides which record is asked about, and nothing else does."""
    planned = shipped_plans()[0]
    for model in MINE:
        again = [emit(model, Material(planned, library(), Stream(seed))) for seed in (1, 1)]
        assert again[0] == again[1]
        if again[0] is not None:
            assert len({item.ident for _, item in items(model.model)}) > 1


# --- drawn markings


def code(case: str, mistake: str) -> str:
    """What a picture of a marking is called."""
    return hashlib.sha256(f"{case}:{mistake}".encode()).hexdigest()[:8]


def ring(plan: Plan, count: int = 80) -> shapely.LinearRing:
    """The outline from its five numbers: two arcs, bent with the axis (geometry of the project)."""
    o = plan.outline
    half, middle = (o.cranial_apex - o.caudal_apex) / 2, (o.cranial_apex + o.caudal_apex) / 2
    radius = (half**2 + o.half_width**2) / (2 * o.half_width)
    y = np.linspace(o.caudal_apex, o.cranial_apex, count)
    axis = o.offset + o.caudal_shift * np.maximum(0.0, (middle - y) / half) ** 2
    bulge = np.sqrt(radius**2 - (y - middle) ** 2) - (radius - o.half_width)
    lateral, medial = axis + bulge, axis - bulge
    xs = np.concatenate([lateral, medial[-2:0:-1]])
    ys = np.concatenate([y, y[-2:0:-1]])
    return shapely.LinearRing(np.column_stack([xs, ys]))


def openings_inside(plan: Plan) -> list[bool]:
    """Which openings lie inside the outline with their whole rim."""
    area, side = shapely.Polygon(ring(plan)), plan.marking.side
    return [
        area.contains(
            shapely.Point(one.lateral if one.side == side else -one.lateral, one.at).buffer(
                one.diameter / 2
            )
        )
        for one in plan.case.findings.openings
    ]


def test_the_fault_is_the_one_mistake_that_accounts_for_the_drawing():
    """The picture is that of the key; what it breaks is named by no other title that is offered."""
    by_title = {messages.text(f"mistakes.{m.mistake}.title"): m for m in MISTAKES}
    for planned, item in items("fault-in-marking"):
        named, plans = by_title[key(item)], wrong_plans(planned)
        assert item.pictures == (Picture("question", code(item.case, named.mistake)),)
        assert item.pictures[0].part in candidates(planned)
        found = broken(plans[named.mistake])
        assert named.breaks <= found <= named.breaks | named.may_break
        for title in wrong(item):
            assert not by_title[title].breaks & found
            assert by_title[title].mistake in plans
        assert [o.mistake for o in item.options] == [
            "" if o.right else by_title[o.text].mistake for o in item.options
        ]


def test_what_a_named_fault_means_is_seen_on_the_outline():
    """Some titles are checked by hand on the numbers of the drawing that the stem shows."""
    seen = set()
    for planned, item in items("fault-in-marking"):
        (name,) = (n for n in wrong_plans(planned) if code(item.case, n) == item.pictures[0].part)
        plan, settings = wrong_plans(planned)[name], planned.technique.settings
        pits = planned.case.findings.pits
        area = shapely.Polygon(ring(plan))
        inside = [area.contains(shapely.Point(0, pit.at).buffer(pit.diameter / 2)) for pit in pits]
        truth = {
            "centred-on-midline": plan.outline.offset == 0,
            "caudal-shift-forgotten": plan.outline.caudal_shift == 0,
            "caudal-shift-towards-midline": plan.outline.caudal_shift < 0,
            "caudal-pit-outside": not all(inside),
            "reach-missing": plan.outline.half_width <= plan.outline.offset + 1e-9,
            "wrong-side": plan.marking.side != planned.case.flap_side,
            "too-short": plan.outline.length < settings.length_to_width * plan.outline.width,
            "oblique-misread": math.isclose(
                plan.outline.offset, settings.offset * math.cos(math.radians(30))
            ),
        }
        assert truth.get(name, True), name
        seen.add(name)
    assert len(seen & set(truth)) >= 5


def test_the_right_drawing_is_the_only_right_one_and_all_are_told_apart():
    """The key breaks no rule, each other picture does, and no two look alike."""
    for planned, item in items("right-drawing"):
        assert planned.right is not None
        plans = {code(item.case, name): plan for name, plan in wrong_plans(planned).items()}
        plans[code(item.case, "right")] = planned.right
        shown = [option.picture for option in item.options]
        assert all(picture is not None and picture.view == "choice" for picture in shown)
        parts = [picture.part for picture in shown if picture is not None]
        assert set(parts) <= set(candidates(planned))
        assert [not broken(plans[part]) for part in parts] == [o.right for o in item.options]
        for at, one in enumerate(parts):
            for other in parts[at + 1 :]:
                here, there = plans[one], plans[other]
                apart = shapely.hausdorff_distance(ring(here), ring(there))
                assert (
                    apart >= faults.VISIBLY_APART - 0.05
                    or here.marking.side != there.marking.side
                    or openings_inside(here) != openings_inside(there)
                )


# --- steps


@lru_cache(maxsize=1)
def raw_steps() -> dict[str, list[dict[str, str]]]:
    """The steps of the shipped technique as they stand in its file, by phase."""
    path = SCENARIOS / "techniques" / "off-midline-flap.yml"
    data = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)  # noqa: S506 - text only
    values = {name: one["value"].replace(" deg", "°") for name, one in data["dimensions"].items()}

    def filled(text: str) -> str:
        return re.sub(r"\{\{ (\w+) \}\}", lambda found: values[found[1]], text)

    return {
        phase["phase"]: [{k: filled(v) for k, v in step.items()} for step in phase["steps"]]
        for phase in data["steps"]
    }


def place(text: str, phase: str, field: str = "do") -> int:
    """Where in its phase the step stands that says this, with or without its full stop."""
    found = [
        at
        for at, step in enumerate(raw_steps()[phase])
        if step.get(field, "").removesuffix(".") == text.removesuffix(".")
    ]
    (at,) = found
    return at


def test_the_next_step_is_the_one_after_what_was_done():
    """The key stands directly behind the step of the stem; what is called too early comes later."""
    for _, item in every("next-step-"):
        phase = item.topic
        done = place(item.stem.partition("just been done: ")[2], phase)
        assert place(key(item), phase) == done + 1
        for option in item.options:
            at = place(option.text, phase)
            if not option.right:
                assert option.mistake == ("step-behind" if at < done else "step-too-early")
                assert at != done + 2


def test_steps_to_be_ordered_stand_in_the_order_of_the_list():
    """The right order is that of the technique's file without a gap, and another one is shown."""
    for _, item in every("order-of-steps-"):
        at = [place(option.text, item.topic) for option in item.options]
        assert at == list(range(at[0], at[0] + len(at)))
        assert sorted(item.shown) == list(range(len(at))) != list(item.shown)
        # What the order stands on is not what one of its steps is done for.
        assert item.standing.why not in {option.feedback for option in item.options}


def test_the_check_is_that_of_the_step_that_went_wrong():
    """Key and stem belong to one step of the phase."""
    for _, item in every("check-that-finds-"):
        went_wrong = item.stem.partition("This went wrong: ")[2]
        assert place(went_wrong, item.topic, "wrong") == place(key(item), item.topic, "check")
        (step,) = (s for s in raw_steps()[item.topic] if s.get("wrong") == went_wrong)
        assert step["check"].removesuffix(".") not in wrong(item)
        assert not any(text.endswith(" it") or text.startswith("It ") for text in wrong(item))


def test_the_checks_beside_the_right_one_are_of_steps_about_the_same_time():
    """Of the phase itself or of the ones next to it, in the order of the technique's file."""
    phases = list(raw_steps())
    of_phase = {
        step["check"].removesuffix("."): phases.index(phase)
        for phase, own in raw_steps().items()
        for step in own
        if "check" in step
    }
    for _, item in every("check-that-finds-"):
        at = phases.index(item.topic)
        assert all(abs(of_phase[option.text] - at) <= 1 for option in item.options)


def test_everybody_stops_at_the_key_alone():
    """In the technique's file the key is a pause point, and the other options are none."""
    pauses = {
        step["do"].removesuffix("."): step.get("pause") == "true"
        for phase in raw_steps().values()
        for step in phase
    }
    for _, item in items("pause-point"):
        assert [pauses[option.text] for option in item.options] == [o.right for o in item.options]


def test_a_dimension_of_the_technique_stands_in_its_steps():
    """Another offset is asked for in another number, without a word being changed."""
    planned = plan_case(a_case(), a_technique(offset="23 mm"))
    texts = []
    for seed in range(1, 9):
        item = emit(MODELS["order-of-steps-marking"], Material(planned, library(), Stream(seed)))
        assert item is not None
        texts += [option.text for option in item.options]
    drawn = [text for text in texts if text.startswith("Draw the new midline")]
    assert drawn
    assert all("23 mm" in text for text in drawn)


# --- complications

# Months in a unit: a year is 365.25 days.
MONTHS = {"minute": 1 / 43830, "hour": 1 / 730.5, "day": 12 / 365.25, "week": 84 / 365.25}


def months_ago(item: Item) -> float:
    """The time after the operation that a stem tells, in months."""
    found = re.search(r"\bwas (\d+) (minute|hour|day|week|month|year)s? ago", item.stem)
    assert found is not None
    return int(found[1]) * {**MONTHS, "month": 1.0, "year": 12.0}[found[2]]


def inside(one: Complication, months: float) -> bool:
    """Whether a time lies in a complication's window."""
    late = one.window.end is not None and months > one.window.end + 1e-9
    return months >= one.window.start - 1e-9 and not late


def told(item: Item) -> set[tuple[str, str]]:
    """The signs that a stem tells: what each is, and how it shows itself."""
    titles = messages.section("site.signs")
    every_sign = {(s.sign, s.says) for c in library().complications.values() for s in c.signs}
    return {(sign, says) for sign, says in every_sign if f"{titles[sign]} ({says})" in item.stem}


def spoken_for(item: Item) -> Complication:
    """The one complication whose window and signs hold all that a stem tells."""
    at, signs = months_ago(item), {sign for sign, _ in told(item)}
    assert signs
    (one,) = (
        one
        for one in library().complications.values()
        if inside(one, at) and signs <= {sign.sign for sign in one.signs}
    )
    return one


def test_time_and_signs_speak_for_the_key_alone():
    """Only one complication fits what is told, and it is the key."""
    seen = set()
    for _, item in items("complication-from-signs"):
        assert key(item) == spoken_for(item).title
        assert 1 <= len(told(item)) <= complications.MOST_SIGNS
        seen.add(key(item))
    assert len(seen) >= 6


def test_what_two_complications_share_is_not_asked_for():
    """With a twin of the haematoma in the records, nothing speaks for one of the two alone."""
    one = library().complications["haematoma"]
    twin = one.model_copy(update={"complication": "twin", "title": "Twin"})
    records = replace(library(), complications={**library().complications, "twin": twin})
    for model in ("complication-from-signs", "first-measure"):
        for seed in range(1, 31):
            item = emit(MODELS[model], Material(shipped_plans()[0], records, Stream(seed)))
            assert item is not None
            assert key(item) not in (one.title, twin.title)
            assert not one.first.startswith(key(item))


def test_what_is_done_first_belongs_to_the_complication_described():
    """The key begins that complication's record, and each other option that of another one."""
    for _, item in items("first-measure"):
        right = spoken_for(item)
        assert right.first.startswith(key(item))
        assert right.first in item.explanation
        assert (right.danger or "") in item.explanation
        for text in wrong(item):
            others = [o for o in library().complications.values() if o.first.startswith(text)]
            assert others
            assert right not in others
            # What helps against something that is seen here too would be right as well.
            signs = {sign.sign for other in others for sign in other.signs}
            assert not signs & {sign for sign, _ in told(item)}
        assert not any("local protocol" in option.text for option in item.options)


def test_the_time_of_a_poisoning_runs_from_the_injection():
    """The operation may not be over when it shows itself; all else is told from the operation."""
    seen = set()
    for model in ("complication-from-signs", "first-measure", "call-or-usual"):
        for _, item in items(model):
            poisoned = "numb tongue" in item.stem
            assert ("first injection" in item.stem) == poisoned
            assert ("The operation was" in item.stem) != poisoned
            seen.add(poisoned)
    assert seen == {True, False}


def test_the_reason_to_call_is_that_of_the_complication_and_the_rest_is_usual():
    """The key is why that complication escalates; the others are usual at that time."""
    for _, item in items("call-or-usual"):
        (right,) = (
            o for o in library().complications.values() if f"looked after: {o.title}." in item.stem
        )
        assert right.escalate.startswith(key(item))
        assert right.to in item.lead_in
        assert inside(right, months_ago(item))
        for text in wrong(item):
            assert any(
                o.normal.startswith(text) and inside(o, months_ago(item))
                for o in library().complications.values()
            )


# --- grades and scores


def said(answer: Answer) -> str:
    """An answer without what else it is for."""
    return answer.title.split(";")[0]


def graded(system: Grading, stem: str) -> str:
    """The grade to which the answers in a stem lead, question after question."""
    at = system.start
    while at is not None:
        (question,) = (one for one in system.questions if one.question == at)
        (answer,) = (one for one in question.answers if f"{question.ask} {said(one)}." in stem)
        if answer.grade is not None:
            return answer.grade
        at = answer.next
    raise AssertionError("the answers lead nowhere")


@pytest.mark.parametrize(
    ("model", "name"), [("wound-grade", "southampton"), ("treatment-grade", "clavien-dindo")]
)
def test_the_grade_is_the_one_to_which_the_answers_lead(model, name):
    """The way of answers is walked again from the stem's own words."""
    for _, item in items(model):
        grade = graded(library().gradings[name], item.stem)
        assert key(item) == f"Grade {grade}"
        assert len(set(wrong(item)) - {key(item)}) == len(wrong(item)) >= 2


# What a treatment counts as in that grading, as published [clavien-dindo-2004].
BY_TREATMENT = {
    "under general anaesthesia": "IIIb",
    "under local": "IIIa",
    "one organ fails": "IVa",
    "several organs fail": "IVb",
    "antibiotic was given": "II",
    "treated with drugs": "II",
}


def test_a_treated_complication_has_the_grade_of_its_treatment():
    """A stem that says how it was treated is graded as the publication does, else it is grade I."""
    for _, item in items("grade-of-complication"):
        how = item.stem.partition("What decides the grade: ")[2]
        grades = [grade for words, grade in BY_TREATMENT.items() if words in how]
        assert key(item) == f"Grade {(grades or ['I'])[0]}"
        # The stem neither says a grade nor tells the treatment in the words of one.
        assert "grade I" not in how
        assert f": {how}" not in item.explanation


# Points by what a stem says, as published [chung-1995].
FIT_POINTS = {
    "Within 20 % of before the operation": 2,
    "20 to 40 % off": 1,
    "More than 40 % off": 0,
    "Steady": 2,
    "Steady with help": 1,
    "Not possible or giddy": 0,
    "None or slight": 2,
    "Moderate": 1,
    "Moderate, or treated": 1,
    "Severe": 0,
    "Severe, despite treatment": 0,
}
# Points of a daily share, and of what was done, as published [asepsis-table-2006].
DAILY_POINTS = {"Serous discharge": 1, "Redness": 1, "Pus": 2, "Separation of deep tissues": 2}
SHARES = ["none", "less than 20 %", "20 to 39 %", "40 to 59 %", "60 to 79 %", "80 % or more"]
DONE_POINTS = {
    "Antibiotics given for the wound": 10,
    "Pus drained under local anaesthesia": 5,
    "Wound cleaned out under general anaesthesia": 10,
    "Bacteria isolated": 10,
    "Stay in hospital longer than 14 days": 5,
}


def test_the_sum_of_the_discharge_score_is_that_of_the_published_points():
    """Five findings, 0 to 2 points each; the slips are the sums that they say they are."""
    parts = [part.title for part in library().gradings["discharge-score"].parts]
    for _, item in items("score-sum"):
        found = [re.search(rf"{part}: (.+?)\.(?= |$)", item.stem) for part in parts]
        points = [FIT_POINTS[one[1]] for one in found if one is not None]
        assert len(points) == len(parts)
        numeric = item.numeric
        assert numeric is not None
        assert numeric.value == sum(points)
        assert numeric.why == "The exact number is asked."
        values = {slip.mistake: slip.value for slip in numeric.slips}
        expected = {
            "part-left-out": sum(points) - max(points),
            "counted-from-wrong-end": 10 - sum(points),
        }
        assert all(expected[name] == value for name, value in values.items())


def test_the_sum_of_the_daily_score_is_that_of_the_published_points():
    """Five days are added, what was done counts once; the slips are what they say they are."""
    for _, item in items("daily-score-sum"):
        days = np.zeros(5)
        for part, factor in DAILY_POINTS.items():
            found = re.search(rf"{part}: (.+?)\.(?= |$)", item.stem)
            assert found is not None
            shares = [share.rpartition(" (")[0] for share in found[1].split("; ")]
            days += [factor * SHARES.index(share) for share in shares]
        done = sum(points for what, points in DONE_POINTS.items() if f"{what}: Yes" in item.stem)
        numeric = item.numeric
        assert numeric is not None
        assert numeric.value == days.sum() + done
        expected = {
            "worst-day-only": days.max() + done,
            "treatment-left-out": days.sum(),
            "treatment-counted-daily": days.sum() + 5 * done,
        }
        assert {slip.mistake for slip in numeric.slips} <= set(expected)
        assert all(slip.value == expected[slip.mistake] for slip in numeric.slips)


# --- choosing

REFER, OPERATE = "Referral to a surgeon who does other flaps", "This operation, set beside"
HISTORY = {"symptoms": "8 months", "drained": "1", "excised": "0"}


@pytest.mark.parametrize("planned", shipped_plans(), ids=lambda planned: planned.case.case)
def test_only_who_cannot_be_marked_is_referred_among_the_shipped(planned):
    """The pit of one case lies too low; the others have no reason to be sent on."""
    item = emit(MODELS["operate-or-refer"], Material(planned, library(), Stream(1)))
    assert item is not None
    expected = REFER if planned.case.case in WITHOUT_MARKING else OPERATE
    assert key(item).startswith(expected)
    assert len(item.options) == 5


@pytest.mark.parametrize(
    ("patient", "history", "expected"),
    [
        ({}, {}, OPERATE),
        ({"asa": "3"}, {}, REFER),
        ({"asa": "2"}, {}, OPERATE),
        ({"weight": "130 kg", "height": "180 cm"}, {}, REFER),  # 40.1 kg/m2
        ({"weight": "129 kg", "height": "180 cm"}, {}, OPERATE),  # 39.8 kg/m2
        ({}, {"excised": "3"}, REFER),
        ({}, {"excised": "2"}, OPERATE),
    ],
)
def test_each_reason_to_refer_turns_the_key(patient, history, expected):
    """Risk class, body mass and earlier excisions, each on both sides of its limit."""
    who = {"age": "30 years", "sex": "male", "weight": "80 kg", **patient}
    planned = plan_case(a_case(patient=who, history={**HISTORY, **history}), a_technique())
    item = emit(MODELS["operate-or-refer"], Material(planned, library(), Stream(1)))
    assert item is not None
    assert key(item).startswith(expected)


@pytest.mark.parametrize("history", [None, {"drained": "1"}])
def test_without_symptoms_known_nobody_is_asked_whether_to_operate(history):
    """Disease without symptoms is left alone, so that the question would have another key."""
    planned = plan_case(a_case(history=history), a_technique())
    assert emit(MODELS["operate-or-refer"], Material(planned, library(), Stream(1))) is None


def test_what_foretold_a_complication_is_what_the_series_found():
    """Distance of the lowest pit: the skin opens; length: infection and recurrence
    [kf-risk-2016]. The numbers are those of the case.
    """
    seen = set()
    for planned, item in items("what-foretold-it"):
        asked = item.lead_in.partition("series: ")[2].removesuffix("?")
        lowest = min(pit.at for pit in planned.case.findings.pits)
        assert planned.right is not None
        outline = planned.right.outline
        length = round(outline.cranial_apex - outline.caudal_apex, 1)
        piece = f"length of the excised piece ({length:g} mm)"
        expected = {
            "partial opening of the wound": f"lowest pit above the anal verge ({lowest:g} mm)",
            "superficial infection": piece,
            "recurrence": piece,
        }
        assert key(item) == expected[asked]
        assert "kf-risk-2016" in item.standing.source
        seen.add(asked)
    assert seen == set(expected)
