"""The JSON Schemas: current, of draft 7, and in agreement with the reader."""

from __future__ import annotations

import json

import jsonschema
import pytest
import yaml

from offmidline.records import FaultsError, read_case
from offmidline.records.schema import schema_files

NAMES = ["case", "complication", "grading", "sources", "technique"]
DRAFT_7 = {
    *("$ref", "$schema", "definitions", "description", "examples", "title", "type", "enum"),
    *("additionalProperties", "patternProperties", "properties", "propertyNames", "required"),
    *("items", "maxItems", "minItems", "maxLength", "pattern", "maximum", "minimum"),
}


def _validator(name):
    return jsonschema.Draft7Validator(json.loads(schema_files()[f"{name}.json"]))


@pytest.mark.parametrize("name", NAMES)
def test_the_shipped_schemas_are_current(shipped, name):
    """`offmidline schema` would change nothing."""
    there = (shipped / "schema" / f"{name}.json").read_text(encoding="utf-8")
    assert there == schema_files()[f"{name}.json"]


@pytest.mark.parametrize("name", NAMES)
def test_the_schemas_keep_to_draft_7(name):
    """They are valid, and use no keyword that editors for draft 7 do not know."""
    schema = json.loads(schema_files()[f"{name}.json"])
    jsonschema.Draft7Validator.check_schema(schema)

    def keywords(node):
        if isinstance(node, dict):
            yield from node
            for key, value in node.items():
                if key in ("properties", "patternProperties", "definitions"):
                    for part in value.values():
                        yield from keywords(part)
                elif key != "examples":
                    yield from keywords(value)
        elif isinstance(node, list):
            for part in node:
                yield from keywords(part)

    assert set(keywords(schema)) <= DRAFT_7


def test_the_shipped_records_satisfy_their_schemas(shipped):
    """As an editor reads them, with YAML's own types."""
    files = [("sources", shipped / "sources.yml")]
    for name in NAMES:
        found = [(name, path) for path in (shipped / f"{name}s").glob("*.yml")]
        assert found or name == "sources"
        files += found
    for name, path in files:
        _validator(name).validate(yaml.safe_load(path.read_text(encoding="utf-8")))


def test_a_case_with_every_key_satisfies_the_schema(case_text):
    """The schema knows every key."""
    case = yaml.safe_load(case_text)
    assert set(case) == set(json.loads(schema_files()["case.json"])["properties"])
    _validator("case").validate(case)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("at: 62 mm", "at: 62"),
        ("at: 62 mm", "at: 62 kg"),
        ("at: 62 mm", "at: 6e1 mm"),
        ("at: 62 mm", "at: .nan"),
        ("at: 62 mm", "at: -62 mm"),
        ("at: 62 mm", "at: '62,5 mm'"),
        ("at: 62 mm", "at: 62 mm 3 cm"),
        ("at: 62 mm", "at: null"),
        ("at: 62 mm", "at: ''"),
        ("title: Two pits and an opening", "title: ''"),
        ("title: Two pits and an opening", "titel: Two"),
        ("title: Two pits and an opening\n", ""),
        ("title: Two pits and an opening", "title: " + "x" * 201),
        ("case: tile-setter", "case: Tile Setter"),
        ("audience: trainee", "audience: all"),
        ("smoker: false", "smoker: 'false'"),
        ("smoker: false", "smoker: 0"),
        ("asa: 2", "asa: 5"),
        ("asa: 2", "asa: '2'"),
        ("deep_stitches: 9", "deep_stitches: 9.5"),
        ("drained: 1", "drained: -1"),
        ("closure: {deep_stitches: 9}", "closure: [9]"),
        ("    - {at: 62 mm, diameter: 2 mm}\n    - {at: 74 mm, diameter: 3 mm}\n", "    []\n"),
        ("volume: 60 ml", "volume: 60 mg"),
        ("lateral_cut: 45 deg", "lateral_cut: 45"),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(case_text, write_case, folder, old, new):
    """Typical faults show in the editor already."""
    assert old in case_text
    text = case_text.replace(old, new, 1)
    assert not _validator("case").is_valid(yaml.safe_load(text))
    with pytest.raises(FaultsError):
        read_case(write_case(text), folder)


def test_descriptions_tell_the_range_and_the_reason():
    """An editor shows what is allowed and why."""
    pit = json.loads(schema_files()["case.json"])["definitions"]["Pit"]["properties"]["at"]
    assert "250 mm" in pit["description"]
    assert "anal verge" in pit["description"]
    assert pit["examples"]
