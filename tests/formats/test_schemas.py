"""The schemas are sound, complete, and fit every file that ships."""

from __future__ import annotations

import json
import re

import jsonschema
import pytest

import palette
from palette.formats import ANSWERS, FILES
from tests.conftest import CANYON
from tests.formats.checking import GOLDEN, KIND_OF_GOLDEN, SCHEMAS, as_json, checker, faults, load
from tests.formats.rules_schema import rules_schema

EXAMPLES = {"brief.toml": "brief", "paints.toml": "paints", "plan.toml": "plan", "wall.toml": "wall"}


def objects(node, path=""):
    """Yield every schema within a schema that lists keys."""
    if isinstance(node, dict):
        if "properties" in node and node.get("type") == "object":
            yield path, node
        for key, entry in node.items():
            yield from objects(entry, f"{path}/{key}")
    elif isinstance(node, list):
        for number, entry in enumerate(node):
            yield from objects(entry, f"{path}/{number}")


def test_every_kind_has_its_schema_and_no_other_is_there():
    assert sorted(path.name for path in SCHEMAS.iterdir()) == sorted(
        f"{name}.schema.json" for name in (*FILES, *ANSWERS)
    )


@pytest.mark.parametrize("kind", palette.FORMATS)
def test_a_schema_is_one_by_the_standards_own_schema(kind):
    schema = palette.read_schema(kind)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    # Every $ref leads somewhere: an empty document walks them all or says what it lacks.
    list(checker(kind).iter_errors({}))
    for target in re.findall(r'"\$ref": "([^"#]*)#?([^"]*)"', json.dumps(schema)):
        place = palette.read_schema(target[0].removesuffix(".schema.json")) if target[0] else schema
        for step in filter(None, target[1].split("/")):
            place = place[step]


@pytest.mark.parametrize("kind", palette.FORMATS)
def test_a_schema_says_the_version_and_lets_no_strange_key_in(kind):
    schema = palette.read_schema(kind)
    tops = [schema] if "properties" in schema else [
        schema["$defs"][one["$ref"].rsplit("/", 1)[-1]] if "$ref" in one else one for one in schema["oneOf"]
    ]  # fmt: skip
    for top in tops:
        assert top["properties"]["version"]["const"] == palette.FORMATS[kind].version
    for path, node in objects(schema):
        # The page keeps what it does not know: only its memory is open.
        assert (node.get("additionalProperties") is False) != (kind == "page"), path


@pytest.mark.parametrize("kind", FILES)
def test_every_key_of_a_file_is_told(kind):
    schema = palette.read_schema(kind)
    defs = schema.get("$defs", {})
    for path, node in objects(schema):
        for key, entry in node["properties"].items():
            target = entry.get("$ref", "").rsplit("/", 1)[-1]
            told = entry.get("description") or defs.get(target, {}).get("description")
            assert told or "const" in entry, f"{path}: {key}"


def test_the_rules_schema_is_what_the_rules_fields_say():
    shipped = palette.read_schema("rules")
    assert shipped == rules_schema(), "run python tests/formats/rules_schema.py"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_fit(name):
    assert faults(as_json(load(CANYON / name)), EXAMPLES[name]) == []


@pytest.mark.parametrize("name", KIND_OF_GOLDEN)
def test_the_kept_files_fit(name):
    assert faults(as_json(load(GOLDEN / name)), KIND_OF_GOLDEN[name]) == []


def test_the_shipped_paints_and_lamps_fit():
    data = SCHEMAS.parent
    assert faults(load(data / "paints" / "generic.toml"), "paints") == []
    lamps = sorted((data / "lights").glob("*.toml"))
    assert len(lamps) == 5
    for path in lamps:
        assert faults(load(path), "lamp") == [], path.name


def test_a_kind_nobody_knows_is_told():
    with pytest.raises(palette.InputError, match='there is no kind of file "breif"'):
        palette.read_schema("breif")
