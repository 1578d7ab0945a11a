"""A folder of files, written as a whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from offmidline.exam.rows import say
from offmidline.records.faults import FaultsError, whole_file


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder that is new, empty, or holds nothing but files of these names.

    Everything is written beside it first and then put in its place, so that nobody finds a half.

    Raises:
        FaultsError: where the folder holds something else, or cannot be written.
    """
    try:
        strange = sorted(_inside(folder) - set(files))
        if strange:
            raise FaultsError([whole_file(folder, say("folder_taken", name=strange[0]))])
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".") as name:
            made = Path(name) / "new"
            made.mkdir()
            for file, content in files.items():
                (made / file).write_bytes(content)
            old = Path(name) / "old"
            if folder.exists():
                folder.replace(old)
            try:
                made.replace(folder)
            except OSError:
                if old.exists():
                    shutil.move(old, folder)
                raise
    except OSError as error:
        reason = error.strerror or str(error)
        message = say("folder_unwritable", reason=reason)
        raise FaultsError([whole_file(folder, message)]) from error


def _inside(folder: Path) -> set[str]:
    if not folder.exists():
        return set()
    return {path.name for path in folder.iterdir()}
