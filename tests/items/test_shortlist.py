"""Which wrong answers stand beside a key: as many as go with it, and none that gives it away."""

from __future__ import annotations

from offmidline.items.item import Standing
from offmidline.items.model import Candidate, Question
from offmidline.items.shortlist import first_shortlisted, shortlisted
from offmidline.items.stream import Stream

STANDING = Standing("A rule", "a reason", "common practice")


def question(key: str, *wrong: str, stem: str = "A man of 30 years.") -> Question:
    """A question with options of these texts."""
    return Question(
        form="text",
        stem=stem,
        lead_in="Which is it?",
        explanation="So it is.",
        standing=STANDING,
        key=Candidate(text=key),
        wrong=tuple(Candidate("slip", text, title="A slip", feedback="No.") for text in wrong),
    )


def kept(asked: Question, seed: int = 1) -> list[str] | None:
    """The texts of the wrong answers that are kept, or None."""
    found = shortlisted(asked, Stream(seed))
    return None if found is None else [one.text for one in found.wrong]


def test_four_are_kept_of_many_and_chance_decides_which():
    """Six that all go with the key give every one of them a turn."""
    asked = question("alpha", "bravo", "delta", "gamma", "kappa", "sigma", "theta")
    lists = [kept(asked, seed) for seed in range(40)]
    assert all(one is not None and len(one) == 4 for one in lists)
    assert {text for one in lists if one for text in one} == {one.text for one in asked.wrong}


def test_short_ones_are_left_out_beside_a_long_key():
    """A key that would stand out by its length gets companions of its length, if fewer."""
    asked = question("a long key of many words", "one", "two", "a wrong one of many words", "xyz")
    long = question("a long key of many words", "one", "two", "three")
    assert kept(long) is None
    found = kept(asked)
    assert found is not None
    assert len(found) == 2
    assert "a wrong one of many words" in found


def test_what_is_part_of_another_option_is_not_put_beside_it():
    """An edge stands beside an apex, and not beside an edge of something."""
    asked = question("the edge", "the edge of it", "the apex", "the rim")
    found = [kept(asked, seed) for seed in range(10)]
    assert found == [["the apex", "the rim"]] * 10


def test_a_word_of_the_stem_in_the_key_alone_spoils_the_question():
    """No list helps then, and the next question is taken."""
    spoilt = question("swelling", "redness", "numbness", stem="There is swelling.")
    good = question("swelling", "redness", "numbness")
    assert kept(spoilt) is None
    found = first_shortlisted([spoilt, good], Stream(1))
    assert found is not None
    assert found.stem == good.stem
    assert first_shortlisted([spoilt], Stream(1)) is None
