"""What the page of an exercise is made of, as far as it takes the engine.

Made once for a case and a technique, and kept.
"""

from __future__ import annotations

from offmidline.exercise import ALL_RULES, exercise_data
from offmidline.plan import CasePlan
from offmidline.rules import judge
from offmidline.site import escape
from offmidline.site.drafts import ExerciseDraft
from offmidline.site.standing import standing


def draft_exercise(planned: CasePlan) -> ExerciseDraft | None:
    """The exercise of a planned case; None where no marking of it is right."""
    if planned.right is None:
        return None
    reasons = [
        (verdict.rule, f"{escape.text(verdict.why)} {standing(verdict.status, verdict.source)}")
        for verdict in judge(planned.right)
        if verdict.rule in ALL_RULES
    ]
    return ExerciseDraft(exercise_data(planned), reasons)
