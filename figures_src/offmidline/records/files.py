"""The files of a scenarios folder: where they lie, and their bytes or why there are none."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from stat import S_ISREG

from offmidline import messages
from offmidline.records.faults import Fault, whole_file
from offmidline.records.yaml_text import MAX_BYTES

CASES = "cases"
TECHNIQUES = "techniques"
SOURCES = "sources.yml"
COMPLICATIONS = "complications"
GRADINGS = "gradings"
EVIDENCE = "evidence"
PAPERS = "papers"
# A project may do without all but the techniques.
FOLDERS = (TECHNIQUES, CASES, COMPLICATIONS, GRADINGS, EVIDENCE, PAPERS)
SUFFIX = ".yml"


@dataclass(frozen=True)
class Loaded:
    """A file's path and bytes, or the fault that kept them from being read."""

    path: Path
    data: bytes = b""
    fault: Fault | None = None


def load(path: Path, scenarios: Path) -> Loaded:
    """The bytes of a regular file of bearable size that does not lead out of the scenarios."""
    try:
        refused = _refused(path, scenarios)
        if refused is not None:
            return _unreadable(path, refused, scenarios=scenarios)
        with path.open("rb") as file:
            return Loaded(path, file.read(MAX_BYTES + 1))
    except FileNotFoundError:
        return _unreadable(path, "no_file")
    except PermissionError:
        return _unreadable(path, "no_permission")
    except (OSError, ValueError) as error:  # a name that no file can have is a ValueError
        return _unreadable(path, "unreadable", reason=getattr(error, "strerror", None) or error)


def _refused(path: Path, scenarios: Path) -> str | None:
    """The message for a path that is not opened, such as a folder or a pipe."""
    if not S_ISREG(path.stat().st_mode):
        return "is_folder" if path.is_dir() else "no_regular_file"
    if path.suffix != SUFFIX:
        return "wrong_ending"
    return "leads_out" if _leads_out(path, scenarios) else None


def technique_path(name: str, scenarios: Path) -> Path:
    """Where the technique of an id lies."""
    return scenarios / TECHNIQUES / f"{name}{SUFFIX}"


def technique_ids(scenarios: Path) -> list[str]:
    """The ids of the techniques that there are."""
    return [path.stem for path in records_in(scenarios / TECHNIQUES)]


def records_in(folder: Path) -> list[Path]:
    """The files of a folder of records, in order of their names; none where it is missing."""
    return sorted(path for path in folder.glob(f"*{SUFFIX}") if not path.name.startswith("."))


def folder_faults(scenarios: Path) -> list[Fault]:
    """What is wrong with a scenarios folder apart from the files' content."""
    if not scenarios.is_dir():
        return [whole_file(scenarios, messages.text("faults.no_folder"))]
    return [fault for name in FOLDERS for fault in _strays(scenarios / name)]


def files_of(paths: Iterable[Path], scenarios: Path) -> tuple[list[Path], list[Fault]]:
    """The files that paths stand for, each once, and the faults of folders.

    A folder stands for all its .yml files; no path at all for the records of the scenarios folder.
    """
    wanted = list(paths)
    faults = folder_faults(scenarios)
    if not scenarios.is_dir():
        return [], faults
    if not wanted:
        records = [path for name in FOLDERS for path in records_in(scenarios / name)]
        return [scenarios / SOURCES, *records], faults
    faults = []
    found: dict[Path, Path] = {}
    for path in wanted:
        folder = path.is_dir()
        files = [file for file in path.rglob(f"*{SUFFIX}") if file.is_file()] if folder else [path]
        found.update({_absolute(file): file for file in sorted(files)})
        if folder and not files:
            faults.append(whole_file(path, messages.text("faults.no_records")))
        for name in (path, *(path / one for one in FOLDERS)) if folder else ():
            faults += _strays(name)
    return list(found.values()), faults


def _strays(folder: Path) -> list[Fault]:
    """What should not lie in a folder of records; hidden files are nobody's."""
    if folder.name not in FOLDERS or not folder.is_dir():
        return []
    faults = []
    for path in folder.iterdir():
        if path.name.startswith("."):
            continue
        if path.is_dir():
            faults.append(
                whole_file(path, messages.text("faults.folder_among_records", parent=folder))
            )
        elif path.suffix != SUFFIX:
            faults.append(whole_file(path, messages.text("faults.wrong_ending")))
    return faults


def _unreadable(path: Path, name: str, /, **values: object) -> Loaded:
    return Loaded(path, fault=whole_file(path, messages.text(f"faults.{name}", **values)))


def _leads_out(path: Path, scenarios: Path) -> bool:
    """Whether a file that lies in the scenarios folder by its name lies elsewhere in truth."""
    by_name = _absolute(path).is_relative_to(_absolute(scenarios))
    return by_name and not path.resolve().is_relative_to(scenarios.resolve())


def _absolute(path: Path) -> Path:
    """The path from the root by its name alone, links left as they are."""
    return Path(os.path.abspath(path))  # noqa: PTH100 - Path.resolve follows links
