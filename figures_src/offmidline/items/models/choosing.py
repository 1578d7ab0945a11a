"""Whether to operate, and what foretells trouble."""

from __future__ import annotations

from typing import Final

from offmidline import amounts, messages
from offmidline.items.item import Picture, Standing
from offmidline.items.model import Candidate, ItemModel, Material, Question, slip
from offmidline.items.shortlist import first_shortlisted, shortlisted
from offmidline.items.vignette import history_words
from offmidline.pathway import body_mass_index, pathway
from offmidline.patient_words import patient_words
from offmidline.plan import CasePlan
from offmidline.records import Complication
from offmidline.records.complication import Factor

_TOPIC: Final = "choosing"
_WHAT: Final = "operate-or-refer"
_FORETOLD: Final = "what-foretold-it"
# What the plan of a case measures and a series after this operation looked at.
_MEASURED: Final[tuple[Factor, ...]] = ("long-outline", "low-pit", "earlier-excision")
# Only what a source found is asked for; what is usual teaching is not a finding of a series.
_SOURCED: Final = "sourced"


def _what_to_offer(material: Material) -> Question | None:
    """This operation, or somebody else; None where the disease gave no symptoms."""
    planned = material.planned
    history = planned.case.history
    if history is None or not history.symptoms_months:
        return None
    referrals = pathway(planned).referrals
    key = "refer" if referrals else "operate"
    other = "operate" if referrals else "refer"
    reasons = ", ".join(messages.text(f"site.pathway.refer.{reason}") for reason in referrals)
    values = {"reasons": reasons, "right": _say(_WHAT, key)}
    question = Question(
        form="text",
        stem=_say(
            _WHAT,
            "stem",
            patient=patient_words(planned.case.patient, planned.case.patient.occupation),
            history=history_words(history),
            index=_index(planned),
            marking=_marking(planned),
        ),
        lead_in=_say(_WHAT, "lead_in"),
        explanation=_say(_WHAT, f"because_{key}", **values),
        standing=Standing(_say(_WHAT, "title"), _say(_WHAT, "why"), "common practice"),
        key=Candidate(text=values["right"]),
        wrong=tuple(
            slip(f"{name}-instead", None, _say(_WHAT, name), **values)
            for name in (other, "leave", "midline", "drain")
        ),
        pictures=(Picture("findings"),),
    )
    return shortlisted(question, material.stream.fork(_WHAT, planned.case.case))


def _index(planned: CasePlan) -> str:
    index = body_mass_index(planned.case.patient)
    return "" if index is None else _say(_WHAT, "index", index=amounts.rounded(index))


def _marking(planned: CasePlan) -> str:
    """Whether a marking fits, told by the nearest miss of what cannot be had together."""
    if planned.right is not None:
        return _say(_WHAT, "fits")
    misses = [
        _say(
            _WHAT,
            "miss",
            constraint=messages.text(
                f"conflicts.{one.constraint}",
                at="" if one.at is None else amounts.rounded(one.at),
            ),
            asked=_amount(one.constraint, one.required),
            nearest=_amount(one.constraint, one.nearest),
        )
        for one in planned.conflicts
        if one.nearest is not None
    ]
    return _say(_WHAT, "conflict", misses="; ".join(misses))


def _amount(constraint: str, value: float) -> str:
    return amounts.ratio(value) if constraint == "length_to_width" else amounts.millimetres(value)


def _what_foretold(material: Material) -> Question | None:
    """Which measure of a case foretold a complication in the series that looked at all of them."""
    planned = material.planned
    stream = material.stream.fork(_FORETOLD, planned.case.case)
    measures = _measures(planned)
    if measures is None:
        return None
    asked = [
        (one, raised[0])
        for one in material.library.complications.values()
        if len(raised := _foretelling(one)) == 1
    ]
    questions = (
        _foretold_question(material, one, factor, measures)
        for one, factor in stream.shuffled(asked)
    )
    return first_shortlisted(questions, stream)


def _foretelling(one: Complication) -> list[Factor]:
    """Which of the measured factors a source says to make a complication likelier."""
    found = {raised.factor for raised in one.raised_by if raised.status == _SOURCED}
    return [factor for factor in _MEASURED if factor in found]


def _foretold_question(
    material: Material, one: Complication, right: Factor, measures: dict[Factor, str]
) -> Question:
    raised = next(raised for raised in one.raised_by if raised.factor == right)
    case = material.planned.case
    return Question(
        form="text",
        stem=_say(_FORETOLD, "stem", patient=patient_words(case.patient, case.patient.occupation)),
        lead_in=_say(_FORETOLD, "lead_in", title=one.title.lower()),
        explanation=_say(
            _FORETOLD,
            "explanation",
            title=one.title,
            measure=measures[right],
            says=raised.says or "",
        ),
        standing=Standing(one.title, raised.says or "", raised.status, raised.source),
        key=Candidate(text=measures[right]),
        wrong=tuple(
            slip(
                "foretells-something-else",
                None,
                measures[factor],
                measure=measures[factor],
                foretold=_foretold_by(material, factor),
                right=measures[right],
            )
            for factor in _MEASURED
            if factor != right
        ),
    )


def _foretold_by(material: Material, factor: Factor) -> str:
    """The complications that a factor makes likelier, by a source."""
    return ", ".join(
        one.title
        for one in material.library.complications.values()
        if any(r.factor == factor and r.status == _SOURCED for r in one.raised_by)
    )


def _measures(planned: CasePlan) -> dict[Factor, str] | None:
    """What a case shows of each factor; None without a marking or a history."""
    history, right = planned.case.history, planned.right
    if right is None or history is None or history.excised is None:
        return None
    lowest = min(pit.at for pit in planned.case.findings.pits)
    return {
        "long-outline": _say(_FORETOLD, "length", length=amounts.millimetres(right.outline.length)),
        "low-pit": _say(_FORETOLD, "lowest", lowest=amounts.millimetres(lowest)),
        "earlier-excision": _say(_FORETOLD, "excised", count=history.excised),
    }


def _say(model: str, key: str, /, **values: object) -> str:
    return messages.text(f"items.models.{model}.{key}", **values)


MODELS: Final[tuple[ItemModel, ...]] = (
    ItemModel(_WHAT, _TOPIC, _what_to_offer),
    ItemModel(_FORETOLD, _TOPIC, _what_foretold),
)
