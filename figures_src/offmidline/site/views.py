"""The views of a planned case in words, as the site keeps them between builds.

It imports the engine, which a build without changes does not.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from offmidline import figures
from offmidline.plan import CasePlan
from offmidline.site.template import unknown


def described(planned: CasePlan, name: str) -> dict[str, Any]:
    """The title of a view and the words of its pictures, in order.

    Raises UnknownNameError for a view that there is not, or that cannot show the case.
    """
    view = figures.VIEWS.get(name)
    parts = () if view is None else _parts(planned, view)
    if view is None or not parts:
        raise unknown(name, [one["name"] for one in listed(planned)])
    return {
        "title": view.title,
        "parts": [[part, asdict(figures.captions(planned, name, part))] for part in parts],
    }


def listed(planned: CasePlan) -> list[dict[str, Any]]:
    """Every view that can show the case: name, title, summary, and what it is drawn from."""
    return [
        {
            "name": view.name,
            "title": view.title,
            "summary": view.summary,
            "reads": list(view.reads),
        }
        for view in figures.VIEWS.values()
        if _parts(planned, view)
    ]


def _parts(planned: CasePlan, view: figures.View) -> tuple[str, ...]:
    """The names of a view's pictures; none where it cannot show the case."""
    try:
        return view.parts(planned)
    except figures.NoMarkingError:
        return ()
