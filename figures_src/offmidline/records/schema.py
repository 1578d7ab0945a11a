"""JSON Schemas of the records, for editors: draft 7, as that is what editors know best.

A schema cannot compare quantities or files: it refuses less than the reader does, and nothing
that the reader accepts except texts that look like another type and are not in quotes.
"""

from __future__ import annotations

import json
from typing import Any, Final

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from offmidline.records.case import Case
from offmidline.records.kinds import KINDS
from offmidline.records.reader import SourceList
from offmidline.records.technique import Setting, Technique

DRAFT: Final = "http://json-schema.org/draft-07/schema#"
_DEFINITIONS: Final = "definitions"
_REFERENCE: Final = f"#/{_DEFINITIONS}/{{model}}"
_RECORDS: Final[dict[str, Any]] = {
    "case": Case,
    "technique": Technique,
    "sources": SourceList,
    **{kind.key: kind.record for kind in KINDS.values()},
}


class _Generator(GenerateJsonSchema):
    """Leaves out null, which no key accepts, and the titles that repeat the keys."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def field_title_should_be_set(self, schema: Any) -> bool:  # noqa: ARG002
        return False


def schema_files() -> dict[str, str]:
    """The schemas as (file name, text)."""
    return {f"{name}.json": _text(name, record) for name, record in _RECORDS.items()}


def _text(name: str, record: Any) -> str:
    made = TypeAdapter(record).json_schema(schema_generator=_Generator, ref_template=_REFERENCE)
    definitions = made.pop("$defs", {})
    settings = {key: definitions.pop(key) for key in list(definitions) if Setting.__name__ in key}
    whole = {"$schema": DRAFT, "title": name, **made, _DEFINITIONS: definitions}
    return json.dumps(_with_settings(whole, settings), ensure_ascii=False, indent=1) + "\n"


def _with_settings(node: Any, settings: dict[str, Any]) -> Any:
    """Put the settings where they are referred to: each has its own range and no name."""
    if isinstance(node, dict):
        name = str(node.get("$ref", "")).rpartition("/")[2]
        if name in settings:
            return settings[name]
        return {key: _with_settings(value, settings) for key, value in node.items()}
    if isinstance(node, list):
        return [_with_settings(item, settings) for item in node]
    return node
