"""The command that searches a finished folder."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from offmidline import messages
from offmidline.exam.secret import secret_of
from offmidline.leaks.item_words import item_words
from offmidline.leaks.scan import Leak, Search, scan_tree
from offmidline.leaks.words import secret_words, words_in
from offmidline.records.faults import FaultsError, whole_file


def run_leaks(options: argparse.Namespace) -> int:
    """Print every leak of a folder, or how much was searched for how much.

    Returns 1 where something was found or could not be looked into. What was found is told by
    where it comes from, so that the output may be kept where trainees read it.
    """
    folder: Path = options.folder
    if not folder.is_dir():
        raise FaultsError([whole_file(folder, messages.text("leaks.no_folder"))])
    secret = secret_of(None, os.environ, Path.cwd())
    words = (
        *secret_words(options.scenarios, options.audience),
        *item_words(options.scenarios, secret),
        *(words_in(options.words) if options.words is not None else ()),
    )
    count, leaks = scan_tree(folder, Search(words))
    for leak in leaks:
        sys.stdout.write(_line(folder, leak) + "\n")
    if leaks:
        return 1
    done = messages.text("leaks.none", files=count, words=len(words), audience=options.audience)
    sys.stdout.write(done + "\n")
    return 0


def _line(folder: Path, leak: Leak) -> str:
    where = ", ".join(map(str, leak.way)) or messages.text("leaks.plain")
    path = folder / leak.path
    if leak.word is None:
        return messages.text("leaks.closed", path=path, where=where)
    return messages.text("leaks.found", path=path, what=leak.word.origin, where=where)
