"""Items as they are printed: for people, and as JSON for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from offmidline import messages
from offmidline.items.item import Item, Option
from offmidline.items.shown import number


def as_json(item: Item) -> dict[str, Any]:
    """An item as an object, with its id and where it comes from."""
    return {
        "id": item.ident,
        "provenance": {
            "model": item.model,
            "case": item.case,
            "mistakes": list(item.mistakes),
            "version": item.version,
        },
        **{
            name: value
            for name, value in asdict(item).items()
            if name not in ("ident", "model", "case", "version")
        },
    }


def as_text(item: Item) -> str:
    """An item with its key, for a reader."""
    lines = [f"[{item.model}] {item.ident}", item.stem, item.lead_in]
    if item.numeric is not None:
        numeric = item.numeric
        lines.append(f"  = {number(numeric.value, numeric.unit, numeric.decimals)}; {numeric.why}")
        lines += [f"  ! {one.text}: {one.title}" for one in numeric.slips]
    elif item.kind == "order":
        lines += [f"  {at}. {one.text}" for at, one in enumerate(item.options, 1)]
    else:
        lines += [_line(one) for one in item.options]
    return "\n".join([*lines, f"  {messages.text('items.because')} {item.explanation}"])


def _line(one: Option) -> str:
    mark = "*" if one.right else " "
    return f"  {mark} {one.text}" + (f" ({one.title})" if one.title else "")
