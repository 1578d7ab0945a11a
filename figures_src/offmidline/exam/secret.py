"""The secret seed of real papers: a file that lies outside the project.

Who has the project can work out every item that a public seed draws: what keeps a paper secret is
this file alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from offmidline import messages
from offmidline.records.faults import FaultsError, whole_file

VARIABLE: Final = "OFFMIDLINE_SEED_FILE"
# Bytes below which a secret can be guessed. [derived: 2**128 guesses]
LEAST_BYTES: Final = 16


def secret_of(named: Path | None, environment: Mapping[str, str], project: Path) -> bytes | None:
    """The secret in the file that an option or else the environment names; None where neither does.

    Args:
        named: the option's path.
        environment: of the process.
        project: the folder that the file must not lie in.

    Raises:
        FaultsError: where the file cannot be read, is too short, or lies in the project.
    """
    path = named or (Path(environment[VARIABLE]) if environment.get(VARIABLE) else None)
    if path is None:
        return None
    if path.resolve().is_relative_to(project.resolve()):
        raise _fault(path, "inside", project=project)
    try:
        secret = path.read_bytes().strip()
    except OSError as error:
        raise _fault(path, "unreadable", reason=error.strerror or error) from None
    if len(secret) < LEAST_BYTES:
        raise _fault(path, "short", least=LEAST_BYTES, found=len(secret))
    return secret


def _fault(path: Path, name: str, /, **values: object) -> FaultsError:
    return FaultsError([whole_file(path, messages.text(f"exam.secret.{name}", **values))])
