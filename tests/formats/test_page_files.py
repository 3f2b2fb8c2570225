"""What the page writes in its folder fits the published schemas."""

from __future__ import annotations

import ast
import json
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import palette
import palette.page.folder
from palette.page.documents import add_table, new_brief
from palette.page.folder import with_memory
from palette.page.locking import with_lock
from palette.page.photo_reading import open_photo, read_wall
from palette.page.remembered import _SHAPES, entry_faults
from palette.page.schemes import with_way
from palette.page.sitting import Sitting
from palette.page.starting import Measured, demo_files, files_from_measurements, generic_tables
from tests.conftest import CANYON
from tests.formats.checking import as_json, faults, load

KINDS = {"brief.toml": "brief", "paints.toml": "paints", "wall.toml": "wall", "plan.toml": "plan",
         "scheme.json": "scheme", "page.json": "page"}  # fmt: skip


@pytest.fixture
def sitting(tmp_path):
    shutil.copytree(
        CANYON, tmp_path / "wall", ignore=shutil.ignore_patterns("pictures", "*.png", "*.py", "*.jpg")
    )
    here = Sitting(tmp_path / "wall")
    here.open()
    yield here
    here.close()


def on_disk(sitting):
    """Return the documents in the folder once all is written, each held against its schema."""
    sitting._writer.submit(lambda: None).result()
    assert sitting.saved == ""
    found = {}
    for path in sorted(sitting.keeper.folder.iterdir()):
        if path.name in KINDS:
            found[path.name] = load(path)
            assert faults(as_json(found[path.name]), KINDS[path.name]) == [], path.name
    return found


def test_an_evening_with_the_demo(sitting, canyon_outcome):
    scheme = canyon_outcome.scheme
    sitting.use_scheme(scheme.paint_of, deed="found", proof=scheme.to_dict()["proof"])
    sitting.remember(
        "kept", kept=[{"name": "Scheme 1", "paint_of": dict(scheme.paint_of), "best_at": "contrast"}]
    )
    sitting.act("lock", with_lock(sitting.files, "sill", "brick red"))
    sitting.act("way out", with_way(sitting.files, {"edits": {"1": {"tolerance": 12.0}}, "out": [2]}))
    sitting.act("generic", add_table(sitting.files, "paint", next(iter(generic_tables().values()))))
    found = on_disk(sitting)
    assert set(found) >= {"brief.toml", "paints.toml", "scheme.json", "page.json"}
    assert found["scheme.json"]["version"] == found["page.json"]["version"] == 1
    assert found["page.json"]["resting"] == [{"kind": "quota", "at_least": 1}]
    assert found["page.json"]["proof"]["proof"]["status"] == "optimal"
    # The command reads what the page wrote.
    assert dict(palette.read_scheme(sitting.keeper.folder / "scheme.json").paint_of) == dict(
        scheme.paint_of
    )


def test_a_wall_typed_in(sitting):
    # The demo's folder has a wall.toml its brief does not name: that one is not written over unasked.
    (sitting.keeper.folder / "wall.toml").unlink()
    row = Measured(name="slab", left="1 in", bottom="1 in", width="20 in", height="10 in")
    hatch = Measured(name="hatch", left="2 in", bottom="2 in", width="4 in", height="4 in", role="hatch")
    sitting.act("typed", files_from_measurements(sitting.files, "Porch", "6 ft x 2 ft", [row, hatch]))
    found = on_disk(sitting)
    assert found["wall.toml"]["version"] == 1
    assert palette.read_layout(sitting.keeper.folder / "wall.toml").ids == ("slab",)


def test_a_first_brief_says_its_version():
    text = new_brief("Porch", panel={"file": "wall.png", "size": "6 ft x 2 ft"}, paints="paints.toml")
    assert text.startswith(b"version = 1\n")


def test_a_wall_from_a_photo(sitting):
    data = (CANYON / "painted.jpg").read_bytes()
    corners = [tuple(map(float, pair.split(","))) for pair in (CANYON / "corners.txt").read_text().split()]
    photo = open_photo("hall.jpg", data)
    read = read_wall(demo_files(), "hall.jpg", data, photo, corners, size="8 ft x 6 ft", light="daylight")
    sitting.act("photo", read.files)
    found = on_disk(sitting)
    assert found["page.json"]["photo"] == {"taken": "photo.jpg", "square": "wall-photo.jpg"}
    assert len(found["page.json"]["corners"]) == 4
    assert found["scheme.json"]["brief"] == "brief.toml"


def test_the_page_remembers_what_its_schema_lists():
    written = set()
    for path in Path(palette.page.folder.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                name = (
                    node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
                )
                if name in ("with_memory", "remember"):
                    written |= {keyword.arg for keyword in node.keywords if keyword.arg}
    listed = set(palette.read_schema("page")["properties"]) - {"version"}
    assert written == listed == set(_SHAPES)


def test_the_memory_says_its_version_first():
    text = with_memory({}, photo_light="daylight")["page.json"]
    assert json.loads(text) == {"version": 1, "photo_light": "daylight"}
    assert text.startswith(b'{\n "version": 1')


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.just(0.5) | st.sampled_from(["", "clash", "a"]),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["name", "paint_of", "kind", "taken", "best_at", "zq"]), inner, max_size=4
        )
    ),
    max_leaves=8,
)


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_the_page_takes_the_memory_its_schema_allows(data):
    key = data.draw(st.sampled_from(sorted(set(_SHAPES) - {"proof", "resting"})))
    value = data.draw(JUNK)
    taken = not list(entry_faults({key: value}, where="page.json"))
    assert taken == (not faults({key: value}, "page")), (key, value)


@settings(max_examples=100, deadline=None)
@given(value=JUNK, key=st.sampled_from(["proof", "resting"]))
def test_the_page_is_no_stricter_than_its_schema_nor_takes_other_kinds(value, key):
    taken = not list(entry_faults({key: value}, where="page.json"))
    fits = not faults({key: value}, "page")
    kind = {"proof": dict, "resting": list}[key]
    assert isinstance(value, kind) or not (taken or fits)
    if key == "proof":
        assert taken or not fits
