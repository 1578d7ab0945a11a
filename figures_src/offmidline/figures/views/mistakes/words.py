"""What is said about a mistake's picture: title, description and caption, from both plans."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from offmidline import messages
from offmidline.figures.scene.dose_words import arithmetic, limit_lines, reservations
from offmidline.figures.scene.plan_words import told
from offmidline.figures.scene.stitches import stitches
from offmidline.figures.views.mistakes.pair import Pair, verdict_words
from offmidline.figures.words import Words, isolated, number, say
from offmidline.plan import CasePlan, Plan
from offmidline.variants import Picture


def mistake_words(planned: CasePlan, shown: Pair) -> Words:
    """Title, description and caption of the picture of a mistake."""
    broken = [verdict_words(verdict) for verdict in shown.broken]
    tell = _TOLD[shown.picture]
    return Words(
        title=say("mistakes.title", mistake=shown.title, case=isolated(planned.case.title)),
        description=say(
            f"mistakes.description_{shown.picture}",
            mistake=shown.title,
            feedback=messages.text(f"mistakes.{shown.mistake.mistake}.feedback"),
            right=tell(shown.right),
            wrong=tell(shown.wrong),
            limits=" ".join([*limit_lines(shown.right), *reservations(shown.right)]),
            broken=" ".join(f"{line}." for line in broken),
        ),
        caption=say(f"mistakes.caption_{shown.picture}", mistake=shown.title, broken=broken[0]),
    )


def _marking(plan: Plan) -> str:
    return say("mistakes.marking", **told(plan))


def _section(plan: Plan) -> str:
    marking = plan.marking
    return say(
        "mistakes.section",
        depth=number(marking.depth),
        lateral=number(marking.lateral_cut_deg),
        medial=number(marking.medial_cut_deg),
        thickness=number(marking.flap_thickness),
        undermining=number(marking.undermining),
    )


def _closure(plan: Plan) -> str:
    row = plan.deep_row
    return say("mistakes.closure", stitches=stitches(row.stitches), spacing=number(row.spacing))


def _dose(plan: Plan) -> str:
    *product, share = arithmetic(plan)
    return say("mistakes.dose", sum=" ".join(product), share=share)


_TOLD: Final[Mapping[Picture, Callable[[Plan], str]]] = {
    "surface": _marking,
    "section": _section,
    "closure": _closure,
    "dose": _dose,
}
