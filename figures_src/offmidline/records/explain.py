"""From pydantic's errors to faults with a place and with words that say what would be right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from offmidline import messages
from offmidline.records.document import Document, Way
from offmidline.records.faults import shown
from offmidline.records.fields import nearest

# Errors of pydantic's own about the form of a part -> the key of our words.
_FORMS = {
    "model_type": "mapping_due",
    "dict_type": "mapping_due",
    "mapping_type": "mapping_due",
    "tuple_type": "list_due",
    "too_short": "list_too_short",
    "too_long": "list_too_long",
}


def explain(error: ErrorDetails, record: Any, document: Document) -> Way | None:
    """Note one error of pydantic as a fault of the document; returns the way to the bad part.

    Returns None, and notes nothing, where the part's form was refused before.
    """
    way = tuple(part for part in error["loc"] if part != "[key]")
    kind, values = error["type"], dict(error.get("ctx", {}))
    # An unknown key without a value has two faults, but not the rest of a number like 62,5 mm.
    own = kind == "extra_forbidden" and not str(way[-1])[:1].isdigit()
    judged = way[:-1] if own else way
    if any(judged[:n] in document.refused for n in range(len(judged) + 1)):
        return None
    if kind == "too_short" and (*way, 0) in document.places:
        return None  # pydantic counts the good items only; the bad ones have faults of their own
    key = shown(next((part for part in reversed(way) if isinstance(part, str)), ""))
    key = key or messages.text("faults.item")
    if kind == "missing":
        document.fault(document.key_mark(way[:-1]), "missing_key", key=key)
    elif kind == "extra_forbidden":
        _unknown_key(way, record, document)
    elif kind in _FORMS:
        form = _FORMS[kind] if way else f"file_{_FORMS[kind]}"
        document.fault(document.value_mark(way), form, key=key)
    else:
        is_key = error["loc"][-1:] == ("[key]",)
        mark = document.key_mark(way) if is_key else document.value_mark(way)
        known = kind in messages.section("faults")
        document.fault(mark, kind if known else "other", key=key, message=error["msg"], **values)
    return way


def _unknown_key(way: Way, record: Any, document: Document) -> None:
    key = str(way[-1])
    known = keys_of(_record_at(record, way[:-1]))
    near = nearest(key, known)
    if near is not None:
        document.fault(document.key_mark(way), "key_typo", key=shown(key), suggestion=near)
    else:
        document.fault(
            document.key_mark(way), "unknown_key", key=shown(key), known=messages.either(known)
        )


def keys_of(record: type[BaseModel]) -> list[str]:
    """The keys that a record accepts, as people write them."""
    return [field.alias or name for name, field in record.model_fields.items()]


def _record_at(annotation: Any, way: Way) -> type[BaseModel]:
    """The record type that a part of the tree is read as."""
    for part in way:
        annotation = _step(_bare(annotation), part)
    found = _bare(annotation)
    if not (isinstance(found, type) and issubclass(found, BaseModel)):
        raise TypeError(f"{way} is no record")
    return found


def _step(annotation: Any, part: str | int) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return next(
            field.annotation
            for name, field in annotation.model_fields.items()
            if part == (field.alias or name)
        )
    arguments = get_args(annotation)
    return arguments[1] if get_origin(annotation) is Mapping else arguments[0]


def _bare(annotation: Any) -> Any:
    """An annotation without Annotated and without None as the other choice."""
    while True:
        choices = [choice for choice in get_args(annotation) if choice is not type(None)]
        if get_origin(annotation) is Annotated or type(None) in get_args(annotation):
            annotation = choices[0]
        else:
            return annotation
