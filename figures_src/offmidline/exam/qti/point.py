"""A question for a point of a figure: from mm of the patient to pixels of the picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from offmidline import messages
from offmidline.exam.qti.apex import Apex, NoPlaceError
from offmidline.exam.qti.frame import RIGHT, Asked, Feedback, declared, slip_name
from offmidline.exam.qti.images import FINE, MEDIA_TYPE, Image, image
from offmidline.exam.qti.markup import element
from offmidline.exam.qti.processing import (
    RESPONSE,
    SCORE,
    Branch,
    answered,
    first_of,
    give,
    inside,
    tell,
)
from offmidline.figures import VIEWS


class _Circle(NamedTuple):
    """An area of the picture: its centre and radius in whole pixels."""

    x: int
    y: int
    radius: int

    @property
    def coords(self) -> str:
        return f"{self.x},{self.y},{self.radius}"


def pointed(apex: Apex, alternative: str) -> tuple[Asked, Image]:
    """How the apex is pointed at, and the picture of the findings for it.

    Raises:
        NoPlaceError: where the apex lies beyond the picture.
    """
    drawing = VIEWS["findings"].draw(apex.planned)
    frame = drawing.frame
    if frame is None:
        raise ValueError("the figure of the findings is in no frame")
    picture = image(drawing, FINE, alternative)
    radius = round(apex.tolerance * frame.scale * picture.width / drawing.width)
    target, *others = (
        _circle(picture.pixel(frame.at(*place), drawing), radius, picture)
        for place in (apex.at, *(slip.at for slip in apex.slips))
    )
    if target is None:
        raise NoPlaceError(messages.text("exam.package.apex.beyond"))
    return _asked(apex, picture, target, others), picture


def _circle(centre: tuple[int, int], radius: int, picture: Image) -> _Circle | None:
    """An area of the picture; None where it does not lie within it."""
    x, y = centre
    across = radius <= x <= picture.width - radius
    return _Circle(x, y, radius) if across and radius <= y <= picture.height - radius else None


def _asked(apex: Apex, picture: Image, target: _Circle, others: Sequence[_Circle | None]) -> Asked:
    """The area counts; the mistakes' areas only tell."""
    branches = [Branch(inside(target.coords), (tell(RIGHT),))]
    told = [Feedback(RIGHT, "", apex.explanation)]
    for number, (slip, circle) in enumerate(zip(apex.slips, others, strict=True), 1):
        if circle is not None:
            name = slip_name(number)
            branches.append(Branch(inside(circle.coords), (tell(name),)))
            told.append(Feedback(name, slip.title, slip.feedback))
    scored = give(SCORE, element("mapResponsePoint", {"identifier": RESPONSE}))
    area = element(
        "areaMapping",
        {"defaultValue": "0", "lowerBound": "0", "upperBound": "1"},
        element("areaMapEntry", {"shape": "circle", "coords": target.coords, "mappedValue": "1"}),
    )
    shown = element(
        "object",
        {
            "type": MEDIA_TYPE,
            "data": f"../{picture.path}",
            "width": str(picture.width),
            "height": str(picture.height),
        },
        picture.alternative,
    )
    answering = element(
        "selectPointInteraction",
        {"responseIdentifier": RESPONSE, "maxChoices": "1"},
        element("prompt", {}, apex.lead_in),
        shown,
    )
    return Asked(
        declared("single", "point", [f"{target.x} {target.y}"], area),
        (answering,),
        (
            first_of([Branch(answered(), (scored,))]),
            first_of(branches),
        ),
        tuple(told),
    )
