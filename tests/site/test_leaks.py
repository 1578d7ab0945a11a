"""Nothing of an examiner's case gets into the trainees' build."""

from __future__ import annotations

import html
import json
from pathlib import Path

import pytest
import yaml
from mkdocs.exceptions import Abort, BuildError

from .conftest import PLAIN_CASE, Project
from .pages import every_byte

pytestmark = pytest.mark.site

# A word in every text field, an odd number in every quantity, and the file's name.
EXAMINERS_CASE = """\
case: canary-file
title: Canarytitle in the examiners case
audience: examiner
technique: off-midline-flap
side: right
patient:
  {age: 33 years, sex: female, weight: 71.317 kg, height: 163.713 cm, occupation: canaryoccupation}
history: {symptoms: 17 months, drained: 1}
findings:
  pits: [{at: 61.371 mm, diameter: 2.173 mm}]
  openings: [{at: 87.137 mm, lateral: 21.713 mm, side: right, diameter: 4.371 mm}]
  cavity_depth: 13.717 mm
  fascia_depth: 23.171 mm
infiltration: {agent: ropivacaine, concentration: 2 mg/ml, volume: 61.737 ml}
learning: [Canarylearning for the examiners]
teaching_notes: Canarynotes for the examiners
"""
CANARIES = ("canary", "61.371", "71.317", "163.713", "87.137", "21.713", "13.717", "61.737")
# Numbers that a page shows rounded, so that only the scan of words can find the case in a build.
SHOWN = ("canary-file", "canarytitle", "canaryoccupation", "canarylearning", "canarynotes")


def leaks(*folders: Path) -> dict[str, list[str]]:
    """The canaries that files hold, by path; text may be escaped."""
    found = {}
    for path, data in every_byte(*folders).items():
        text = html.unescape(data.decode("utf-8", "replace")).lower()
        held = [word for word in CANARIES + SHOWN if word in text]
        if held:
            found[path] = held
    return found


def test_a_trainee_build_holds_nothing_of_an_examiners_case(small: Project) -> None:
    """No byte of the site, the search index or the cache comes from it."""
    small.write_case("canary-file", EXAMINERS_CASE)
    assert leaks(small.build(), small.cache) == {}


def test_the_scan_would_find_it(small: Project) -> None:
    """The examiners' build holds every text of the case, in pages, index and drawings."""
    small.write_case("canary-file", EXAMINERS_CASE)
    site = small.build(audience="examiner")
    found = leaks(site, small.cache)
    words = {word for held in found.values() for word in held}
    assert set(SHOWN) <= words
    assert {"61.371", "71.317"} <= words
    assert str(site / "search" / "search_index.json") in found
    assert any(path.endswith("canary-file.html") for path in found)
    assert any(path.startswith(str(small.cache)) for path in found)


def test_a_broken_examiners_case_stays_unseen(
    small: Project, caplog: pytest.LogCaptureFixture
) -> None:
    """Faults of an examiner's case neither stop nor show up in the trainees' build."""
    small.write_case("canary-file", EXAMINERS_CASE.replace("61.371 mm", "61.371 canarymm"))
    assert leaks(small.build(), small.cache) == {}
    assert "canary" not in caplog.text


def test_a_case_withdrawn_from_trainees_leaves_the_cache(small: Project) -> None:
    """A case that was the trainees' and becomes the examiners' is gone after the next build."""
    small.write_case(
        "canary-file", EXAMINERS_CASE.replace("audience: examiner", "audience: trainee")
    )
    assert leaks(small.build(), small.cache)
    small.write_case("canary-file", EXAMINERS_CASE)
    assert leaks(small.build(), small.cache) == {}


def test_teaching_notes_are_not_for_trainees(small: Project) -> None:
    """The teaching notes of a trainees' case are on the examiners' page alone."""
    case = (small.cases / "plain.yml").read_text("utf-8")
    small.write_case("plain", f"{case}teaching_notes: Canarynotes\n")
    assert leaks(small.build(), small.cache) == {}
    assert leaks(small.build("other", audience="examiner"))


def test_a_gallery_of_an_examiners_case_is_unknown_to_trainees(
    small: Project, caplog: pytest.LogCaptureFixture
) -> None:
    """The trainees' build fails at the name of the case, and tells nothing of what is in it."""
    small.write_case("canary-file", EXAMINERS_CASE)
    (small.handbook / "index.md").write_text("# Start\n\n{{ gallery:canary-file }}\n", "utf-8")
    with pytest.raises((Abort, BuildError)):
        small.build()
    assert "index.md:3:1: there is no canary-file: known here: plain" in caplog.text
    assert not [word for word in (*CANARIES[1:], *SHOWN[1:]) if word in caplog.text.lower()]
    assert leaks(small.cache) == {}
    site = small.build("other", audience="examiner")
    assert "61.371" in leaks(site)[str(site / "index.html")]


@pytest.mark.parametrize("last", ["teaching_notes", "findings"])
def test_a_gallery_keeps_the_teaching_notes_back(small: Project, last: str) -> None:
    """Lines that hold teaching notes as well are not shown whole to trainees."""
    case = {**yaml.safe_load(PLAIN_CASE), "teaching_notes": "Canarynotes"}
    case[last] = case.pop(last)
    small.write_case("plain", json.dumps(case))
    (small.handbook / "index.md").write_text("# Start\n\n{{ gallery:plain }}\n", "utf-8")
    site = small.build()
    # Among the coordinates of so many pictures a number may be found by chance, a word may not.
    held = {word for words in leaks(site, small.cache).values() for word in words}
    assert not held & set(SHOWN)
    assert "60 mm" in (site / "index.html").read_text("utf-8")
    other = small.build("other", audience="examiner") / "index.html"
    assert "Canarynotes" in other.read_text("utf-8")
