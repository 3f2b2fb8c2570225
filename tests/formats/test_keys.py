"""Readers and schemas know the same keys: each refuses by name what the other does not list.

A reader says its keys itself, when it is given one that resembles none: "use one of: …".
"""

from __future__ import annotations

import copy
import json
import re
import shutil
import string

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import palette
from palette.errors import InputError
from palette.rules import KINDS, rule_from_dict
from tests.formats.checking import GOLDEN, as_json, faults, load
from tests.formats.test_versions import READERS

LIQUIDS = ("primer", "white", "clear", "fire_retardant")
PARTS = ("surface", "waste", "buying", "days", "rates", "site", "wanted_light", "people", "paper", "labels")

# Where an object stands in a kept file, and where its keys stand in the schema.
PLACES = [
    ("brief.toml", (), "brief", ""),
    ("brief.toml", ("panel",), "brief", "properties/panel/anyOf/1"),
    ("brief.toml", ("neighbours",), "brief", "properties/neighbours"),
    ("brief-whole.toml", ("panel",), "wall", "$defs/layout"),
    ("brief-whole.toml", ("panel", "section", 0), "wall", "$defs/shape"),
    ("brief-whole.toml", ("paint", 0), "paints", "$defs/paint"),
    ("rules.toml", (), "rules", ""),
    ("wall.toml", (), "wall", ""),
    ("wall.toml", ("section", 1), "wall", "$defs/shape"),
    ("wall.toml", ("trim", 0), "wall", "$defs/shape"),
    ("wall.toml", ("void", 0), "wall", "$defs/shape"),
    ("wall.toml", ("hatch",), "wall", "$defs/shape"),
    ("paints.toml", (), "paints", ""),
    ("paints.toml", ("paint", 0), "paints", "$defs/paint"),
    ("paints.toml", ("paint", 0, "swatch"), "paints", "$defs/paint/properties/swatch"),
    ("paints.toml", ("paint", 1, "glow"), "paints", "$defs/glow"),
    ("paints.toml", ("paint", 2, "glow", 0), "paints", "$defs/glow"),
    ("paints.toml", ("paint", 2, "glow", 0, "bands", 0), "paints", "$defs/glow/properties/bands/items"),
    ("lamp.toml", (), "lamp", ""),
    ("lamp.toml", ("peaks", 0), "lamp", "properties/peaks/items"),
    ("plan.toml", (), "plan", ""),
    *[("plan.toml", (part,), "plan", "$defs/liquid") for part in LIQUIDS],
    *[("plan.toml", (part,), "plan", f"properties/{part}") for part in PARTS],
    ("plan.toml", ("container", 0), "plan", "properties/container/items"),
    ("plan.toml", ("lamp", 0), "plan", "$defs/lamp"),
    ("plan.toml", ("lamp", 1, "reading"), "plan", "$defs/lamp/properties/reading"),
    ("photo-list.toml", (), "photo-list", ""),
    ("photo-list.toml", ("job", 1), "photo-list", "properties/job/items"),
    ("scheme.json", (), "scheme", ""),
    ("scheme.json", ("proof",), "scheme", "$defs/proof"),
    ("scheme.json", ("proof", "levels", 0), "scheme", "$defs/proof/properties/levels/items"),
]  # fmt: skip
IDS = [f"{name}:{'.'.join(map(str, steps))}" for name, steps, _, _ in PLACES]

# Keys that no reader could take for one of its own, nor for a slip of one.
STRANGE = st.text(string.ascii_lowercase, min_size=1, max_size=3).map(lambda text: f"zq{text}")


def at(document, steps):
    for step in steps:
        document = document[step]
    return document


def write(path, document):
    text = tomlkit.dumps(document) if path.suffix == ".toml" else json.dumps(document)
    path.write_text(text, encoding="utf-8")


def complaint(folder, name, document):
    """Return what the reader says of a kept file with this in place of what it held."""
    kind = {"brief-whole.toml": "brief"}.get(name, name.split(".")[0])
    write(folder / name, document)
    try:
        found = READERS[kind](folder / name)
    except InputError as fault:
        return str(fault)
    # A plan is made of the parts that can be used; the others are told.
    return "\n".join(str(fault) for fault in getattr(found, "left_out", ()))


@pytest.fixture
def folder(tmp_path):
    """Return a folder with the kept files."""
    shutil.copytree(GOLDEN, tmp_path, dirs_exist_ok=True)
    return tmp_path


def keys_told(sentence):
    """Return the keys a reader says it knows."""
    listed = re.search(r"use one of: ([\w, ]+)", sentence)
    assert listed, sentence
    return set(listed.group(1).split(", "))


@pytest.mark.parametrize(("name", "steps", "kind", "place"), PLACES, ids=IDS)
def test_reader_and_schema_know_the_same_keys(folder, name, steps, kind, place):
    document = load(GOLDEN / name)
    at(document, steps)["zzzzzz"] = 1
    node = at(palette.read_schema(kind), [int(s) if s.isdecimal() else s for s in place.split("/") if s])
    assert keys_told(complaint(folder, name, document)) == set(node["properties"]) - {"version"}


@pytest.mark.parametrize(("name", "steps", "kind", "place"), PLACES, ids=IDS)
@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(key=STRANGE)
def test_a_strange_key_is_refused_by_name_by_both(folder, name, steps, kind, place, key):
    document = load(GOLDEN / name)
    at(document, steps)[key] = "x"
    assert f'"{key}" is not known here' in complaint(folder, name, document)
    own = {"brief-whole.toml": "brief"}.get(name, name.split(".")[0])
    assert faults(as_json(document), own)
    shutil.copy(GOLDEN / name, folder / name)


@pytest.mark.parametrize("kind", KINDS)
def test_a_rule_and_its_schema_know_the_same_keys(kind):
    with pytest.raises(InputError) as stop:
        rule_from_dict({"kind": kind, "zzzzzz": 1}, where="rules.toml, rule 1")
    # A seam's two files are read before the rule is.
    files = {"panel", "scheme"} if kind == "seam" else set()
    schema = palette.read_schema("rules")["$defs"][kind]
    assert keys_told(str(stop.value)) | files == set(schema["properties"]) - {"kind"}
    assert 'there is no key "zzzzzz"' in str(stop.value)
    assert faults({"rule": [{"kind": kind, "zzzzzz": 1}]}, "rules")


def test_the_keys_of_what_stands_beside_a_seam_are_checked():
    row = {"from": "0 mm", "to": "1 m", "paint": "moss", "zzzzzz": 1}
    with pytest.raises(InputError, match='the key "zzzzzz" is not known here; use one of: from, paint, to'):
        rule_from_dict({"kind": "seam", "facing": [row]}, where="x")
    assert faults({"rule": [{"kind": "seam", "facing": [row]}]}, "rules")


# To JSON Schema 2.0 is a whole number, to TOML it is not; only such figures are left out.
NOT_WHOLE = st.floats(-3, 400).map(lambda v: round(v, 2)).filter(lambda v: v != int(v))
VALUES = st.one_of(
    st.booleans(), st.integers(-3, 400), NOT_WHOLE,
    st.sampled_from(["off", "must", "prefer", "bands", "left", "moss", "red", ""]),
    st.lists(st.sampled_from(["moss", "fern", "red"]), max_size=3),
    st.lists(st.lists(st.sampled_from(["red", "orange"]), min_size=1, max_size=3), max_size=2),
)  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(data=st.data())
def test_a_rule_takes_the_values_its_schema_allows(data):
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    schema = palette.read_schema("rules")["$defs"][kind]
    key = data.draw(
        st.sampled_from(sorted(set(schema["properties"]) - {"kind", "panel", "scheme", "facing", "extra"}))
    )
    value = data.draw(VALUES)
    try:
        rule_from_dict({"kind": kind, key: value}, where="x")
        taken = True
    except InputError:
        taken = False
    fits = not faults({"rule": [{"kind": kind, key: value}]}, "rules")
    # Lengths are texts to a schema; only the reader knows which texts are lengths.
    if isinstance(value, str) and "length" in schema["properties"][key]["description"]:
        assert fits or not taken
    else:
        assert taken == fits, (kind, key, value)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ({"kind": "seam", "panel": "wall.svg", "scheme": "s.json", "facing": []}, "gives its edge as well"),
        ({"kind": "seam", "panel": "wall.svg"}, 'the key "scheme" is missing'),
        ({"kind": "seam", "scheme": "s.json"}, 'there is no key "scheme"'),
    ],
)
def test_a_seam_has_its_neighbour_in_one_way(folder, table, words):
    document = load(GOLDEN / "rules.toml")
    document["rule"] = [table]
    assert words in complaint(folder, "rules.toml", document)
    assert faults(document, "rules")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"gap": "5 mm"}, "there is no run of panels"),
        ({"paint": [{"name": "moss", "swatch": {"daylight": "#fff"}}]}, "lists paints as well"),
        ({"rule": [{"kind": "clash"}]}, "lists rules as well"),
        ({"panels": ["wall.svg"]}, "names one panel and a run of panels as well"),
    ],
)
def test_nothing_a_brief_says_is_passed_over(folder, change, words):
    document = {**load(GOLDEN / "brief.toml"), **change}
    assert words in complaint(folder, "brief.toml", document)
    assert faults(as_json(document), "brief")


def test_a_glow_has_one_peak_or_several_bands(folder):
    document = load(GOLDEN / "paints.toml")
    spoiled = copy.deepcopy(document)
    spoiled["paint"][2]["glow"][0]["width"] = 40
    assert "it has bands and a peak of its own as well" in complaint(folder, "paints.toml", spoiled)
    assert faults(spoiled, "paints")
