"""The style sheet that gives figures on a page their colours, made from the drawing code's own
palettes.
"""

from __future__ import annotations

from offmidline.figures.page.style import Theme, css_variables


def figure_style() -> str:
    """CSS variables for the light and the dark scheme; paper is always light."""
    return (
        f":root, [data-md-color-scheme] {{\n{_variables('light')}}}\n"
        f'@media screen {{\n[data-md-color-scheme="slate"] {{\n{_variables("dark")}}}\n}}\n'
    )


def _variables(theme: Theme) -> str:
    return "".join(f"  {name}: {colour};\n" for name, colour in css_variables(theme).items())
