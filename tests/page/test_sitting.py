"""One evening's state: what an action does to the files, to the verdict, and to what comes after."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys

import pytest

import palette
from palette.page.sitting import Sitting

from .conftest import CANYON


@pytest.fixture
def sitting(tmp_path):
    shutil.copytree(CANYON, tmp_path / "wall", ignore=shutil.ignore_patterns("pictures", "*.png", "*.py"))
    here = Sitting(tmp_path / "wall")
    here.open()
    assert not here.fault
    yield here
    here.close()


def saved(sitting):
    sitting._writer.submit(lambda: None).result()


def paint_all(sitting, paint):
    ids = sitting.ground.survey.panel.ids
    sitting.use_scheme(dict.fromkeys(ids, paint), deed="one paint")


def test_every_action_is_on_disk_at_once_and_the_command_agrees(sitting):
    paint_all(sitting, "moss green")
    saved(sitting)
    folder = sitting.keeper.folder
    command = [
        sys.executable,
        "-m",
        "palette",
        "check",
        str(folder / "brief.toml"),
        str(folder / "scheme.json"),
        "--json",
    ]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode == 1
    verdict = json.loads(ran.stdout)
    assert len(verdict["clashes"]) + len(verdict["breaches"]) == len(sitting.verdict.breaches)


def test_undo_goes_back_through_paints_rules_and_schemes(sitting):
    paint_all(sitting, "moss green")
    sitting.paint("sill", "brick red") if "sill" in sitting.paint_of else sitting.paint(
        sitting.ground.survey.panel.ids[0], "brick red"
    )
    first = sitting.ground.survey.panel.ids[0]
    assert "brick red" in sitting.paint_of.values()
    sitting.undo()
    assert set(sitting.paint_of.values()) == {"moss green"}
    sitting.undo()
    assert sitting.paint_of == {}
    assert sitting.verdict is None
    sitting.redo()
    assert sitting.paint_of[first] == "moss green"


def test_a_scheme_in_progress_has_no_verdict(sitting):
    sitting.paint(sitting.ground.survey.panel.ids[0], "moss green")
    assert sitting.verdict is None
    assert not sitting.finished


def test_reopening_goes_on_where_it_was(sitting):
    paint_all(sitting, "lagoon blue")
    sitting.remember("kept", kept=[{"name": "Scheme 1", "paint_of": {}}])
    saved(sitting)
    again = Sitting(sitting.keeper.folder)
    again.open()
    assert again.paint_of == sitting.paint_of
    assert again.memory["kept"][0]["name"] == "Scheme 1"
    again.close()


def test_a_proof_holds_for_its_own_scheme_and_rules_only(sitting):
    outcome = palette.run(sitting.ground.brief)
    proof = outcome.scheme.to_dict()["proof"]
    sitting.use_scheme(outcome.scheme.paint_of, deed="found", proof=proof)
    assert sitting.proof == proof
    first = sitting.ground.survey.panel.ids[0]
    sitting.paint(first, "gorse yellow" if sitting.paint_of[first] != "gorse yellow" else "brick red")
    assert sitting.proof is None
    sitting.undo()
    assert sitting.proof == proof


def test_another_program_is_noticed_and_either_side_can_win(sitting):
    paint_all(sitting, "moss green")
    saved(sitting)
    theirs = dict.fromkeys(sitting.ground.survey.panel.ids, "brick red")
    (sitting.keeper.folder / "scheme.json").write_text(json.dumps({"version": 1, "paint_of": theirs}))
    paint_all(sitting, "lagoon blue")
    saved(sitting)
    assert sitting.outside == ("scheme.json",)
    assert json.loads((sitting.keeper.folder / "scheme.json").read_text())["paint_of"] == theirs
    sitting.take_theirs()
    saved(sitting)
    assert set(sitting.paint_of.values()) == {"brick red"}
    sitting.undo()
    saved(sitting)
    assert set(sitting.paint_of.values()) == {"lagoon blue"}
    assert not sitting.outside


def test_a_wall_that_could_not_be_judged_for_want_of_room_comes_by_itself(tmp_path, monkeypatch):
    (tmp_path / "wall").mkdir()
    for name in ("brief.toml", "paints.toml", "wall.svg"):
        shutil.copy(CANYON / name, tmp_path / "wall")
    here = Sitting(tmp_path / "wall")
    told = []
    here.listeners.append(told.append)

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("pathlib.Path.write_bytes", full)
        here.open()
        assert here.ground is None
        assert "no temporary file can be written there (No space left on device)" in here.fault
        here.watch()
        assert here.fault
        assert not told
    here.watch()
    assert here.ground is not None
    assert not here.fault
    assert "ground" in told[-1]
    here.close()


def test_nothing_is_called_saved_before_it_is_on_disk(sitting):
    heard = []

    def hear(changed):
        paint = next(iter(sitting.paint_of.values()))
        path = sitting.keeper.folder / "scheme.json"
        on_disk = path.exists() and paint in path.read_text()
        heard.append((sitting.saving, on_disk))

    sitting.listeners.append(hear)
    paint_all(sitting, "moss green")
    saved(sitting)
    paint_all(sitting, "lagoon blue")
    saved(sitting)
    assert heard[0] == (True, False), "told at once, as not yet saved"
    assert heard[-1] == (False, True)
    assert all(on_disk for saving, on_disk in heard if not saving)


def test_a_folder_that_cannot_be_written_keeps_the_work_and_says_so(sitting, monkeypatch):
    def refuse(*_, **__):
        raise palette.InputError("wall", "the file cannot be written (Read-only file system)", "check it")

    monkeypatch.setattr(sitting.keeper, "save", refuse)
    paint_all(sitting, "moss green")
    saved(sitting)
    assert "Read-only file system" in sitting.saved
    assert set(sitting.paint_of.values()) == {"moss green"}
    assert sitting.verdict is not None


def test_a_broken_brief_is_told_without_the_private_folder(tmp_path):
    (tmp_path / "brief.toml").write_text('panel = "gone.svg"\npaints = "gone.toml"\n')
    sitting = Sitting(tmp_path)
    sitting.open()
    assert sitting.ground is None
    assert "gone.svg" in sitting.fault
    assert str(sitting.scratch.folder) not in sitting.fault
    sitting.close()
