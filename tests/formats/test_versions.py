"""Versions: newer ones are refused, older ones brought up, and whatever is written says its own."""

from __future__ import annotations

import re
import shutil
import tomllib

import pytest

import palette
from palette.batch.photo_list import read_photo_list
from palette.errors import InputError
from palette.formats import FORMATS, Format
from tests.formats.checking import GOLDEN, KIND_OF_GOLDEN

READERS = {
    "brief": palette.read_brief,
    "rules": lambda path: palette.read_brief(path.with_name("brief.toml")),
    "wall": palette.read_layout,
    "paints": palette.read_paints,
    "lamp": lambda path: palette.light_by_name(path.name, where="x", folder=path.parent),
    "plan": palette.read_plan_file,
    "scheme": palette.read_scheme,
    "photo-list": lambda path: read_photo_list(path, known=palette.PhotoRequest(photo=path)),
}
READ = {
    name: kind for name, kind in KIND_OF_GOLDEN.items() if kind in READERS and name != "scheme-drawn.json"
}


@pytest.fixture
def folder(tmp_path):
    """Return a folder with the kept files, to be spoiled."""
    shutil.copytree(GOLDEN, tmp_path, dirs_exist_ok=True)
    return tmp_path


def with_version(path, version):
    text = path.read_text("utf-8")
    fresh = re.sub(r'^(version = |  "version": )1\b', rf"\g<1>{version}", text, count=1, flags=re.MULTILINE)
    assert fresh != text
    path.write_text(fresh, encoding="utf-8")


@pytest.mark.parametrize("name", READ)
def test_a_newer_version_is_refused_in_one_sentence(folder, name):
    with_version(folder / name, 2)
    with pytest.raises(InputError) as stop:
        READERS[READ[name]](folder / name)
    assert str(stop.value) == (
        f"{folder / name}: its version is 2, and this palette reads {READ[name]} files up to version 1; "
        "use the palette that wrote it, or a newer one."
    )


@pytest.mark.parametrize("name", READ)
@pytest.mark.parametrize("version", ['"1"', "0", "-1", "1.0", "true", "[]"])
def test_what_is_no_version_is_told(folder, name, version):
    with_version(folder / name, version)
    with pytest.raises(InputError) as stop:
        READERS[READ[name]](folder / name)
    assert str(stop.value).startswith(f'{folder / name}: "version" is ')
    assert str(stop.value).endswith(", not a whole number from 1; write 1, or leave it out.")


@pytest.mark.parametrize("said", ["2", "one", "", "1.0", "٢"])
def test_a_drawing_of_a_newer_version_is_refused(folder, said):
    path = folder / "wall.svg"
    path.write_text(path.read_text("utf-8").replace('version="1"', f'version="{said}"'), encoding="utf-8")
    with pytest.raises(
        InputError, match=r"wall\.svg, data-layout-version: (its version is 2|.version. is)"
    ):
        palette.read_layout(path)


def test_a_seam_and_a_plan_refuse_a_newer_scheme_too(folder):
    drawn = folder / "scheme-drawn.json"
    drawn.write_text('{"version": 2, "paint_of": {}}', encoding="utf-8")
    with pytest.raises(InputError, match=r"scheme-drawn\.json: its version is 2"):
        palette.read_brief(folder / "brief-whole.toml")
    with pytest.raises(InputError, match=r"scheme-drawn\.json: its version is 2"):
        palette.read_plan([drawn])


def test_parts_inside_a_brief_have_the_briefs_version(folder):
    path = folder / "brief-whole.toml"
    path.write_text(path.read_text("utf-8").replace("[panel]", "[panel]\nversion = 1"), encoding="utf-8")
    with pytest.raises(InputError, match='the key "version" is not known here'):
        palette.read_brief(path)


def test_an_older_document_is_brought_up_step_by_step():
    def rename(document):
        return {("span" if key == "width" else key): value for key, value in document.items()}

    def double(document):
        return {**document, "span": 2 * document["span"]}

    format_of_three = Format(name="board", upgrades=(rename, double))
    assert format_of_three.version == 3
    assert format_of_three.stamp({"span": 1, "version": 1}) == {"version": 3, "span": 1}
    # Without a version a file is of the first.
    assert format_of_three.newest({"width": 4}, where="x") == {"span": 8}
    assert format_of_three.newest({"version": 1, "width": 4}, where="x") == {"span": 8}
    assert format_of_three.newest({"version": 2, "span": 4}, where="x") == {"span": 8}
    assert format_of_three.newest({"version": 3, "span": 4}, where="x") == {"span": 4}
    with pytest.raises(
        InputError, match="its version is 4, and this palette reads board files up to version 3"
    ):
        format_of_three.newest({"version": 4}, where="x")


def test_a_document_is_left_alone():
    given = {"version": 1, "width": 4}
    FORMATS["wall"].newest(given, where="x")
    FORMATS["wall"].stamp(given)
    assert given == {"version": 1, "width": 4}


def test_a_panel_written_says_its_version_and_reads_back(tmp_path):
    panel = palette.read_layout(GOLDEN / "wall.toml")
    text = palette.panel_to_tape(panel)
    assert tomllib.loads(text)["version"] == 1
    assert text.startswith("version = 1\n")
    assert 'data-layout-version="1"' in palette.panel_to_svg(panel)
    for suffix, written in ((".toml", text), (".svg", palette.panel_to_svg(panel))):
        (tmp_path / f"again{suffix}").write_text(written, encoding="utf-8")
        again = palette.read_layout(tmp_path / f"again{suffix}")
        assert (again.ids, again.hatch.bounds) == (panel.ids, panel.hatch.bounds)
