"""The sheet of a chart: title and subtitle above, notes and the caution below; no scale, as nothing
on it is a patient's.
"""

from __future__ import annotations

from collections.abc import Sequence

from offmidline.figures.page.sheet import Sheet, Strip, paragraph
from offmidline.figures.page.style import SMALL_SIZE, TEXT_SIZE, TITLE_SIZE
from offmidline.figures.words import say


def chart_sheet(
    title: str, subtitle: str, more: Sequence[Strip] = (), notes: Sequence[str] = ()
) -> Sheet:
    """The sheet of a chart; below the chart stand further strips, then notes, then the caution."""
    head = (
        paragraph("title-line", title, TITLE_SIZE, bold=True),
        paragraph("subtitle", subtitle, TEXT_SIZE),
    )
    told = [paragraph(f"note-{number}", note, SMALL_SIZE) for number, note in enumerate(notes, 1)]
    caution = paragraph("caution", say("caution"), SMALL_SIZE, role="muted")
    return Sheet(head, (*more, *told, caution), barred=False)
