"""Edits of TOML files: what they change reads back by the standard library, the rest stays as written."""

from __future__ import annotations

import tomllib

from palette.page.documents import (
    add_table,
    change_table,
    drop_table,
    set_brief_entry,
    tables_of,
)
from palette.page.locking import is_locked, locked_sections, with_lock
from palette.page.renaming import with_paint_renamed, with_sections_renamed

BRIEF = b"""# the north wall
panel = "wall.svg"   # drawn by hand
paints = "paints.toml"

[[rule]]
kind = "clash"       # never touch
min_difference = 20
"""
PAINTS = b"""[[paint]]
name = "moss"        # the good can
swatch = { daylight = "#00ff00", blacklight = "#00aa00" }
"""
FILES = {"brief.toml": BRIEF, "paints.toml": PAINTS}


def read(files, name="brief.toml"):
    return tomllib.loads(files[name].decode())


def test_a_blank_filled_in_leaves_the_comments_alone():
    files = change_table(FILES, "rule", 0, {"min_difference": 12.5})
    assert read(files)["rule"] == [{"kind": "clash", "min_difference": 12.5}]
    assert b"# drawn by hand" in files["brief.toml"]
    assert b"# never touch" in files["brief.toml"]


def test_a_key_left_empty_is_taken_out():
    files = change_table(FILES, "rule", 0, {"min_difference": None})
    assert read(files)["rule"] == [{"kind": "clash"}]


def test_tables_are_added_and_dropped_where_they_live():
    files = add_table(
        FILES, "paint", {"name": 'x]y"z', "swatch": {"daylight": "#fff", "blacklight": "#eee"}}
    )
    assert [paint["name"] for paint in read(files, "paints.toml")["paint"]] == ["moss", 'x]y"z']
    assert files["brief.toml"] == BRIEF
    assert [paint["name"] for paint in tables_of(drop_table(files, "paint", 0), "paint")] == ['x]y"z']


def test_a_new_entry_of_the_brief_stands_before_its_tables():
    files = set_brief_entry(FILES, "lights", ["daylight", "led-395"])
    assert read(files)["lights"] == ["daylight", "led-395"]
    assert read(files)["rule"] == [{"kind": "clash", "min_difference": 20}]


def test_a_section_kept_as_it_is_becomes_a_pin_and_back():
    files = with_lock(FILES, "sill", "moss")
    assert read(files)["rule"][1] == {"kind": "pin", "sections": ["sill"], "paint": "moss"}
    assert locked_sections(files) == {"sill"}
    assert read(with_lock(files, "sill", None)) == read(FILES)
    assert not is_locked(with_lock(files, "sill", None), "sill")


def test_a_new_name_reaches_every_file():
    files = {**with_lock(FILES, "sill", "moss"), "scheme.json": b'{"paint_of": {"sill": "moss"}}'}
    files = with_sections_renamed(with_paint_renamed(files, "moss", "lichen"), {"sill": "step"})
    assert read(files, "paints.toml")["paint"][0]["name"] == "lichen"
    assert read(files)["rule"][1] == {"kind": "pin", "sections": ["step"], "paint": "lichen"}
    assert b'"step": "lichen"' in files["scheme.json"]


def test_sections_can_trade_names():
    files = {**FILES, "scheme.json": b'{"paint_of": {"1": "moss", "2": "lichen"}}'}
    files = with_sections_renamed(files, {"1": "2", "2": "1"})
    assert b'"2": "moss"' in files["scheme.json"]
    assert b'"1": "lichen"' in files["scheme.json"]


def test_files_that_are_no_toml_have_no_tables():
    assert tables_of({"brief.toml": b"= = ="}, "rule") == []
    assert tables_of({}, "rule") == []


def test_a_file_without_a_last_line_end_is_added_to_as_well():
    files = add_table({**FILES, "brief.toml": BRIEF.rstrip()}, "rule", {"kind": "quota"})
    assert [rule["kind"] for rule in read(files)["rule"]] == ["clash", "quota"]
