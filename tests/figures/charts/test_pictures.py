"""Every chart that the shipped scenarios make: sound, in words, and with its sources."""

from __future__ import annotations

import pickle

import pytest
from tests.figures import soundness
from tests.figures.published import FIGURE

from offmidline.figures import CHARTS, UnknownPartError, render_chart

from .read_back import every, read, rendered, shipped, texts

# What no text may lie on.
MARKS = ("row-", "mark-", "failures", "sum", "upper", "lower")


@pytest.mark.parametrize("name", CHARTS)
def test_pictures_are_sound(name: str) -> None:
    """Nothing overlaps, is clipped, too small or too large, and the caution is there."""
    wrong = []
    keys = CHARTS[name].keys(shipped())
    assert keys
    for key in keys:
        figure, drawn = read(name, key), rendered(name, key)
        found = [fault for check in soundness.LAYOUT for fault in check(figure)]
        found += soundness.file_too_large((None, drawn, figure))  # type: ignore[arg-type]
        found += soundness.not_announced((None, drawn, figure))  # type: ignore[arg-type]
        wrong += [f"{name} {key}: {fault}" for fault in found]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("name", CHARTS)
def test_no_text_lies_on_a_mark(name: str) -> None:
    """Marks, intervals, bars and curves are free of texts."""
    bars = tuple(one.complication for one in shipped().complications)
    wrong = []
    for key in CHARTS[name].keys(shipped()):
        figure = read(name, key)
        marks = [
            gid
            for gid in figure.paths
            if gid.partition("-")[2].startswith((*MARKS, *bars)) or gid.startswith(("arm-", "key-"))
        ]
        assert marks
        wrong += soundness._hit(figure.texts, soundness._lines(figure, marks))
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("name", CHARTS)
def test_words_are_whole(name: str) -> None:
    """Title, description and caption are there, on one line, with nothing left to fill in; the
    title stands on the picture.
    """
    for key in CHARTS[name].keys(shipped()):
        words = CHARTS[name].words(shipped(), key)
        for said in (words.title, words.description, words.caption):
            assert said.strip()
            assert not {"\n", "{", "}"} & set(said)
        assert " ".join(texts(read(name, key), "title-line")) == words.title


def test_what_shows_results_has_sources() -> None:
    """Every chart but the invented one names its sources; numbered rows have one each."""
    for name, key in every():
        cited = CHARTS[name].citations(shipped(), key)
        assert bool(cited) == (name != "cusum"), name
        rows = sorted(row for one in cited for row in one.rows)
        assert rows == list(range(1, len(rows) + 1))


def test_a_recurrence_never_stands_without_its_time() -> None:
    """Each chart of recurrence tells, for every row, the follow-up or that none was stated."""
    rows = {
        f"{evidence.evidence}.{row.row}": row
        for evidence in shipped().evidence
        for row in evidence.rows
        if row.outcome == "recurrence"
    }
    for key in set(CHARTS["icons"].keys(shipped())) & set(rows):
        words = CHARTS["icons"].words(shipped(), key)
        expected = "not stated" if rows[key].follow_up is None else "follow-up "
        assert expected in words.caption
        assert expected in " ".join(texts(read("icons", key), "subtitle"))
    for key in CHARTS["forest"].keys(shipped()):
        figure = read("forest", key)
        numbers = [gid.split("-")[1] for gid in figure.names if gid.endswith("-number")]
        assert numbers
        # With and without a checklist nobody was followed.
        timed = key != "complications-safety"
        assert all(bool(texts(figure, f"row-{row}-time")) == timed for row in numbers)


def test_what_charts_read_can_be_handed_to_another_process() -> None:
    """The subject survives pickling, and draws the same."""
    again = pickle.loads(pickle.dumps(shipped()))  # noqa: S301 - our own
    drawn = render_chart(again, "follow-up", figure_id=FIGURE)
    assert drawn == rendered("follow-up")


def test_an_unknown_key_names_the_known_ones() -> None:
    """A picture that a chart does not make is refused with those that it makes."""
    with pytest.raises(UnknownPartError, match="no picture gout: there is recurrence"):
        CHARTS["forest"].words(shipped(), "gout")
