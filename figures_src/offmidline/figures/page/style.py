"""The one style of all figures: colours by role and theme, lines, sizes of text (mm on the page).

Hues follow the Okabe-Ito palette, darkened on white until lines reach a contrast of 3:1 and text
4.5:1 (WCAG 2.2). Nothing is told by colour alone: every line has a type, every symbol a form. Line
types and widths follow ISO 128 as far as a phone allows: dots are drawn longer than the standard's.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, get_args

Theme = Literal["css", "light", "dark", "grey"]
Role = Literal[
    "paper",  # the page
    "ink",  # text, cuts and the marked outline
    "muted",  # second-rank text, dimensions, leaders
    "faint",  # schematic anatomy
    "midline",  # the midline and what is covered of it
    "newline",  # the new midline
    "scar",  # predicted scar and its prolongation
    "flap",  # undermining and the flap
    "suture",  # rows of stitches
    "cavity",  # the cavity's wall
    "wrong",  # in what a mistake differs from what is right
    "specimen-tint",
    "flap-tint",
    "skin-tint",
    "fat-tint",
    "cavity-tint",
    "wrong-tint",
]
ROLES: Final[tuple[Role, ...]] = get_args(Role)

# Roles that carry text, lines or symbols, and areas, which always have a drawn border of their own.
TEXT_ROLES: Final[tuple[Role, ...]] = ("ink", "muted")
LINE_ROLES: Final[tuple[Role, ...]] = tuple(
    role for role in ROLES if role != "paper" and not role.endswith("-tint")
)
TINT_ROLES: Final[tuple[Role, ...]] = tuple(role for role in ROLES if role.endswith("-tint"))

_LIGHT: Final[dict[Role, str]] = {
    "paper": "#ffffff",
    "ink": "#16191d",
    "muted": "#4a5058",
    "faint": "#737982",
    "midline": "#0072b2",
    "newline": "#007a5a",
    "scar": "#a8487f",
    "flap": "#c04e00",
    "suture": "#6a3d9a",
    "cavity": "#7a5c00",
    "wrong": "#b3261e",
    "specimen-tint": "#f3f4f6",
    "flap-tint": "#fde9db",
    "skin-tint": "#f6ddd0",
    "fat-tint": "#fdf6df",
    "cavity-tint": "#e8d9ac",
    "wrong-tint": "#fbe3e0",
}
_DARK: Final[dict[Role, str]] = {
    "paper": "#1e2129",
    "ink": "#eef0f2",
    "muted": "#b4bac2",
    "faint": "#949ba4",
    "midline": "#56b4e9",
    "newline": "#35c295",
    "scar": "#e59ac4",
    "flap": "#f0935a",
    "suture": "#b9a2f0",
    "cavity": "#e6c34a",
    "wrong": "#ff8f80",
    "specimen-tint": "#282c36",
    "flap-tint": "#3d2e25",
    "skin-tint": "#46343a",
    "fat-tint": "#2c2b24",
    "cavity-tint": "#4a4222",
    "wrong-tint": "#4d292c",
}
_GREY: Final[dict[Role, str]] = {
    "paper": "#ffffff",
    "ink": "#000000",
    "muted": "#404040",
    "faint": "#6e6e6e",
    "midline": "#303030",
    "newline": "#505050",
    "scar": "#606060",
    "flap": "#484848",
    "suture": "#585858",
    "cavity": "#383838",
    "wrong": "#202020",
    "specimen-tint": "#f4f4f4",
    "flap-tint": "#e6e6e6",
    "skin-tint": "#dadada",
    "fat-tint": "#fafafa",
    "cavity-tint": "#cccccc",
    "wrong-tint": "#dedede",
}
# The theme "css" draws in the light colours, which become the fallbacks of CSS variables.
PALETTES: Final = MappingProxyType({"css": _LIGHT, "light": _LIGHT, "dark": _DARK, "grey": _GREY})
THEMES: Final[tuple[Theme, ...]] = get_args(Theme)


def variable(role: Role) -> str:
    """Name of the CSS variable that carries a role's colour on a page."""
    return f"--fig-{role}"


def css_variables(theme: Theme) -> dict[str, str]:
    """The CSS variables of a theme and their colours, for a style sheet of the page."""
    return {variable(role): colour for role, colour in PALETTES[theme].items()}


@dataclass(frozen=True)
class Line:
    """Width (mm) and dashes (multiples of the width, on and off in turn; empty for continuous)."""

    width: float
    dashes: tuple[float, ...] = ()


# ISO 128-2: thick to thin 2:1; patterns in multiples of the width.
_THICK: Final = 0.5
_THIN: Final = 0.25
_MIDDLE: Final = 0.35
CUT: Final = Line(_THICK)
THIN: Final = Line(_THIN)
DASHED: Final = Line(_MIDDLE, (8, 3.5))
HIDDEN: Final = Line(_THIN, (7, 4))
CENTRE: Final = Line(_MIDDLE, (20, 3, 2.5, 3))
DOUBLE_DOT: Final = Line(_MIDDLE, (17, 3, 2.5, 3, 2.5, 3))
FINE_DOUBLE_DOT: Final = Line(_THIN, (17, 3, 2.5, 3, 2.5, 3))
BAR: Final = Line(1.4)
SYMBOL: Final = Line(_MIDDLE)

# Every figure is this wide (mm), whatever its scale, so that its text reads alike on every
# screen: on a page of 360 px the smallest text then measures 9 px.
PAGE_WIDTH: Final = 150.0
MARGIN: Final = 4.0
# Text sizes (mm): the em, of which a capital takes about 0.73.
TITLE_SIZE: Final = 5.2
TEXT_SIZE: Final = 4.2
SMALL_SIZE: Final = 3.8
LINE_SPACING: Final = 1.32

FONT: Final = "DejaVu Sans"
# Text is measured with the first one; the others are narrower, so that what fits keeps fitting.
FONT_STACK: Final = f"'{FONT}', Arial, sans-serif"


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours ``#rrggbb``, 1 to 21, after WCAG 2.2."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Below this a channel of sRGB is linear.
_LINEAR: Final = 0.04045


def _luminance(colour: str) -> float:
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= _LINEAR else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
