"""A disk that is full, once or for good, at each call a write makes: all of it happens, or nothing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from filing.recording import Refusing, watch_calls

from palette.errors import InputError
from palette.filing import finish_interrupted, write_atomically, write_folder, write_together

OLD = {"scheme.json": b"old scheme", "both.png": b"old picture", "page.json": b"old notes"}
NEW = {"scheme.json": b"new scheme", "both.png": b"new picture", "map.pdf": b"new map"}


def lay(folder, files):
    folder.mkdir()
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder


def seen(folder):
    """Return the files a person sees."""
    shown = (path for path in folder.iterdir() if path.is_file() and not path.name.startswith(".palette."))
    return {path.name: path.read_bytes() for path in shown}


def hidden(folder):
    return sorted(path.name for path in folder.iterdir() if path.name.startswith(".palette."))


def write_set(folder):
    write_together(folder, NEW, gone=["page.json", "never.json"])


def write_one(folder):
    write_atomically(folder / "scheme.json", NEW["scheme.json"])


SET_OF = {"several": (write_set, NEW), "one": (write_one, {**OLD, "scheme.json": NEW["scheme.json"]})}


def count_calls(folder, write):
    counting = Refusing(at=0, ever_after=False)
    with watch_calls(counting.met):
        write(lay(folder, OLD))
    return counting.count


def refused(folder, write, refusing):
    """Return the sentence of a write that met a refusal; "" where it went through."""
    try:
        with watch_calls(refusing.met):
            write(folder)
    except InputError as fault:
        return str(fault)
    return ""


@pytest.mark.parametrize("ever_after", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("what", SET_OF)
def test_a_disk_full_at_any_call_leaves_all_old_or_all_new(tmp_path, what, ever_after):
    write, new = SET_OF[what]
    calls = count_calls(tmp_path / "counted", write)
    assert calls > (20 if what == "several" else 5)
    told = undone = 0
    for at in range(1, calls + 1):
        folder = lay(tmp_path / f"{at}", OLD)
        fault = refused(folder, write, Refusing(at=at, ever_after=ever_after))
        if fault:
            told += 1
            assert "cannot be written (No space left on device)" in fault
        else:
            assert seen(folder) == new, at
        if not ever_after:
            # The program is alive and the disk works again: nothing is left for the next start.
            assert seen(folder) in (OLD, new), at
            undone += seen(folder) == OLD
        finish_interrupted(folder)
        assert seen(folder) in (OLD, new), at
        write(folder)
        assert seen(folder) == new
        assert hidden(folder) == []
    # Only what has nothing to do with the data may be refused unnoticed: the lock, the journal's end.
    assert told >= calls - 6
    assert ever_after or undone >= told - 4


def test_folders_made_for_a_write_that_fails_go_again(tmp_path):
    counting = Refusing(at=0, ever_after=False)
    with watch_calls(counting.met):
        write_folder(tmp_path / "counted" / "evening" / "out", NEW)
    for at in range(1, counting.count + 1):
        folder = tmp_path / f"{at}" / "evening" / "out"
        if refused(folder, lambda folder: write_folder(folder, NEW), Refusing(at=at, ever_after=True)):
            assert not folder.exists() or hidden(folder), at
        if folder.exists():
            finish_interrupted(folder)
            assert seen(folder) in ({}, NEW), at


def test_a_folder_in_a_files_place_is_told_and_nothing_changes(tmp_path):
    folder = lay(tmp_path / "out", OLD)
    (folder / "map.pdf").mkdir()
    with pytest.raises(InputError, match=r"map\.pdf: the file cannot be written"):
        write_set(folder)
    (folder / "map.pdf").rmdir()
    assert seen(folder) == OLD
    assert hidden(folder) == []


def test_a_name_that_cannot_be_taken_any_more_puts_the_others_back(tmp_path, monkeypatch):
    folder = lay(tmp_path / "out", OLD)
    real = os.replace

    def refuse_the_map(source, target):
        # As Windows does while another program has the file open.
        if Path(target).name == "map.pdf":
            raise PermissionError(13, "Permission denied")
        real(source, target)

    monkeypatch.setattr(os, "replace", refuse_the_map)
    with pytest.raises(InputError, match=r"map\.pdf: the file cannot be written \(Permission denied\)"):
        write_set(folder)
    assert seen(folder) == OLD
    assert hidden(folder) == []


def test_where_nothing_can_be_put_back_the_write_is_finished_later(tmp_path, monkeypatch):
    folder = lay(tmp_path / "out", OLD)
    real, calls = os.replace, []

    def refuse_after_the_second(source, target):
        # The journal's own name is taken, and one more; then the folder takes no names any more.
        calls.append(target)
        if len(calls) > 2:
            raise PermissionError(1, "Operation not permitted")
        real(source, target)

    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", refuse_after_the_second)
        with pytest.raises(InputError, match="Operation not permitted"):
            write_set(folder)
        with pytest.raises(InputError, match="interrupted there cannot be finished"):
            finish_interrupted(folder)
    assert seen(folder) not in (OLD, NEW)
    finish_interrupted(folder)
    assert seen(folder) == NEW
