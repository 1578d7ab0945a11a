"""Colours and sizes: contrast in every theme, nothing smaller than can be read on a phone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from offmidline.figures.page import style
from offmidline.figures.page.style import (
    LINE_ROLES,
    PALETTES,
    TEXT_ROLES,
    THEMES,
    TINT_ROLES,
    contrast,
)

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


# Severity 1.0 of the two common deficiencies, on linear RGB [machado-2009].
DEFICIENCIES = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}


def _seen(colour: str, matrix: Sequence[Sequence[float]]) -> str:
    """A colour as somebody with the deficiency sees it."""
    channels = np.array([int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)])
    linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
    changed = np.clip(np.array(matrix) @ linear, 0, 1)
    encoded = np.where(changed <= 0.0031308, 12.92 * changed, 1.055 * changed ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255 * channel):02x}" for channel in encoded)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_contrast_with_a_colour_vision_deficiency(theme, deficiency: str):
    """Text and lines keep their contrast on every ground for a reader without red or green
    cones.
    """
    matrix = DEFICIENCIES[deficiency]
    seen = {role: _seen(colour, matrix) for role, colour in PALETTES[theme].items()}
    for ground in ("paper", *TINT_ROLES):
        for role in TEXT_ROLES:
            assert contrast(seen[role], seen[ground]) >= TEXT_CONTRAST, (role, ground)
        for role in LINE_ROLES:
            assert contrast(seen[role], seen[ground]) >= LINE_CONTRAST, (role, ground)
