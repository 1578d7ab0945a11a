"""What was worked out before: plans put into words, and figures drawn, kept in a folder outside
the handbook.

An entry's name is a hash of all that its content depends on. It is written beside its place and
moved there, so that no build ever reads half of one; an entry that is broken all the same counts
as missing.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, Final

# What decides a number or a drawn line besides the project's own code.
LIBRARIES: Final = ("numpy", "scipy", "shapely", "matplotlib", "pydantic")
_PACKAGE: Final = Path(__file__).resolve().parents[1]
_SUFFIX: Final = ".json"


def digest(*parts: str) -> str:
    """A hash of texts, each told apart from its neighbours."""
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


@lru_cache(maxsize=1)
def code_digest() -> str:
    """A hash of the package's code and words and of the libraries' versions.

    Once a process: what a running process has imported does not change with its file.
    """
    files = sorted(
        path for path in _PACKAGE.rglob("*") if path.suffix in (".py", ".yml") and path.is_file()
    )
    contents = [path.relative_to(_PACKAGE).as_posix() + path.read_text("utf-8") for path in files]
    return digest(*contents, *(f"{name} {version(name)}" for name in LIBRARIES))


class Cache:
    """A folder of entries, for one thread; several processes may share it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._used: set[str] = set()

    def get(self, key: str, make: Callable[[], dict[str, Any]]) -> dict[str, Any]:
        """The entry for a key; made and kept where there is none."""
        found = self.find(key)
        if found is None:
            found = make()
            self._write(self._path(key), found)
        return found

    def find(self, key: str) -> dict[str, Any] | None:
        """The entry for a key, or None."""
        path = self._path(key)
        self._used.add(path.name)
        return _read(path)

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{_SUFFIX}"

    def drop_unused(self) -> None:
        """Remove every entry that was not asked for, so that nothing outlives its scenario."""
        for path in self.folder.glob(f"*{_SUFFIX}"):
            if path.name not in self._used:
                path.unlink(missing_ok=True)

    def _write(self, path: Path, value: dict[str, Any]) -> None:
        # Keys stay in their order: what comes out is in all that pages show what went in.
        body = json.dumps(value, ensure_ascii=False)
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=self.folder, prefix=f"{path.stem}-")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(f"{_checksum(body)}\n{body}")
            Path(name).replace(path)
        finally:
            Path(name).unlink(missing_ok=True)


def _read(path: Path) -> dict[str, Any] | None:
    """An entry's value, or None where it is missing or does not agree with its own checksum."""
    try:
        checksum, _, body = path.read_text("utf-8").partition("\n")
    except (OSError, UnicodeDecodeError):
        return None
    if checksum != _checksum(body):
        return None
    value: dict[str, Any] = json.loads(body)
    return value


def _checksum(body: str) -> str:
    return hashlib.sha256(body.encode()).hexdigest()


def key_of(*parts: str) -> str:
    """The key of an entry that depends on these texts and on this version of the code."""
    return digest(code_digest(), *parts)
