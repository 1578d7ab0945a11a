"""The steps of the operation: which comes next, their order, where everybody stops, and how an
error is found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from offmidline import messages
from offmidline.items.item import Standing
from offmidline.items.model import Candidate, ItemModel, Material, Question, slip
from offmidline.items.shortlist import first_shortlisted
from offmidline.items.step_words import filled, phrase
from offmidline.items.stream import Stream
from offmidline.records import Phase, Step, Technique

# Phases with a chapter of their name, in the order of the operation.
PHASES: Final = (
    "preparation",
    "marking",
    "excision",
    "flap",
    "infiltration",
    "closure",
    "recovery",
)
# Those that are long enough to ask for the next of their steps, or for the order of them.
ASKED_FOR_NEXT: Final = ("preparation", "marking", "excision", "recovery")
PUT_IN_ORDER: Final = ("preparation", "marking", "excision", "flap", "closure", "recovery")
# Steps that are put in order, as many as there are up to this; common practice, no source.
ORDERED: Final = 4
# Of the other steps so many, the nearest, may stand beside the next one. Common practice, no
# source.
_NEAREST: Final = 6
# After the next step so many are still to come.
_STILL_TO_COME: Final = 2
_NEXT: Final = "next-step"
_ORDER: Final = "order-of-steps"
_CHECK: Final = "check-that-finds"
_PAUSE: Final = "pause-point"
_SAFETY: Final = "safety"

Ask = Callable[[Material], Question | None]


def _next_step(material: Material, phase: Phase) -> Question | None:
    """What follows on a step, and what is done already or comes later."""
    technique = material.planned.technique
    stream = material.stream.fork(_NEXT, phase.phase, material.planned.case.case)
    # Where nothing is left to come, the options that are done already give the key away.
    pairs = stream.shuffled(list(pairwise(phase.steps[:-_STILL_TO_COME])))
    return first_shortlisted(
        (_next_question(technique, phase, done, key) for done, key in pairs), stream
    )


def _next_question(technique: Technique, phase: Phase, done: Step, key: Step) -> Question:
    right, why = phrase(key.do, technique), filled(key.why, technique)
    at = phase.steps.index(key)
    # The step before is in the stem; that after the key would often do as well.
    places = [place for place in range(len(phase.steps)) if place not in (at - 1, at, at + 1)]
    nearest = sorted(places, key=lambda place: abs(place - at))[:_NEAREST]
    wrong = [
        slip(
            "step-behind" if place < at else "step-too-early",
            None,
            phrase(phase.steps[place].do, technique),
            right=right,
            why=why,
        )
        for place in sorted(nearest)
    ]
    return Question(
        form="text",
        stem=_say(_NEXT, "stem", phase=phase.title, done=filled(done.do, technique)),
        lead_in=_say(_NEXT, "lead_in"),
        explanation=_say(_NEXT, "explanation", why=why),
        standing=_standing(phase, key, technique),
        key=Candidate(text=right),
        wrong=tuple(wrong),
    )


def _order(material: Material, phase: Phase) -> Question | None:
    """Consecutive steps to be put in order."""
    technique = material.planned.technique
    stream = material.stream.fork(_ORDER, phase.phase, material.planned.case.case)
    start = stream.below(max(1, len(phase.steps) - ORDERED + 1))
    steps = phase.steps[start : start + ORDERED]
    entries = tuple(
        Candidate(
            text=phrase(step.do, technique),
            title=_say(_ORDER, "place", place=place),
            feedback=filled(step.why, technique),
        )
        for place, step in enumerate(steps, 1)
    )
    return Question(
        form="order",
        stem=_say(_ORDER, "stem", phase=phase.title),
        lead_in=_say(_ORDER, "lead_in"),
        explanation=_say(_ORDER, "explanation"),
        standing=_standing_of_order(phase),
        key=Candidate(),
        order=entries,
    )


def _check(material: Material, phase: Phase) -> Question | None:
    """An error, and the check that would have found it."""
    technique = material.planned.technique
    stream = material.stream.fork(_CHECK, phase.phase, material.planned.case.case)
    steps = stream.shuffled(_checked(phase.steps))
    return first_shortlisted(
        (_check_question(technique, phase, step, _others(technique, phase)) for step in steps),
        stream,
    )


def _check_question(
    technique: Technique, phase: Phase, step: Step, others: Sequence[Step]
) -> Question:
    right = phrase(step.check or "", technique)
    return Question(
        form="text",
        stem=_say(_CHECK, "stem", phase=phase.title, wrong=filled(step.wrong or "", technique)),
        lead_in=_say(_CHECK, "lead_in"),
        explanation=_say(
            _CHECK,
            "explanation",
            do=filled(step.do, technique),
            why=filled(step.why, technique),
        ),
        standing=_standing(phase, step, technique),
        key=Candidate(text=right),
        wrong=tuple(
            slip(
                "check-of-another-step",
                None,
                phrase(other.check or "", technique),
                do=phrase(other.do, technique),
                right=right,
            )
            for other in others
            if other.step != step.step
        ),
    )


def _others(technique: Technique, phase: Phase) -> list[Step]:
    """The steps whose checks stand beside the right one: of the phase; where it is short, of those
    before and after it too.
    """
    own = _offered(phase.steps)
    if len(own) >= ORDERED:
        return own
    at = technique.steps.index(phase)
    around = technique.steps[max(0, at - 1) : at + 2]
    return _offered([step for one in around for step in one.steps])


def _offered(steps: Sequence[Step]) -> list[Step]:
    """The steps with a check that can be told without the step itself."""
    pointing = _say(_CHECK, "pointing")
    return [
        step
        for step in steps
        if step.check is not None and pointing not in step.check.casefold().rstrip(".").split()
    ]


def _checked(steps: Sequence[Step]) -> list[Step]:
    """The steps with a check and an error that can be told without the step itself."""
    unclear = tuple(_say(_CHECK, "unclear").split())
    return [
        step
        for step in _offered(steps)
        if step.wrong is not None and step.wrong.partition(" ")[0] not in unclear
    ]


def _pause(material: Material) -> Question | None:
    """A pause point among steps of its phase that are done without one."""
    technique = material.planned.technique
    stream = material.stream.fork(_PAUSE, material.planned.case.case)
    return first_shortlisted(_pause_questions(technique, stream), stream)


def _pause_questions(technique: Technique, stream: Stream) -> Iterator[Question]:
    pauses = [(phase, step) for phase in technique.steps for step in phase.steps if step.pause]
    for phase, step in stream.shuffled(pauses):
        right, why = phrase(step.do, technique), filled(step.why, technique)
        yield Question(
            form="text",
            stem=_say(_PAUSE, "stem", phase=phase.title),
            lead_in=_say(_PAUSE, "lead_in"),
            explanation=_say(_PAUSE, "explanation", why=why),
            standing=_standing(phase, step, technique),
            key=Candidate(text=right),
            wrong=tuple(
                slip("step-without-pause", None, phrase(other.do, technique), right=right, why=why)
                for other in phase.steps
                if not other.pause
            ),
        )


def _standing(phase: Phase, step: Step, technique: Technique) -> Standing:
    return Standing(phase.title, filled(step.why, technique), "common practice")


def _standing_of_order(phase: Phase) -> Standing:
    """Of the order itself; each entry has its own reason beside it."""
    title = _say(_ORDER, "standing.title", phase=phase.title)
    return Standing(title, _say(_ORDER, "standing.why"), "common practice")


def _say(kind: str, key: str, /, **values: object) -> str:
    return messages.text(f"items.steps.{kind}.{key}", **values)


def _in_phase(name: str, ask: Callable[[Material, Phase], Question | None]) -> Ask:
    """The question about one phase; None where the technique has no such phase."""

    def asked(material: Material) -> Question | None:
        phases = {phase.phase: phase for phase in material.planned.technique.steps}
        return ask(material, phases[name]) if name in phases else None

    return asked


def _models(
    kind: str, phases: Sequence[str], ask: Callable[[Material, Phase], Question | None]
) -> Iterator[ItemModel]:
    """A model for each of some phases; its topic is the phase's chapter."""
    return (ItemModel(f"{kind}-{phase}", phase, _in_phase(phase, ask)) for phase in phases)


MODELS: Final[tuple[ItemModel, ...]] = (
    *_models(_NEXT, ASKED_FOR_NEXT, _next_step),
    *_models(_ORDER, PUT_IN_ORDER, _order),
    *_models(_CHECK, PHASES, _check),
    ItemModel(_PAUSE, _SAFETY, _pause),
)
