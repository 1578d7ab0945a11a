"""The folder that a build goes to: it says for whom it was built, and takes no build for others.

A folder that held an examiners' build, and is built over for trainees, may keep some of it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.records.faults import FaultsError, whole_file

# Lies at the top of every build and holds the audience's name.
AUDIENCE_FILE: Final = "audience.txt"


def audience_note(audience: str) -> str:
    """What the file says."""
    return f"{audience}\n"


def refuse_others(folder: Path, audience: str) -> None:
    """Raise FaultsError where a folder, or one that it lies in, is another audience's build."""
    whole = folder.resolve()
    for place in (whole, *whole.parents):
        found = _audience_of(place / AUDIENCE_FILE)
        if found is not None and found != audience_note(audience):
            message = messages.text(
                "site.faults.other_audience", found=found.strip()[:20], audience=audience
            )
            raise FaultsError([whole_file(place, message)])


def _audience_of(path: Path) -> str | None:
    try:
        return path.read_text("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
