"""Marks: what counts, what it stands for, and which forms go together."""

from __future__ import annotations

from dataclasses import replace

from tests.exam.cohort import choice, choices, form, ordered, sheet, typed

from offmidline.exam.families import families
from offmidline.exam.item_statistics import item_statistics
from offmidline.exam.marks import UNANSWERED, marks_of
from offmidline.exam.misunderstood import by_model, misunderstandings
from offmidline.exam.responses import Sheet

MIXED = {"A": form([choice(1, "B"), typed(2), ordered(3)])}


def test_every_kind_is_judged_and_named() -> None:
    """Right, a named mistake, an unknown number, a wrong order, and nothing."""
    (marks,) = marks_of(
        [
            Sheet("1", "A", (1, "20.5", (0, 1, 2, 3))),
            Sheet("2", "A", (0, "40,2", (0, 2, 1, 3))),
            Sheet("3", "A", (3, "33", (3, 1, 2, 0))),
            Sheet("4", "A", (None, None, None)),
        ],
        MIXED,
    )
    assert marks.right.tolist() == [[True] * 3, [False] * 3, [False] * 3, [False] * 3]
    meant = [
        [marks.asked[at].meanings[place].text for at, place in enumerate(row)]
        for row in marks.given[:3].tolist()
    ]
    assert meant == [
        ["text B", "20 mm", "the right order"],
        ["text A", "40 mm", "first out of place: second"],
        ["text D", "another number", "first out of place: first"],
    ]
    assert marks.given[3].tolist() == [UNANSWERED] * 3
    assert marks.totals.tolist() == [3, 0, 0, 0]


def test_forms_of_the_same_questions_go_together() -> None:
    """Questions and options in another order: what was chosen is the same, whatever its letter."""
    first, second = choice(1, "B"), choice(2, "A")
    turned = replace(first, options=first.options[::-1], ident="other")
    forms = {"A": form([first, second], "A"), "B": form([second, turned], "B")}
    (marks,) = marks_of([sheet(1, "BC", "A"), sheet(2, "CC", "B"), sheet(3, "AD", "B")], forms)
    assert marks.forms == ("A", "B")
    assert marks.asked[0].named == ("A Q1", "B Q2")
    # Letter C of the turned question is text B, the key; D is text A.
    assert marks.right.tolist() == [[True, False], [True, False], [False, True]]
    chosen = [marks.asked[0].meanings[place].text for place in marks.given[:, 0].tolist()]
    assert chosen == ["text B", "text B", "text A"]


def test_forms_of_other_questions_are_groups_of_their_own() -> None:
    """Each with its candidates; a form that nobody sat is left out."""
    forms = {
        "A": choices("BA"),
        "B": form([choice(1, "B"), choice(3, "A")], "B"),
        "C": form([choice(9, "B")], "C"),
    }
    found = marks_of([sheet(1, "BA", "A"), sheet(2, "BA", "B"), sheet(3, "BB", "A")], forms)
    assert [(marks.forms, marks.candidates) for marks in found] == [
        (("A",), ("1", "3")),
        (("B",), ("2",)),
    ]


def test_mistakes_are_counted_over_the_paper() -> None:
    """Two answers of one candidate for one mistake are two answers and one candidate."""
    forms = {"A": form([choice(1, "B"), choice(2, "B", model="reach"), typed(3)])}
    sheets = [
        Sheet("1", "A", (0, 0, "40")),
        Sheet("2", "A", (0, 1, "20")),
        Sheet("3", "A", (1, 1, None)),
    ]
    found = {one.mistake: one for one in misunderstandings(marks_of(sheets, forms))}
    assert {name: (one.answers, one.people, one.met) for name, one in found.items()} == {
        "slip-a": (3, 2, 3),
        "doubled": (1, 1, 3),
    }
    assert found["doubled"].title == "Doubled"
    split = {(one.model, one.mistake): one.answers for one in by_model(marks_of(sheets, forms))}
    assert split == {
        ("caudal-apex-lateral", "slip-a"): 2,
        ("reach", "slip-a"): 1,
        ("width", "doubled"): 1,
    }


def test_a_mistake_is_met_only_where_a_form_has_it() -> None:
    """Candidates of a form without it do not count among those who could make it."""
    forms = {"A": choices("B"), "B": form([typed(1)], "B")}
    sheets = [sheet(1, "A"), sheet(2, "B"), Sheet("3", "B", ("40",))]
    found = {one.mistake: one.met for one in misunderstandings(marks_of(sheets, forms))}
    assert found == {"slip-a": 2, "doubled": 1}


def test_variants_of_a_family_are_brought_together() -> None:
    """Two forms ask one family with other numbers: 3 of 4 right, and far apart."""
    variant = replace(choice(1, "B"), stem="Another number.")
    forms = {"A": form([choice(1, "B")], "A"), "B": form([variant], "B")}
    sheets = [sheet(1, "B", "A"), sheet(2, "B", "A"), sheet(3, "B", "B"), sheet(4, "A", "B")]
    groups = marks_of(sheets, forms)
    assert len(groups) == 2
    (family,) = families(map(item_statistics, groups))
    assert family.questions == ("A Q1", "B Q1")
    assert (family.right, family.answers) == (3, 4)
    assert family.difficulty.value == 0.75
    assert family.spread == 0.5
    assert family.differs
