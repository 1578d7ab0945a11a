"""The same marking photographed straight on, at two slants, and put right by four known marks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from offmidline.figures.page import room
from offmidline.figures.page.drawing import Drawing, Frame
from offmidline.figures.page.metrics import wrap
from offmidline.figures.page.sheet import ROOM, SCALES, Block, Sheet, paragraph, sheet
from offmidline.figures.page.style import SMALL_SIZE, TEXT_SIZE
from offmidline.figures.scene.ground import name_sides
from offmidline.figures.scene.surface import Content, Fitted, Panel, Surface, bounds
from offmidline.figures.view import View, shown, single
from offmidline.figures.views.oblique.photograph import (
    Photograph,
    draw_photograph,
    field,
    label_photograph,
    label_true_outline,
    photograph_dimensions,
    photographs,
)
from offmidline.figures.words import Words, isolated, number, say
from offmidline.geometry.oblique import CAMERA_DISTANCE, TILTS_DEG, known_points
from offmidline.plan import CasePlan, Plan

# Two by two photographs, mm on the page: between them, above each for the offset, below it, and
# below the upper ones for the names of the midlines.
_GAP: Final = 5.0
_ABOVE: Final = 12.0
_BELOW: Final = 3.0
_NAMES: Final = 5.0
# What a photograph leaves for labels at least, and which part of it lies on its medial side.
_LABELS: Final = 24.0
_MEDIAL_SHARE: Final = 0.15
_GREATEST_HEIGHT: Final = 232.0


def _draw(planned: CasePlan) -> Drawing:
    """The four photographs of a case, two by two."""
    plan = shown(planned)
    taken, right = photographs(plan)
    page = sheet(
        planned,
        say("oblique.subtitle", distance=number(CAMERA_DISTANCE)),
        [paragraph("lesson", say("oblique.lesson"), SMALL_SIZE)],
    )
    drawing, surfaces = _open(page, plan, [*taken, right])
    for photograph, surface in zip([*taken, right], surfaces, strict=True):
        name_sides(surface.board)
        first = photograph is taken[0]
        pits = draw_photograph(surface, plan, photograph, true=not first)
        surface.board.dimensions(photograph_dimensions(surface, plan, photograph, pits))
        if first:
            label_photograph(surface, plan, photograph, pits)
        else:
            label_true_outline(surface, plan, same=photograph is right)
        surface.board.finish()
    return drawing


def _open(page: Sheet, plan: Plan, photos: Sequence[Photograph]) -> tuple[Drawing, list[Surface]]:
    """The page with a surface for each photograph, at the largest scale at which all fit."""
    xs, ys = bounds([photo.see(field(plan)) for photo in photos])
    width = (ROOM - _GAP) / 2
    heads = [_head(photo, width) for photo in photos]
    bands = [max(map(_height, heads[start : start + 2])) for start in range(0, len(heads), 2)]
    for scale in SCALES:
        picture = scale * (ys[1] - ys[0]) + _ABOVE + _BELOW
        height = sum(bands) + len(bands) * (picture + _GAP) + _NAMES - _GAP
        rest = width - scale * (xs[1] - xs[0])
        if rest >= _LABELS and height <= _GREATEST_HEIGHT:
            break
    medial, side = rest * _MEDIAL_SHARE, plan.marking.side
    fitted = Fitted(scale, width, picture, _BELOW, 0.0, ys[0], rest - medial, medial)
    start = medial - scale * xs[0]
    drawing, (_, top) = page.open(height, scale)
    more = room.current().spare / len(bands)
    surfaces = []
    for index, (photo, head) in enumerate(zip(photos, heads, strict=True)):
        row, column = divmod(index, 2)
        under = (0 if row else _NAMES) + more
        left, high = page.low[0] + column * (width + _GAP), top - bands[row]
        for block, place in zip(head, (top, top - head[0].height), strict=True):
            drawing.add(*block.writings(place, left))
        floor = high - picture - under
        x = left + (start if side == "right" else width - start)
        y = floor + _BELOW + under - scale * ys[0]
        frame = Frame(scale, round(x, 1), round(y, 1), side)
        panel = Panel(photo.gid, photo.title, Content(xs, ys), side)
        surfaces.append(fitted.surface(drawing, panel, frame, (left, floor), high))
        if column:
            top = floor - _GAP
    return drawing, surfaces


def _height(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)


def _head(photo: Photograph, width: float) -> list[Block]:
    """What stands above a photograph."""
    name = f"title-{photo.gid}"
    title = wrap(photo.title, width, TEXT_SIZE, bold=True)
    note = wrap(photo.note, width, SMALL_SIZE)
    return [
        Block(name, title, TEXT_SIZE, bold=True),
        Block(f"{name}-note", note, SMALL_SIZE),
    ]


def _words(planned: CasePlan) -> Words:
    """Title, description and caption of the photographs."""
    plan = shown(planned)
    outline = plan.outline
    taken, right = photographs(plan)
    marks = known_points(outline)
    across, along = marks[2] - marks[0]
    seen = [
        say(
            "oblique.seen",
            tilt=number(tilt),
            width=number(photo.measured.width),
            offset=number(photo.measured.offset),
        )
        for tilt, photo in zip(TILTS_DEG[1:], taken[1:], strict=True)
    ]
    return Words(
        title=say("oblique.title", case=isolated(planned.case.title)),
        description=say(
            "oblique.description",
            distance=number(CAMERA_DISTANCE),
            width=number(outline.width),
            offset=number(abs(outline.offset)),
            side=say(plan.marking.side),
            seen=" ".join(seen),
            across=number(across),
            along=number(along),
            tilt=number(TILTS_DEG[1]),
            right_width=number(right.measured.width),
            right_offset=number(right.measured.offset),
            lesson=say("oblique.lesson"),
        ),
        caption=say(
            "oblique.caption",
            width=number(outline.width),
            seen=number(taken[-1].measured.width),
            tilt=number(TILTS_DEG[-1]),
        ),
    )


VIEW: Final[View] = single(
    "oblique",
    _words,
    _draw,
    reads=(
        "case:findings.pits",
        "case:side",
        "case:marking",
        "technique:offset",
        "technique:reach",
    ),
)
