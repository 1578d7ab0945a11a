"""Response processing of questions, worked out from the standard alone.

Nothing here knows the writer: a question is read from its file, an answer is what a candidate gives
(text, texts in order, or nothing), and the outcomes are the score and what is told. None is the
value of what was not answered or could not be read; an expression on it has no value either.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from lxml import etree

NAMESPACES = {"q": "http://www.imsglobal.org/xsd/imsqti_v2p2"}
# As XML Schema writes a float, without exponents and infinities.
FLOAT = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")

Given = str | Sequence[str] | None


@dataclass
class Told:
    """The outcomes of an answer."""

    score: float
    title: str = ""
    feedback: str = ""


@dataclass
class _Run:
    root: Any
    response: Any
    outcomes: dict[str, Any] = field(default_factory=dict)


def evaluate(document: bytes, given: Given) -> Told:
    """What an answer is worth to a question, and what is told of it."""
    root = etree.fromstring(document)
    run = _Run(root, _read(root, given))
    for one in root.iterfind("q:outcomeDeclaration", NAMESPACES):
        value = one.findtext("q:defaultValue/q:value", namespaces=NAMESPACES)
        run.outcomes[one.get("identifier")] = _typed(one.get("baseType"), value)
    for rule in root.find("q:responseProcessing", NAMESPACES):
        _obey(rule, run)
    for one in root.iterfind("q:modalFeedback", NAMESPACES):
        if one.get("identifier") == run.outcomes[one.get("outcomeIdentifier")]:
            text = "".join(one.itertext()).strip()
            return Told(run.outcomes["SCORE"], one.get("title", ""), text)
    return Told(run.outcomes["SCORE"])


def _read(root: Any, given: Given) -> Any:
    """An answer in the type of the response; choices that are not offered cannot be made."""
    declared = root.find("q:responseDeclaration", NAMESPACES)
    kind, cardinality = declared.get("baseType"), declared.get("cardinality")
    offered = {one.get("identifier") for one in root.iterfind(".//q:simpleChoice", NAMESPACES)}
    if cardinality == "ordered":
        return tuple(one for one in given or () if one in offered) or None
    value = _typed(kind, given)
    return None if kind == "identifier" and value not in offered else value


def _typed(kind: str, text: Any) -> Any:
    if text is None or not text.strip():
        return None
    if kind == "float":
        return float(text) if FLOAT.fullmatch(text.strip()) else None
    if kind == "point":
        parts = text.split()
        return tuple(map(int, parts)) if len(parts) == 2 and all(map(str.isdigit, parts)) else None
    return text.strip()


def _obey(rule: Any, run: _Run) -> bool:
    """Follow a rule. Says, of a branch, whether its condition held."""
    name = etree.QName(rule).localname
    if name == "setOutcomeValue":
        run.outcomes[rule.get("identifier")] = _value(rule[0], run)
    elif name == "responseCondition":
        any(_obey(branch, run) for branch in rule)
    elif name in ("responseIf", "responseElseIf"):
        if _value(rule[0], run) is not True:
            return False
        for inner in rule[1:]:
            _obey(inner, run)
    else:
        raise ValueError(f"no rule {name}")
    return True


def _value(expression: Any, run: _Run) -> Any:
    name = etree.QName(expression).localname
    inner = [_value(one, run) for one in expression]
    return _EXPRESSIONS[name](expression, run, inner)


def _correct(_: Any, run: _Run, __: Any) -> Any:
    declared = run.root.find("q:responseDeclaration", NAMESPACES)
    texts = [one.text for one in declared.iterfind("q:correctResponse/q:value", NAMESPACES)]
    values = tuple(_typed(declared.get("baseType"), text) for text in texts)
    return values if declared.get("cardinality") == "ordered" else values[0]


def _and(_: Any, __: Any, inner: list[Any]) -> bool | None:
    if False in inner:
        return False
    return None if None in inner else True


def _index(expression: Any, _: Any, inner: list[Any]) -> Any:
    (values,), at = inner, int(expression.get("n")) - 1
    return values[at] if values is not None and at < len(values) else None


def _in_circle(coordinates: str, point: Any) -> bool:
    x, y, radius = map(int, coordinates.split(","))
    return math.hypot(point[0] - x, point[1] - y) <= radius


def _inside(expression: Any, _: Any, inner: list[Any]) -> bool | None:
    (point,) = inner
    return None if point is None else _in_circle(expression.get("coords"), point)


def _mapped(_: Any, run: _Run, __: Any) -> Any:
    area = run.root.find("q:responseDeclaration/q:areaMapping", NAMESPACES)
    total = 0.0
    if run.response is not None:
        hit = [one for one in area if _in_circle(one.get("coords"), run.response)]
        total = sum(float(one.get("mappedValue")) for one in hit)
        total = total if hit else float(area.get("defaultValue"))
    return min(max(total, float(area.get("lowerBound"))), float(area.get("upperBound")))


def _both(compare: Callable[[Any, Any], bool]) -> Callable[[Any, Any, list[Any]], bool | None]:
    """A comparison that has no value where one of its sides has none."""
    return lambda _, __, inner: None if None in inner else compare(inner[0], inner[1])


_EXPRESSIONS: dict[str, Callable[[Any, _Run, list[Any]], Any]] = {
    "variable": lambda _, run, __: run.response,
    "correct": _correct,
    "baseValue": lambda one, _, __: _typed(one.get("baseType"), one.text),
    "isNull": lambda _, __, inner: inner[0] is None,
    "not": lambda _, __, inner: None if inner[0] is None else not inner[0],
    "and": _and,
    "match": _both(lambda one, other: one == other),
    "gte": _both(lambda one, other: one >= other),
    "lte": _both(lambda one, other: one <= other),
    "index": _index,
    "inside": _inside,
    "mapResponsePoint": _mapped,
}
