"""The tree as plain Markdown, drawings and assets in a folder, for any other generator of sites."""

from __future__ import annotations

import posixpath
import shutil
from pathlib import Path
from typing import Final

from offmidline.site.contents import FILE
from offmidline.site.escape import attribute
from offmidline.site.finish import with_figures
from offmidline.site.pages import Page
from offmidline.site.settings import Settings
from offmidline.site.target import refuse_others
from offmidline.site.tree import Tree, build_tree

FIGURES: Final = "figures"
# Part of the handbook's folder that belongs to one generator alone.
THEME: Final = "theme"


def write_tree(settings: Settings, folder: Path) -> int:
    """Write the handbook to a folder and return the number of pages.

    Raises FaultsError before anything is written, and OSError where the folder cannot be written
    to.
    """
    refuse_others(folder, settings.audience)
    tree = build_tree(settings)
    for path, content in _texts(tree).items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(content, encoding="utf-8", newline="\n")
    for asset in _assets(settings.handbook):
        target = folder / asset.relative_to(settings.handbook)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(asset, target)
    tree.drawings.finish()
    return len(tree.pages)


def _texts(tree: Tree) -> dict[str, str]:
    pages = {page.path: _page(page, tree) for page in tree.pages}
    figures = {f"{FIGURES}/{name}.svg": tree.drawings.svg(name) for name in tree.figures}
    return {**pages, **figures, **tree.files}


def _page(page: Page, tree: Tree) -> str:
    folder = posixpath.dirname(page.path) or "."

    def image(figure_id: str) -> str:
        way = posixpath.relpath(f"{FIGURES}/{figure_id}.svg", folder)
        alt = attribute(tree.figures[figure_id].description)
        return f'<img id="{figure_id}" src="{way}" alt="{alt}">'

    return with_figures(page.source, tree.figures, image)


def _assets(handbook: Path) -> list[Path]:
    return [
        path
        for path in sorted(handbook.rglob("*"))
        if path.is_file()
        and path.suffix != ".md"
        and path != handbook / FILE
        and path.relative_to(handbook).parts[0] != THEME
    ]
