"""What is told of a patient's history in a stem, as plain text."""

from __future__ import annotations

from offmidline import amounts, messages
from offmidline.items.after_operation import time_words
from offmidline.records.case import History


def history_words(history: History) -> str:
    """Symptoms and earlier operations, each in a sentence, as far as known."""
    counts = (("drained", history.drained), ("excised", history.excised))
    months = history.symptoms_months
    sentences = [_say("symptoms", time=time_words(months))] if months else []
    sentences += [
        _say(f"{name}_never" if count == 0 else name, count=amounts.rounded(count, 0))
        for name, count in counts
        if count is not None
    ]
    return " ".join(sentences)


def _say(key: str, /, **values: object) -> str:
    return messages.text(f"items.vignette.{key}", **values)
