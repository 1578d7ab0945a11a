from __future__ import annotations

import re
from pathlib import Path

import pytest

import offmidline
from offmidline import messages

PACKAGE = Path(offmidline.__file__).parent


def test_a_missing_message_or_value_is_named():
    """Who writes code learns which message or value is missing."""
    with pytest.raises(KeyError, match="no 'nothing'"):
        messages.section("nothing")
    with pytest.raises(KeyError, match=r"no text 'faults\.nothing'"):
        messages.text("faults.nothing")
    with pytest.raises(KeyError, match=r"'faults\.alias'.*'name'"):
        messages.text("faults.alias")
    with pytest.raises(KeyError, match="is a text"):
        messages.section("faults.alias")


def test_values_are_put_in_as_they_are():
    """Braces in a value are text."""
    assert "{name}" in messages.text("faults.alias", name="{name}")


@pytest.mark.parametrize(("words", "text"), [("a", "a"), ("ab", "a or b"), ("abc", "a, b or c")])
def test_a_choice_is_joined(words, text):
    """The last word of a choice is told apart."""
    assert messages.either(words) == text


def test_every_message_of_a_fault_is_used():
    """No message outlives the fault that it was written for."""
    files = [*(PACKAGE / "records").glob("*.py"), *PACKAGE.glob("*.py")]
    code = "\n".join(path.read_text(encoding="utf-8") for path in files)
    derived = {"file_mapping_due", "file_list_due", "pits_twice", "openings_twice"}
    derived |= {"mapping_for_scalar", "list_for_scalar", "or"}
    keys = set(messages.section("faults")) - derived
    assert {key for key in keys if not re.search(rf"[\"'.]{key}[\"']", code)} == set()
