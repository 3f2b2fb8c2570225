"""Files appear whole or not at all, and pictures carry their true size."""

import dataclasses
import io
import json
import os
import stat
from pathlib import Path

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from PIL import Image

import palette
from palette.errors import InputError
from palette.filing import make_folder, write_atomically, write_together
from palette.saving import png_bytes, save_outcome, save_scheme
from palette.scheme import Level, Proof, Scheme

SCHEMA = json.loads(
    (Path(palette.__file__).parent / "data/schemas/scheme.schema.json").read_text(encoding="utf-8")
)
PROVEN = Scheme(
    paint_of={"sill": "moss green", "ledge": "chalk white"},
    proof=Proof(
        status="optimal",
        levels=(Level(aim="weakest pair", value=31.5, bound=31.5, unit="CIEDE2000", proven=True),),
        engine="test",
        seed=0,
        seconds=0.1,
    ),
)


def test_a_scheme_fits_its_published_schema_and_comes_back(tmp_path):
    Draft202012Validator.check_schema(SCHEMA)
    brief = tmp_path / "job" / "brief.toml"
    path = save_scheme(PROVEN, make_folder(tmp_path / "out") / "scheme.json", brief=brief)
    document = json.loads(path.read_text(encoding="utf-8"))
    Draft202012Validator(SCHEMA).validate(document)
    assert document["brief"] == "../job/brief.toml"
    # A finished proof is the same however long it took; only that is left out of the file.
    again = Scheme.from_dict(document)
    assert again.paint_of == PROVEN.paint_of
    assert dataclasses.replace(again.proof, seconds=0.1) == PROVEN.proof
    by_hand = Scheme(paint_of={"sill": "moss green"})
    Draft202012Validator(SCHEMA).validate(by_hand.to_dict())
    assert Scheme.from_dict(by_hand.to_dict()) == by_hand


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch):
    path = tmp_path / "scheme.json"
    write_atomically(path, b"old")

    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_atomically(path, b"new and longer")
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["scheme.json"]


def test_files_that_belong_together_appear_together_or_not_at_all(tmp_path, monkeypatch):
    write_together(tmp_path, {"a": b"old a", "b": b"old b"})
    real = os.fsync
    calls = []

    def full_at_the_second(descriptor):
        calls.append(descriptor)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        real(descriptor)

    monkeypatch.setattr("os.fsync", full_at_the_second)
    with pytest.raises(InputError, match="No space left on device"):
        write_together(tmp_path, {"a": b"new a", "b": b"new b"})
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"a": b"old a", "b": b"old b"}


def test_a_folder_made_for_files_that_cannot_be_written_goes_again(tmp_path, monkeypatch):
    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(InputError):
        save_outcome(PROVEN, {}, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def test_a_linked_file_is_followed(tmp_path):
    (tmp_path / "real.json").write_text("old")
    (tmp_path / "link.json").symlink_to(tmp_path / "real.json")
    write_atomically(tmp_path / "link.json", b"new")
    assert (tmp_path / "link.json").is_symlink()
    assert (tmp_path / "real.json").read_text() == "new"


def test_a_missing_folder_and_a_file_in_its_place_are_told(tmp_path):
    with pytest.raises(InputError, match="cannot be written"):
        write_atomically(tmp_path / "none" / "a.txt", b"")
    (tmp_path / "taken").write_text("")
    with pytest.raises(InputError, match="the folder cannot be made"):
        make_folder(tmp_path / "taken")


def test_written_files_have_the_rights_of_any_new_file(tmp_path):
    plain = tmp_path / "plain"
    plain.write_text("")
    ours = write_atomically(tmp_path / "ours", b"")
    assert stat.S_IMODE(ours.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)


def test_a_picture_says_how_large_the_panel_is():
    image = np.zeros((30, 40, 3), np.uint8)
    with Image.open(io.BytesIO(png_bytes(image, mm_per_px=2.0))) as picture:
        # PNG pHYs stores whole pixels per metre: 500 for 2 mm.
        assert picture.info["dpi"] == pytest.approx((12.7, 12.7), rel=1e-3)
        assert picture.info["srgb"] == 0
