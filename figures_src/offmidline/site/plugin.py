"""The MkDocs plugin: a thin adapter that hands the tree to MkDocs, one event after the other.

config: another audience's build is not built over. files: the tree is built and its pages take the
places of the chapters, in memory; the navigation is set. page_markdown: titles and descriptions.
page_content: tables, and links inside HTML. post_page: the drawings, after Markdown and the search
index have been made, so that neither reads them. post_build: the end of the drawing.
"""

from __future__ import annotations

import gc
import os
from pathlib import Path
from typing import Any, Final

from mkdocs.config import config_options as option
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils import get_relative_url

from offmidline import messages
from offmidline.records import FaultsError
from offmidline.records.files import CASES, PAPERS
from offmidline.site import selftest, tables
from offmidline.site.finish import inner_drawing, with_figures, with_page_links
from offmidline.site.nav import navigation
from offmidline.site.pages import Page
from offmidline.site.settings import (
    DEFAULT_AUDIENCE,
    DEFAULT_CACHE,
    DEFAULT_TECHNIQUE,
    SEES,
    Settings,
    secret_for,
)
from offmidline.site.target import refuse_others
from offmidline.site.tree import Tree, build_tree

# A server has imported all that drawing takes: these are quicker drawn than another process starts.
FEW_WHILE_SERVING: Final = 8
# How much a page counts in a search, by what its path begins with. Who asks for a word wants what
# it means; the list of sources and every case hold nearly all the words.
SEARCH_BOOST: Final = {"glossary.md": 2.0, "sources.md": 0.4, f"{CASES}/": 0.6}

# Whoever looks something up wants no question about it, and no answer out of its place.
UNSEARCHED: Final = (f"{selftest.FOLDER}/", f"{PAPERS}/")


class PluginConfig(Config):  # type: ignore[no-untyped-call]
    """The plugin's options in mkdocs.yml; folders are relative to that file."""

    scenarios = option.Type(str, default="scenarios")
    audience = option.Choice(tuple(SEES), default=DEFAULT_AUDIENCE)
    technique = option.Type(str, default=DEFAULT_TECHNIQUE)
    cache = option.Type(str, default=DEFAULT_CACHE.as_posix())


class OffmidlinePlugin(BasePlugin[PluginConfig]):  # type: ignore[no-untyped-call]
    """Hands a tree of pages to MkDocs."""

    _tree: Tree | None = None
    _few: int = 0

    def on_startup(self, *, command: str, dirty: bool) -> None:  # noqa: ARG002 - MkDocs' names
        """Learn whether this process stays: then it draws a few changed figures itself."""
        self._few = FEW_WHILE_SERVING if command == "serve" else 0

    def on_config(self, config: MkDocsConfig) -> None:
        """Refuse a folder that holds another audience's build, before it is emptied."""
        try:
            refuse_others(Path(config.site_dir), self.config.audience)
        except FaultsError as error:
            raise PluginError(str(error)) from None

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Build the tree and put its pages where the chapters were."""
        self._tree = None
        try:
            tree = build_tree(self._settings(config))
        except FaultsError as error:
            heading = messages.text("site.faults.heading", count=len(error.faults))
            raise PluginError(f"{heading}\n{error}") from None
        # Records and pages stay for the whole build: the collector need not look at them again.
        gc.freeze()
        self._tree = tree
        self._pages = {page.path: page for page in tree.pages}
        self._files = files
        for page in tree.pages:
            self._put(files, page.path, page.source, config, page)
        for path, content in tree.files.items():
            self._put(files, path, content, config)
        config.nav = navigation(tree)
        config.extra["offmidline"] = tree.words
        return files

    def on_page_markdown(self, markdown: str, *, page: MkDocsPage, **_: Any) -> str:
        """Give the page its description, and its weight in a search, or none."""
        made = self._pages.get(page.file.src_uri)
        if made is not None and made.description:
            page.meta["description"] = made.description
        for begins, boost in SEARCH_BOOST.items():
            if page.file.src_uri.startswith(begins):
                page.meta["search"] = {"boost": boost}
        if page.file.src_uri.startswith(UNSEARCHED):
            page.meta["search"] = {"exclude": True}
        return markdown

    def on_page_content(self, html: str, *, page: MkDocsPage, **_: Any) -> str:
        """Make the tables alike, and links inside pieces of HTML into links to pages."""

        def target(source: str) -> str | None:
            file = self._files.get_file_from_path(source)
            return None if file is None else get_relative_url(file.url, page.file.url)

        return with_page_links(tables.like_the_others(html), page.file.src_uri, target)

    def on_post_page(self, output: str, **_: Any) -> str:
        """Put the drawings into the finished page."""
        if self._tree is None:
            return output
        figures, drawings = self._tree.figures, self._tree.drawings
        return with_figures(output, figures, lambda name: inner_drawing(drawings.svg(name)))

    def on_post_build(self, **_: Any) -> None:
        """Have nothing left that works."""
        if self._tree is not None:
            self._tree.drawings.finish()

    def on_build_error(self, **_: Any) -> None:
        """Draw no further."""
        if self._tree is not None:
            self._tree.drawings.close()

    def _settings(self, config: MkDocsConfig) -> Settings:
        top = Path(config.config_file_path).parent if config.config_file_path else Path()
        scenarios = _near(top / self.config.scenarios)
        return Settings(
            scenarios=scenarios,
            handbook=_near(Path(config.docs_dir)),
            cache=_near(top / self.config.cache),
            audience=self.config.audience,
            technique=self.config.technique,
            few=self._few,
            secret=secret_for(self.config.audience, scenarios),
        )

    def _put(
        self,
        files: Files,
        path: str,
        content: str,
        config: MkDocsConfig,
        page: Page | None = None,
    ) -> None:
        """Add a file made here, in the place of one of the same name."""
        present = files.get_file_from_path(path)
        if present is not None:
            files.remove(present)
        file = File.generated(config, path, content=content)
        if page is not None:
            # "Edit this page" opens what the page was made from.
            file.edit_uri = Path(os.path.relpath(page.origin, config.docs_dir)).as_posix()
        files.append(file)


def _near(path: Path) -> Path:
    """A path as a person in the working folder would write it, for messages."""
    try:
        return path.resolve().relative_to(Path.cwd())
    except ValueError:
        return path
