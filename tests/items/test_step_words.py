"""The texts of steps in items: the same names, and the same values, as in chapters."""

from __future__ import annotations

from html import unescape

import pytest
from tests.strategies import a_technique

from offmidline.items.step_words import filled, phrase
from offmidline.site.values import technique_values


def test_every_name_of_a_chapter_is_known_and_says_the_same():
    """A step that stands in a chapter and in an item says one number."""
    technique = a_technique(offset="21 mm", lateral_cut="40 deg", length_to_width="2.25")
    # Those of chapters are made safe for a page.
    names = {name: unescape(value) for name, value in technique_values(technique).items()}
    assert {name: filled(f"{{{{ {name} }}}}", technique) for name in names} == names


def test_a_name_that_nobody_knows_is_refused():
    """It is not printed as it stands."""
    with pytest.raises(KeyError, match="nothing"):
        filled("Cut {{ nothing }} deep.", a_technique())


def test_an_option_has_no_full_stop():
    """Values are put in, and only the stop at the end is taken away."""
    said = phrase("Draw it {{ offset }} out. Look again.", a_technique(offset="22.5 mm"))
    assert said == "Draw it 22.5 mm out. Look again"
