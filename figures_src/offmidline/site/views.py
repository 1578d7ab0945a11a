"""The views of a planned case in words, as the site keeps them between builds.

It imports the engine, which a build without changes does not.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from offmidline import figures
from offmidline.plan import CasePlan
from offmidline.site.template import unknown

FINDINGS_VIEW: Final = "findings"


def described(planned: CasePlan, name: str) -> dict[str, Any]:
    """The title of a view, and the names and words of its pictures, in order.

    Raises UnknownNameError for a view that there is not, or that cannot show the case.
    """
    view = figures.VIEWS.get(name)
    parts = () if view is None else _parts(planned, view)
    if view is None or not parts:
        raise unknown(name, [one.name for one in _possible(planned)])
    return {
        "title": view.title,
        "parts": [[part, _words(planned, view, part)] for part in parts],
    }


def listed(planned: CasePlan) -> list[dict[str, Any]]:
    """The views for a gallery: name, title, summary, and what each is drawn from.

    Of a case without a marking that is what was found: another view would show the same once more.
    """
    return [
        {
            "name": view.name,
            "title": view.title,
            "summary": view.summary,
            "reads": list(view.reads),
        }
        for view in _possible(planned)
        if view.listed and (planned.shown is not None or view.name == FINDINGS_VIEW)
    ]


def _words(planned: CasePlan, view: figures.View, part: str) -> dict[str, str]:
    name = view.part_title(part)
    return {"name": name[:1].upper() + name[1:], **asdict(view.words(planned, part))}


def _possible(planned: CasePlan) -> list[figures.View]:
    """The views that can show the case."""
    return [view for view in figures.VIEWS.values() if _parts(planned, view)]


def _parts(planned: CasePlan, view: figures.View) -> tuple[str, ...]:
    """The names of a view's pictures; none where it cannot show the case."""
    try:
        return view.parts(planned)
    except figures.NoMarkingError:
        return ()
