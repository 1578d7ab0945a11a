"""Colours and sizes: contrast in every theme, nothing smaller than can be read on a phone."""

from __future__ import annotations

import pytest

from offmidline.figures import style
from offmidline.figures.style import LINE_ROLES, PALETTES, TEXT_ROLES, THEMES, TINT_ROLES, contrast

# WCAG 2.2: success criteria 1.4.3 (text) and 1.4.11 (graphics).
TEXT_CONTRAST = 4.5
LINE_CONTRAST = 3.0


def test_contrast_by_the_standard():
    """Black on white has 21:1, and a grey of the standard's examples has 4.54:1 [wcag]."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast("#ffffff", "#767676") == contrast("#767676", "#ffffff")


@pytest.mark.parametrize("theme", THEMES)
def test_text_contrast(theme):
    """Text has 4.5:1 on the page and on every area."""
    palette = PALETTES[theme]
    for role in TEXT_ROLES:
        for ground in ("paper", *TINT_ROLES):
            assert contrast(palette[role], palette[ground]) >= TEXT_CONTRAST, (role, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_line_contrast(theme):
    """Lines and symbols have 3:1 on the page and on every area that they cross."""
    palette = PALETTES[theme]
    for role in LINE_ROLES:
        for ground in ("paper", *TINT_ROLES):
            assert contrast(palette[role], palette[ground]) >= LINE_CONTRAST, (role, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_every_role_has_a_colour(theme):
    """No theme lacks a role, and each colour is written in full."""
    assert set(PALETTES[theme]) == set(style.ROLES)
    assert all(len(colour) == 7 and colour[0] == "#" for colour in PALETTES[theme].values())


def test_lines_differ_without_colour():
    """The lines that a reader must tell apart have types of their own."""
    kinds = [style.CUT, style.CENTRE, style.DASHED, style.DOUBLE_DOT, style.THIN, style.BAR]
    assert len({(line.dashes, line.width) for line in kinds}) == len(kinds)
    assert style.CUT.width == 2 * style.THIN.width
