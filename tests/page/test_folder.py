"""The project folder: what is read, what is written, and what others wrote meanwhile."""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import zipfile

import pytest
from nobody import open_folder, start_without_rights

from palette.errors import InputError
from palette.filing.journal import Move, digest, put_in_place, write_journal
from palette.filing.parts import write_part
from palette.page.folder import (
    ChangedOutsideError,
    Keeper,
    read_files,
    with_memory,
)
from palette.page.zipping import files_from_zip, files_to_zip

from .conftest import CANYON

BRIEF = b'panel = "wall.svg"\npaints = "paints.toml"\n[[rule]]\nkind = "clash"\n'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "brief.toml").write_bytes(BRIEF)
    (tmp_path / "wall.svg").write_bytes(b"<svg/>")
    (tmp_path / "paints.toml").write_bytes(b"")
    (tmp_path / "diary.txt").write_bytes(b"not yours")
    return tmp_path


def test_only_the_projects_own_files_are_read(folder):
    assert sorted(read_files(folder)) == ["brief.toml", "paints.toml", "wall.svg"]


def test_a_new_folder_is_an_empty_project(tmp_path):
    assert read_files(tmp_path / "none") == {}


@pytest.mark.parametrize("name", ["../secret.svg", "/etc/passwd", "a/../../secret.svg"])
def test_nothing_outside_the_folder_is_read(folder, name):
    (folder.parent / "secret.svg").write_text("secret")
    (folder / "a").mkdir(exist_ok=True)
    (folder / "brief.toml").write_text(f'panel = "{name}"')
    with pytest.raises(InputError, match="outside the project folder"):
        read_files(folder)


def test_a_link_out_of_the_folder_is_not_followed(folder):
    (folder.parent / "secret.svg").write_text("secret")
    (folder / "wall.svg").unlink()
    (folder / "wall.svg").symlink_to(folder.parent / "secret.svg")
    with pytest.raises(InputError, match="outside the project folder"):
        read_files(folder)


def test_a_save_writes_what_changed_and_nothing_else(folder):
    keeper = Keeper(folder)
    files = keeper.open()
    before = (folder / "paints.toml").stat().st_mtime_ns
    keeper.save({**files, "wall.svg": b"<svg id='two'/>"})
    assert (folder / "wall.svg").read_bytes() == b"<svg id='two'/>"
    assert (folder / "paints.toml").stat().st_mtime_ns == before
    assert not list(folder.glob(".*part"))


def test_what_another_program_wrote_is_not_written_over(folder):
    keeper = Keeper(folder)
    files = keeper.open()
    (folder / "wall.svg").write_bytes(b"<svg id='theirs'/>")
    with pytest.raises(ChangedOutsideError, match=r"wall\.svg"):
        keeper.save({**files, "wall.svg": b"<svg id='ours'/>"})
    assert (folder / "wall.svg").read_bytes() == b"<svg id='theirs'/>"
    keeper.save({**files, "wall.svg": b"<svg id='ours'/>"}, force=True)
    assert (folder / "wall.svg").read_bytes() == b"<svg id='ours'/>"


def test_a_full_disk_and_a_read_only_folder_are_told_until_they_can_be_written():
    script = """
import resource
import palette
from palette.page.documents import set_brief_entry
from palette.page.sitting import Sitting

def limit(most):
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.getrlimit(resource.RLIMIT_FSIZE)[1]))

def wait():
    sitting._writer.submit(lambda: None).result()

sitting = Sitting(FOLDER)
sitting.open()
names = sitting.ground.survey.panel.ids
paint, other = [paint.id for paint in sitting.ground.survey.paints][:2]
limit(0)
sitting.use_scheme(dict.fromkeys(names, paint), deed="one paint")
wait()
told = sitting.saved
try:
    sitting.scratch.ground(set_brief_entry(sitting.files, "seed", 7))
except palette.InputError as fault:
    print(fault)
limit(resource.RLIM_INFINITY)
print(told, flush=True)
sitting.watch()
wait()
print("then", repr(sitting.saved), len(sitting.paint_of), flush=True)
become_nobody()
sitting.use_scheme(dict.fromkeys(names, other), deed="another paint")
wait()
print(sitting.saved, flush=True)
sys.stdin.readline()
sitting.watch()
wait()
print("then", repr(sitting.saved), set(sitting.paint_of.values()) == {other}, flush=True)
"""
    with open_folder() as place:
        wall = place / "wall"
        shutil.copytree(CANYON, wall, ignore=shutil.ignore_patterns("pictures", "*.png", "*.py", "*.jpg"))
        with start_without_rights(script, wall) as page:
            said = [page.stdout.readline() for _ in range(4)]
            assert "no temporary file can be written there (File too large)" in said[0], page.stderr.read()
            assert "scheme.json: the file cannot be written (File too large)" in said[1]
            assert said[2] == "then '' 18\n", "it is saved by itself once there is room"
            assert "scheme.json: the file cannot be written (Permission denied)" in said[3]
            before = (wall / "scheme.json").read_bytes()
            wall.chmod(0o777)
            told, _ = page.communicate("now\n")
        assert told == "then '' True\n", "it is saved by itself once the folder can be written"
        assert (wall / "scheme.json").read_bytes() != before


def test_a_full_disk_is_told_and_the_old_file_stands(folder, monkeypatch):
    keeper = Keeper(folder)
    files = keeper.open()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="No space left on device"):
        keeper.save({**files, "wall.svg": b"<svg id='ours'/>"})
    assert (folder / "wall.svg").read_bytes() == b"<svg/>"


def test_one_action_is_saved_whole_or_not_at_all_and_then_goes_through(folder, monkeypatch):
    keeper = Keeper(folder)
    files = {**keeper.open(), "scheme.json": b'{"paint_of": {}}'}
    keeper.save(files)
    before = read_files(folder)
    after = {**files, "wall.svg": b"<svg id='two'/>", "paints.toml": b"# two\n"}
    del after["scheme.json"]
    real, taken = os.replace, []

    def refuse_the_second_file(source, target):
        taken.append(str(target))
        if str(target).endswith("wall.svg") and len(taken) < 5:
            raise PermissionError(13, "Permission denied")
        real(source, target)

    monkeypatch.setattr(os, "replace", refuse_the_second_file)
    with pytest.raises(InputError, match=r"wall\.svg: the file cannot be written \(Permission denied\)"):
        keeper.save(after)
    assert any(target.endswith("paints.toml") for target in taken), "the first had taken its name"
    assert read_files(folder) == before
    monkeypatch.setattr(os, "replace", real)
    # No "another program changed this" about what was ours.
    keeper.save(after)
    assert read_files(folder) == after
    assert not (folder / "scheme.json").exists()


def test_what_a_killed_page_had_begun_to_put_in_place_is_finished_when_it_opens(folder):
    keeper = Keeper(folder)
    before = keeper.open()
    new = {"wall.svg": b"<svg id='two'/>", "paints.toml": b"# two\n"}
    moves = [Move(name=name, part=write_part(folder, content).name, before=digest(before[name]))
             for name, content in new.items()]  # fmt: skip
    write_journal(folder, moves)
    put_in_place(folder, moves[0])
    assert {name: read_files(folder)[name] for name in new} not in (new, before), "a mixture"
    assert Keeper(folder).open() == {**before, **new}


def test_a_project_comes_back_from_its_zip(tmp_path):
    shutil.copytree(CANYON, tmp_path / "canyon")
    files = with_memory(read_files(tmp_path / "canyon"), kept=[{"name": "Scheme 1", "paint_of": {}}])
    packed = files_to_zip(files, folder="north-wall")
    assert files_from_zip(packed, where="north-wall.zip") == files
    assert files_to_zip(files, folder="north-wall") == packed, "the same project makes the same zip"


def zipped(**files: bytes) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, content in files.items():
            archive.writestr(name.replace("__", "/"), content)
    return buffer.getvalue()


def test_a_zip_cannot_write_outside_its_folder():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("x/brief.toml", b'panel = "../../evil.svg"')
        archive.writestr("x/../../evil.svg", b"evil")
    assert list(files_from_zip(buffer.getvalue(), where="x.zip")) == ["brief.toml"]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"hello", "not a zip file"),
        (zipped(**{"readme.txt": b""}), "no brief.toml"),
        (b"", "not a zip file"),
    ],
)
def test_a_wrong_zip_is_told_in_a_sentence(data, sentence):
    with pytest.raises(InputError, match=sentence):
        files_from_zip(data, where="dropped.zip")


def test_a_zip_that_unfolds_to_a_mountain_is_refused():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("brief.toml", BRIEF)
        archive.writestr("wall.svg", b"\0" * (60 * 2**20))
    with pytest.raises(InputError, match="more than a project"):
        files_from_zip(buffer.getvalue(), where="bomb.zip")


def test_a_file_nobody_showed_the_page_is_not_written_over(folder):
    keeper = Keeper(folder)
    files = keeper.open()
    (folder / "wall.toml").write_bytes(b"# measured last night")
    with pytest.raises(ChangedOutsideError, match=r"wall\.toml"):
        keeper.save({**files, "wall.toml": b"# typed in"})
    assert (folder / "wall.toml").read_bytes() == b"# measured last night"
    keeper.save({**files, "wall.toml": b"# typed in"}, force=True)
    assert (folder / "wall.toml").read_bytes() == b"# typed in"


def test_a_layout_the_page_itself_left_behind_may_be_written_over(folder):
    keeper = Keeper(folder)
    files = keeper.open()
    keeper.save({**files, "wall.toml": b"# first"})
    keeper.save(files)
    keeper.save({**files, "wall.toml": b"# second"})
    assert (folder / "wall.toml").read_bytes() == b"# second"


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("scheme.json", b'{"version": 2, "paint_of": {}}', "scheme.json: its version is 2"),
        (
            "scheme.json",
            b'{"version": 1, "paint_of": {}, "glitter": 3}',
            'the key "glitter" is not known here',
        ),
        ("scheme.json", b"{", "scheme.json: this is not JSON in line 1"),
        ("scheme.json", b'{"paint_of": {"a": "x", "a": "y"}}', 'the key "a" stands twice'),
        ("scheme.json", b"\xff", "byte 0 is not UTF-8 text"),
        ("page.json", b'{"version": 2, "kept": []}', "page.json: its version is 2"),
        ("page.json", b'{"version": 1, "kept": {}}', 'page.json: "kept" is not a list'),
        ("page.json", b"[]", "page.json: this JSON holds no object"),
    ],
)
def test_what_the_page_would_lose_is_refused_and_stays(folder, name, content, sentence):
    (folder / name).write_bytes(content)
    keeper = Keeper(folder)
    with pytest.raises(InputError, match=re.escape(sentence)):
        keeper.open()
    # Whoever begins anew in that folder all the same is asked first.
    with pytest.raises(ChangedOutsideError, match=r"brief\.toml"):
        keeper.save({"brief.toml": BRIEF + b"# another", name: b"{}"})
    assert (folder / name).read_bytes() == content
    with pytest.raises(InputError, match=re.escape(sentence)):
        files_from_zip(zipped(**{"brief.toml": BRIEF, name: content}), where="dropped.zip")


def test_what_the_memory_holds_besides_is_kept(folder):
    (folder / "page.json").write_bytes(
        b'{"glitter": [1, {"a": null}], "version": 1, "photo_light": "daylight"}'
    )
    files = with_memory(read_files(folder), kept=[], photo_light=None)
    assert json.loads(files["page.json"]) == {"version": 1, "glitter": [1, {"a": None}], "kept": []}


def test_a_project_has_every_file_its_brief_and_rules_name(folder):
    names = ("one.svg", "two.svg", "hall.csv", "last.svg", "last.json", "rules.toml", "card.bfc")
    for name in names:
        (folder / name).write_bytes(b"")
    (folder / "brief.toml").write_text(
        'panels = ["one.svg", "two.svg"]\npaints = "paints.toml"\nlights = ["daylight", "hall.csv"]\n'
        'rules = "rules.toml"\n'
    )
    (folder / "rules.toml").write_text(
        '[[rule]]\nkind = "seam"\npanel = "last.svg"\nscheme = "last.json"\n'
    )
    (folder / "paints.toml").write_text('[[paint]]\nname = "card"\nmatrix = "card.bfc"\n')
    files = read_files(folder)
    assert set(files) == {"brief.toml", "paints.toml", *names}
    assert files_from_zip(files_to_zip(files, folder="x"), where="x.zip") == files
