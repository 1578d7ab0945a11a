"""The browser's part of a page: scripts that only some pages need, and the data that they read.

Scripts are classic files, so that a page works from a folder as well as from a server; ``defer``
runs them in the order in which they are named, after the page is read.
"""

from __future__ import annotations

import json
import posixpath
from collections.abc import Iterable
from typing import Final

_ASSETS: Final = "assets"

# Numbers as people write them. Like all scripts it stands on dom.js, which every page has.
NUMBER: Final = "number.js"
# What the browser computes with; the same arithmetic as the geometry's.
_GEOMETRY: Final = ("engine/outline.js", "engine/section.js")
# A state with its way back, drawings to scale that can be worked on, and the plan view among them.
_BOARD: Final = (NUMBER, "exercise/history.js", "exercise/scene.js", "exercise/board.js")
# All that a kind of page loads, in order.
EXERCISE: Final = (
    *_GEOMETRY,
    "engine/judge.js",
    *_BOARD,
    "exercise/task.js",
    "exercise/marking.js",
    "exercise/section.js",
)
SANDBOX: Final = (
    *_GEOMETRY,
    "engine/fit.js",
    *_BOARD,
    "exercise/case-file.js",
    "exercise/sandbox.js",
)
SELF_TEST: Final = (
    NUMBER,
    "selftest/answers.js",
    "selftest/progress.js",
    "selftest/forms.js",
    "selftest/question.js",
    "selftest/due.js",
    "selftest/test.js",
)


def tags(page: str, files: Iterable[str]) -> str:
    """The elements that load scripts into a page, each once and in order.

    ``page`` is the page's path from the top, ``files`` are paths below the assets.
    """
    folder = posixpath.dirname(page) or "."
    ways = [posixpath.relpath(f"{_ASSETS}/{file}", folder) for file in dict.fromkeys(files)]
    return "\n".join(f'<script defer src="{way}"></script>' for way in ways)


def data(kind: str, value: object) -> str:
    """A value as JSON in an element that no browser runs; ``kind`` is its class.

    No text in it can end the element, or be read as a name of a template.
    """
    body = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    body = body.replace("<", r"\u003c").replace("{{", r"{\u007b")
    return f'<script type="application/json" class="{kind}">{body}</script>'
