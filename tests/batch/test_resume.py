"""Stopped, killed, changed: the next start does what is left, and nothing twice."""

from __future__ import annotations

import json
import os
import signal
import time

import pytest

import palette
from tests.batch.conftest import PAINTS, SHARED, contents, start_palette, wall_svg

SMALL = palette.AssignOptions(width_px=300)


def run(hall, *, options=SMALL, again=False):
    """Do the hall's walls in this process; return the batch and each mark's time of writing."""
    jobs = palette.list_layouts([hall / "walls"], hall / "hall.toml", options=options)
    batch = palette.run_batch(jobs, hall / "out", workers=1, again=again)
    return batch, marks(hall / "out")


def marks(out):
    return {path.parent.name: path.stat().st_mtime_ns for path in out.glob("*/job.json")}


def done_anew(before, after):
    return sorted(name for name in after if after[name] != before.get(name))


def test_only_what_has_changed_is_done_again(hall):
    first, written = run(hall)
    assert (first.kept, sorted(written)) == (0, ["east", "north", "south", "west"])
    answer = contents(hall / "out")

    second, after = run(hall)
    assert (second.kept, done_anew(written, after)) == (4, [])
    # What is told of them is the same, the time they took among it, and so is the sheet.
    assert second.results == first.results
    assert second.thumbnails == first.thumbnails
    assert contents(hall / "out") == answer

    (hall / "walls" / "south.svg").write_text(wall_svg("South wall", split=222))
    (hall / "out" / "west" / "both.png").unlink()
    third, now = run(hall)
    assert (third.kept, done_anew(after, now)) == (2, ["south", "west"])

    (hall / "paints.toml").write_text(PAINTS.replace("#f5ee2a", "#f5ee20"))
    _, later = run(hall)
    assert done_anew(now, later) == ["east", "north", "south", "west"]

    _, named = run(hall, options=palette.AssignOptions(width_px=300, names=True))
    assert done_anew(later, named) == ["east", "north", "south", "west"]


def test_again_does_all_and_leaves_the_same(hall):
    _, before = run(hall)
    answer = contents(hall / "out")
    batch, after = run(hall, again=True)
    assert (batch.kept, done_anew(before, after)) == (0, ["east", "north", "south", "west"])
    assert contents(hall / "out") == answer


def test_a_copy_of_the_whole_tree_is_still_finished(hall, tmp_path_factory):
    run(hall)
    other = tmp_path_factory.mktemp("copy") / "moved"
    hall.rename(other)
    os.chdir(other)
    batch, _ = run(other)
    assert batch.kept == 4


def test_an_answer_that_is_no_more_leaves_nothing_behind(hall):
    (hall / "hall.toml").write_text(SHARED + '[[rule]]\nkind = "only"\nsections = "*"\npaints = ["moss"]\n')
    batch, _ = run(hall)
    assert {result.state for result in batch.results} == {"no-scheme"}
    mine = hall / "out" / "north" / "notes.txt"
    mine.write_text("mine")
    (hall / "hall.toml").write_text(SHARED)
    run(hall)
    assert not (hall / "out" / "north" / "reasons.png").exists()
    assert (hall / "out" / "north" / "scheme.json").exists()
    assert mine.read_text() == "mine"


def test_a_mark_that_says_nothing_sound_vouches_for_nothing(hall):
    (job,) = palette.list_layouts([hall / "walls" / "north.svg"], hall / "hall.toml", options=SMALL)
    palette.run_batch([job], hall / "out", workers=1)
    mark = hall / "out" / "north" / "job.json"
    sound = mark.read_text()
    strange = json.dumps({**json.loads(sound), "version": 99})
    for text in ("", "{}", "[1]", '{"fingerprint": 3, "result": {}}', strange):
        mark.write_text(text)
        assert palette.run_batch([job], hall / "out", workers=1).kept == 0
        assert json.loads(mark.read_text())["fingerprint"] == json.loads(sound)["fingerprint"]


def test_a_mark_takes_nothing_away_outside_its_folder(hall):
    run(hall)
    mark = hall / "out" / "north" / "job.json"
    document = json.loads(mark.read_text())
    document["result"]["files"] += ["../../paints.toml", str(hall / "hall.toml")]
    document["fingerprint"] = "0" * 64
    mark.write_text(json.dumps(document))
    run(hall)
    assert (hall / "paints.toml").exists()
    assert (hall / "hall.toml").exists()


def start_and_wait(hall, *, until):
    """Start a batch of five walls on two workers; return it when so many are finished."""
    for number in range(5):
        (hall / "walls" / f"bay-{number}.svg").write_text(
            wall_svg(f"Bay {number}", split=200 + 50 * number)
        )
    many = (*(f"walls/bay-{number}.svg" for number in range(5)), "--brief", "hall.toml", "--out", "out")
    # A wide picture makes a job long enough to be met in its midst.
    command = ("batch", "assign", *many, "--workers", 2, "--width", 1200)
    process = start_palette(*command, folder=hall)
    deadline = time.monotonic() + 90
    while len(marks(hall / "out")) < until:
        assert process.poll() is None, process.communicate()
        assert time.monotonic() < deadline
        time.sleep(0.01)
    return process, command


def wait_for_silence(group):
    """Wait until no process of a group is left."""
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return
        time.sleep(0.05)
    raise AssertionError("a worker outlives its batch")


def test_a_batch_killed_in_the_midst_goes_on_where_it_was(hall):
    process, command = start_and_wait(hall, until=2)
    os.kill(process.pid, signal.SIGKILL)
    process.communicate()
    wait_for_silence(process.pid)
    before = marks(hall / "out")
    assert 2 <= len(before) < 5
    kept = {name: contents(hall / "out" / name) for name in before}

    again = start_palette(*command, "--json", folder=hall)
    said, _ = again.communicate(timeout=120)
    assert again.returncode == 0
    summary = json.loads(said)
    assert [job["id"] for job in summary["jobs"]] == [f"bay-{number}" for number in range(5)]
    assert summary["kept"] == len(before)
    after = marks(hall / "out")
    assert {name: after[name] for name in before} == before
    assert {name: contents(hall / "out" / name) for name in before} == kept
    # Nothing half-written is left, neither by the dead nor by those who went on.
    assert not [path.name for path in (hall / "out").rglob(".*")]


def test_ctrl_c_ends_all_workers_and_says_how_to_go_on(hall):
    process, _ = start_and_wait(hall, until=1)
    # As a terminal does it: every process of the group hears it.
    os.killpg(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=30)
    assert (process.returncode, out) == (130, "")
    last = err.splitlines()[-1]
    assert "Traceback" not in err
    done = len(marks(hall / "out"))
    assert last.startswith("Stopped: ")
    assert last.endswith(" of 5 are done and stay in out; give the same command again to go on.")
    assert int(last.split()[1]) <= done < 5
    wait_for_silence(process.pid)
    assert not [path.name for path in (hall / "out").rglob(".*")]
    assert not (hall / "out" / "summary.json").exists()


def test_ctrl_c_in_the_midst_of_a_search_is_no_answer(hall):
    # To the engine alone, Ctrl-C means "the best so far will do"; here the wall is simply not done.
    class Interrupted(palette.BriefJob):
        """A job that hears Ctrl-C while the engine thinks."""

        __slots__ = ()

        def do(self, folder):
            brief = palette.read_brief(self.brief)

            def interrupt(step):
                signal.raise_signal(signal.SIGINT)

            palette.run(brief, on_progress=interrupt)
            raise AssertionError("the search went on")

    (hall / "north.toml").write_text('panel = "walls/north.svg"\n' + SHARED)
    jobs = [Interrupted(id=name, brief=hall / "north.toml", options=SMALL) for name in ("a", "b")]
    before = signal.getsignal(signal.SIGINT)
    with pytest.raises(palette.Stopped, match=r"^Stopped: 0 of 2 are done"):
        palette.run_batch(jobs, hall / "out", workers=1)
    assert signal.getsignal(signal.SIGINT) is before
    assert marks(hall / "out") == {}


def test_a_caller_may_stop_between_jobs(hall):
    def stop(step):
        if step.done == 2:
            raise palette.Stopped

    jobs = palette.list_layouts([hall / "walls"], hall / "hall.toml", options=SMALL)
    with pytest.raises(palette.Stopped, match="2 of 4 are done"):
        palette.run_batch(jobs, hall / "out", workers=1, on_progress=stop)
    assert sorted(marks(hall / "out")) == ["east", "north"]
