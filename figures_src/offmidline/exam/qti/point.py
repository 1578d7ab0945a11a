"""A question for a point of a figure: from mm of the patient to pixels of the picture."""

from __future__ import annotations

from offmidline import messages
from offmidline.exam.qti import rules
from offmidline.exam.qti.apex import Apex, NoPlaceError
from offmidline.exam.qti.frame import RIGHT, Asked, Feedback, declared, slip_name
from offmidline.exam.qti.images import FINE, MEDIA_TYPE, Image, image
from offmidline.exam.qti.markup import element
from offmidline.figures import VIEWS
from offmidline.figures.page.drawing import Drawing, Frame, Point


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
    circles = [
        _circle(point, radius, frame, drawing, picture)
        for point in (apex.at, *(slip.at for slip in apex.slips))
    ]
    if circles[0] is None:
        raise NoPlaceError(messages.text("exam.package.apex.beyond"))
    return _asked(apex, picture, circles[0], circles[1:]), picture


def _circle(
    point: Point, radius: int, frame: Frame, drawing: Drawing, picture: Image
) -> tuple[int, int, int] | None:
    """Centre and radius in pixels; None where the circle does not lie within the picture."""
    x, y = picture.pixel(frame.at(*point), drawing)
    across = radius <= x <= picture.width - radius
    return (x, y, radius) if across and radius <= y <= picture.height - radius else None


def _asked(
    apex: Apex,
    picture: Image,
    target: tuple[int, int, int],
    circles: list[tuple[int, int, int] | None],
) -> Asked:
    """The area counts; the mistakes' areas only tell."""
    branches = [rules.Branch(rules.inside(_coords(target)), (rules.tell(RIGHT),))]
    told = [Feedback(RIGHT, "", apex.explanation)]
    for number, (slip, circle) in enumerate(zip(apex.slips, circles, strict=True), 1):
        if circle is not None:
            name = slip_name(number)
            branches.append(rules.Branch(rules.inside(_coords(circle)), (rules.tell(name),)))
            told.append(Feedback(name, slip.title, slip.feedback))
    x, y, _ = target
    scored = rules.give(rules.SCORE, element("mapResponsePoint", {"identifier": rules.RESPONSE}))
    area = element(
        "areaMapping",
        {"defaultValue": "0", "lowerBound": "0", "upperBound": "1"},
        element("areaMapEntry", {"shape": "circle", "coords": _coords(target), "mappedValue": "1"}),
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
        {"responseIdentifier": rules.RESPONSE, "maxChoices": "1"},
        element("prompt", {}, apex.lead_in),
        shown,
    )
    return Asked(
        declared("single", "point", [f"{x} {y}"], area),
        (answering,),
        (rules.first_of([rules.Branch(rules.answered(), (scored,))]), rules.first_of(branches)),
        tuple(told),
    )


def _coords(circle: tuple[int, int, int]) -> str:
    return ",".join(map(str, circle))
