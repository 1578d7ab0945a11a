"""What the YAML parser complains of, in plain words and where the cause is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

import yaml

# A part of the parser's complaint (in C and in Python it words some differently) -> message key.
_COMPLAINTS: Final = (
    ("mapping values are not allowed", "yaml_colon"),
    ("unexpected end of stream", "yaml_quote"),
    ("unexpected document indicator", "yaml_quote"),
    ("unknown escape character", "yaml_escape"),
    ("escape sequence", "yaml_escape"),
    ("expected escape sequence", "yaml_escape"),
    ("invalid Unicode character escape", "yaml_escape"),
    ("did not find expected hexdecimal number", "yaml_escape"),
    ("maximum nesting depth", "yaml_depth"),
    ("cannot start any token", "yaml_character"),
    ("or '}'", "yaml_bracket"),
    ("or ']'", "yaml_bracket"),
    ("expected node content", "yaml_bracket"),
    ("expected the node content", "yaml_bracket"),
    ("could not find expected ':'", "yaml_key"),
    ("block sequence entries are not allowed", "yaml_dash"),
    ("sequence entries are not allowed", "yaml_dash"),
    ("expected <block end>", "yaml_indentation"),
    ("did not find expected key", "yaml_indentation"),
    ("did not find expected '-' indicator", "yaml_indentation"),
    ("undefined tag handle", "yaml_tag"),
    ("tag", "yaml_tag"),
    ("alphabetic or numeric character", "yaml_anchor"),
    ("expected alphanumeric", "yaml_anchor"),
    ("directive", "yaml_directive"),
    ("incompatible YAML document", "yaml_directive"),
    ("unexpected ':'", "yaml_flow_colon"),
    ("comment or line break", "yaml_block"),
    ("comment or a line break", "yaml_block"),
    ("indentation indicator", "yaml_block"),
    ("mapping keys are not allowed", "yaml_question"),
    ("<document start>", "yaml_second_start"),
)
# Complaints that may also mean that text follows a value that has ended, as in 'it's'.
_AFTER_A_VALUE: Final = frozenset({"yaml_indentation", "yaml_second_start"})
# Complaints that are best shown where the part began, not where the parser gave up.
_AT_THE_BEGINNING: Final = frozenset({"yaml_quote", "yaml_key"})


class Complaint(NamedTuple):
    """A parser's error: the message key, its values, and where it is (from 1)."""

    key: str
    values: Mapping[str, object]
    line: int
    column: int


def in_plain_words(error: yaml.YAMLError, text: str) -> Complaint:
    """Find the words and the place for an error of the parser in a text."""
    if not isinstance(error, yaml.MarkedYAMLError):
        return Complaint("yaml_other", {"problem": " ".join(str(error).split())}, 1, 1)
    problem = " ".join(filter(None, (error.problem, error.context)))
    key = next((key for part, key in _COMPLAINTS if part in problem), "yaml_other")
    began = _position(error.context_mark)
    line, column = _position(error.problem_mark)
    if key in _AT_THE_BEGINNING or (line, column) < began:
        line, column = began if error.context_mark is not None else (line, column)
    if key in _AFTER_A_VALUE:
        key = _closer_look(key, text, line, column)
    values = {"problem": error.problem, "opened": began[0]}
    return Complaint(key, values, line, column)


def _position(mark: Any) -> tuple[int, int]:
    return (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)


def _closer_look(key: str, text: str, line: int, column: int) -> str:
    """Tell an indentation that does not fit from other slips that the parser words alike."""
    lines = text.split("\n")
    here = lines[line - 1] if line <= len(lines) else ""
    if here[: column - 1].strip(" -"):
        return "yaml_after_value"
    return "key_missing" if here.strip(" -").startswith(":") else key
