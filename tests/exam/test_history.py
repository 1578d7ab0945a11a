"""The history of a paper's questions."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from tests.exam.papers import paper

from offmidline.exam.history import histories
from offmidline.records.paper import Sitting

MODELS = ("first", "second", "third")
SITTINGS = st.lists(
    st.integers(1, 200).flatmap(
        lambda people: st.tuples(st.sampled_from(MODELS), st.just(people), st.integers(0, people))
    ),
    max_size=8,
)


@given(SITTINGS)
def test_sittings_are_pooled_by_model(noted: list[tuple[str, int, int]]) -> None:
    """Every sitting belongs to its model; the pooled share is that of all its candidates."""
    rows = [
        Sitting.model_construct(sitting=str(at), model=model, candidates=people, right=right)
        for at, (model, people, right) in enumerate(noted)
    ]
    found = histories(paper(("marking", "choice", 1), history=tuple(rows)))
    assert [one for history in found for one in history.sittings] == sorted(
        rows, key=lambda row: [history.model for history in found].index(row.model)
    )
    for history in found:
        people = sum(count for model, count, _ in noted if model == history.model)
        right = sum(count for model, _, count in noted if model == history.model)
        ends = binomtest(right, people).proportion_ci(method="wilson")
        assert history.pooled.value == right / people
        assert abs(history.pooled.low - ends.low) < 1e-9
        assert abs(history.pooled.high - ends.high) < 1e-9
