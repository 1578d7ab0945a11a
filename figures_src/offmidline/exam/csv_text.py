"""Tables as CSV files: UTF-8, commas, decimal points, a line feed after each row."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

Cell = str | int | float | None


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """A table as the content of a file; what does not exist is an empty cell.

    Numbers have six decimals at most.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return out.getvalue().encode()


def _cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return f"{round(cell, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
    return str(cell)
