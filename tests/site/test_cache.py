"""The cache of pages and figures."""

from __future__ import annotations

from pathlib import Path

import pytest

from offmidline.site.cache import Cache, key_of


def test_an_entry_is_made_once(tmp_path: Path) -> None:
    """The second question for a key is answered from the folder."""
    made = []

    def make() -> dict[str, str]:
        made.append(1)
        return {"text": "é ✓"}

    key = key_of("a")
    assert Cache(tmp_path).get(key, make) == {"text": "é ✓"}
    assert Cache(tmp_path).get(key, make) == {"text": "é ✓"}
    assert len(made) == 1


@pytest.mark.parametrize(
    "harm",
    [
        lambda data: data[:-1],
        lambda data: data[: len(data) // 2],
        lambda _: b"",
        lambda data: data.replace(b"whole", b"wh0le"),
        lambda data: b"\xff\xfe" + data,
    ],
)
def test_a_broken_entry_is_made_again(tmp_path: Path, harm) -> None:
    """An entry cut short, emptied or changed is not used."""
    key = key_of("a")
    Cache(tmp_path).get(key, lambda: {"text": "whole"})
    (entry,) = tmp_path.iterdir()
    entry.write_bytes(harm(entry.read_bytes()))
    assert Cache(tmp_path).get(key, lambda: {"text": "new"}) == {"text": "new"}
    assert Cache(tmp_path).get(key, lambda: {"text": "newer"}) == {"text": "new"}


def test_nothing_half_written_is_left(tmp_path: Path) -> None:
    """What cannot be made leaves no file behind."""

    def fail() -> dict[str, object]:
        return {"text": object()}

    with pytest.raises(TypeError):
        Cache(tmp_path).get(key_of("a"), fail)
    assert not list(tmp_path.iterdir())


def test_unused_entries_go(tmp_path: Path) -> None:
    """An entry that a build did not ask for does not outlive it."""
    first = Cache(tmp_path)
    first.get(key_of("a"), lambda: {"text": "a"})
    first.get(key_of("b"), lambda: {"text": "b"})
    second = Cache(tmp_path)
    second.get(key_of("a"), lambda: {"text": "new"})
    second.drop_unused()
    assert [entry.stem for entry in tmp_path.iterdir()] == [key_of("a")]


def test_keys_tell_parts_apart() -> None:
    """The same letters cut differently are another key."""
    assert key_of("ab", "c") != key_of("a", "bc")
