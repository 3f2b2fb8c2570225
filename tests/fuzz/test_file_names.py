"""Names that are no file: too long for any, with a NUL, a folder, a device, a pipe nobody writes to."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import palette
from fuzz.judging import faults_of_refusal

READERS = [
    (palette.read_brief, ".toml"),
    (palette.read_lamp, ".csv"),
    (palette.read_lamp, ".toml"),
    (palette.read_layout, ".png"),
    (palette.read_layout, ".svg"),
    (palette.read_layout, ".toml"),
    (palette.read_matrix, ".bfc"),
    (palette.read_paints, ".csv"),
    (palette.read_paints, ".toml"),
    (palette.read_photo, ".jpg"),
    (palette.read_plan_file, ".toml"),
    (palette.read_scheme, ".json"),
]


@pytest.mark.parametrize(("read", "ending"), READERS, ids=[f"{r.__name__}{e}" for r, e in READERS])
def test_what_is_no_file_is_told(tmp_path, read, ending):
    (tmp_path / f"folder{ending}").mkdir()
    os.mkfifo(tmp_path / f"pipe{ending}")
    (tmp_path / f"device{ending}").symlink_to("/dev/zero")
    (tmp_path / f"round{ending}").symlink_to(tmp_path / f"round{ending}")
    names = (
        "n" * 5000,
        "a\0b",
        "line\nbreak",
        "\u202eturned",
        "folder",
        "pipe",
        "device",
        "round",
        "not there",
    )
    for name in names:
        with pytest.raises(palette.InputError) as stop:
            read(tmp_path / f"{name}{ending}")
        assert faults_of_refusal(stop.value, b"__") == []


@pytest.mark.parametrize("name", ["n" * 5000, "a\0b", "/dev/zero", "\\n" * 200])
def test_a_brief_that_names_no_file_is_told(tmp_path, name):
    quoted = name.replace("\\", "\\\\").replace("\0", "\\u0000")
    brief = tmp_path / "brief.toml"
    brief.write_text(
        f'panel = "{quoted}.svg"\npaints = "{quoted}"\nrules = "{quoted}"\nlights = ["{quoted}.csv"]\n'
    )
    with pytest.raises(palette.InputError) as stop:
        palette.read_brief(Path(brief))
    assert faults_of_refusal(stop.value, b"__") == []
