"""The lines of a file under its keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from offmidline.records.document import Way
from offmidline.site.excerpt import Written

BLOCK = """\
# a file
case: plain
patient: {age: 24 years, weight: 82 kg}
findings:
  # counted from the caudal end
  pits:
    - {at: 60 mm, diameter: 2 mm}   # the lowest

    - at: 72 mm
      diameter: 3 mm
  # beside the midline
  openings: [{at: 86 mm,
    lateral: 20 mm}]
  cavity_depth: 14 mm

# what only examiners read
teaching_notes: >-
  Secret one,

  secret two
learning: [Point]
"""
NOTES: tuple[Way, ...] = (("teaching_notes",),)


def excerpt(folder: Path, text: str, *ways: Way, hidden: tuple[Way, ...] = NOTES) -> str:
    """What a file of this text says under the keys."""
    path = folder / "file.yml"
    path.write_text(text, "utf-8")
    return Written.read(path, folder).excerpt(ways, hidden)


@pytest.mark.parametrize(
    ("way", "lines"),
    [
        (("case",), [2]),
        (("patient",), [3]),
        (("patient", "weight"), [3]),
        (("findings", "pits"), [4, 6, 7, 8, 9, 10]),
        (("findings", "pits", 1), [4, 6, 9, 10]),
        (("findings", "pits", 1, "at"), [4, 6, 9]),
        (("findings", "openings"), [4, 12, 13]),
        (("findings", "cavity_depth"), [4, 14]),
        (("learning",), [21]),
        (("learning", 0), [21]),
    ],
)
def test_whole_lines_under_their_parents(tmp_path: Path, way: Way, lines: list[int]) -> None:
    """A key gives the lines of its value, verbatim, under the lines of the keys above it."""
    written = BLOCK.split("\n")
    assert excerpt(tmp_path, BLOCK, way) == "\n".join(written[line - 1] for line in lines)


def test_keys_come_once_and_in_order_of_the_file(tmp_path: Path) -> None:
    """Lines that several keys share are there once, and the file decides their order."""
    found = excerpt(tmp_path, BLOCK, ("findings", "cavity_depth"), ("patient",), ("findings", "x"))
    assert found == ("patient: {age: 24 years, weight: 82 kg}\nfindings:\n  cavity_depth: 14 mm")


def test_missing_keys_are_skipped(tmp_path: Path) -> None:
    """A key that the file does not have gives nothing."""
    assert excerpt(tmp_path, BLOCK, ("side",), ("findings", "pits", 7)) == ""


def test_hidden_keys_give_nothing(tmp_path: Path) -> None:
    """A key that the reader may not see is not shown, nor is a part of it."""
    assert excerpt(tmp_path, BLOCK, ("teaching_notes",)) == ""
    assert "secret two" in excerpt(tmp_path, BLOCK, ("teaching_notes",), hidden=())


@pytest.mark.parametrize(
    "text",
    [
        '{"case": "a", "teaching_notes": "Secret", "findings": {"pits": [{"at": "6 mm"}], "b": 1}}',
        '{"findings": {"pits": [{"at": "6 mm"}], "b": 1}, "teaching_notes": "Secret", "case": "a"}',
        '{"findings": {"pits": [{"at": "6 mm"}], "b": 1},\n"case": "", "teaching_notes": "Secret"}',
        '{"teaching_notes":\n "Secret\n  Secret", "findings": {"pits": [{"at": "6 mm"}],\n"b": 1}}',
    ],
)
def test_lines_that_hold_hidden_keys_are_cut(tmp_path: Path, text: str) -> None:
    """Where whole lines would show a hidden key, only the wanted key's characters are taken."""
    found = excerpt(tmp_path, text, ("case",), ("findings", "pits"))
    assert "Secret" not in found
    assert "teaching" not in found
    assert '"pits": [{"at": "6 mm"}]' in found
    assert "Secret" in excerpt(tmp_path, text, ("teaching_notes",), hidden=())


def test_line_ends_of_any_kind(tmp_path: Path) -> None:
    """A file with other line ends gives the same lines."""
    path = tmp_path / "file.yml"
    path.write_bytes(BLOCK.replace("\n", "\r\n").encode())
    found = Written.read(path, tmp_path).excerpt([("findings", "cavity_depth")])
    assert found == "findings:\n  cavity_depth: 14 mm"


def test_the_last_key_ends_with_the_file(tmp_path: Path) -> None:
    """What stands last is whole, with or without an end of line."""
    for text in ("a: 1\nb:\n  - c\n  - d\n\n", "a: 1\nb:\n  - c\n  - d"):
        assert excerpt(tmp_path, text, ("b",)) == "b:\n  - c\n  - d"
