"""A program killed with SIGKILL before each call a write makes, and by a lock it leaves."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from filing.test_faults import NEW, OLD, hidden, lay, seen, write_one, write_set

from palette.filing import finish_interrupted, turns, write_together
from palette.filing.journal import Move, digest, write_journal
from palette.filing.parts import write_part

TESTS = Path(__file__).resolve().parents[1]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="Windows has no SIGKILL to send")


def test_a_kill_at_any_call_leaves_all_old_or_all_new(tmp_path):
    command = [sys.executable, "-m", "filing.kill_at_each_call", str(tmp_path)]
    ran = subprocess.run(command, cwd=TESTS, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    rows = [json.loads(line) for line in ran.stdout.splitlines()]
    for row in rows:
        assert row["old"] != row["new"], row
        assert row["killed"] or row["new"], row
        assert row["goes_on"], row
        assert row["left_over"] == [], row
    killed = [row for row in rows if row["killed"]]
    assert len(killed) > 25
    # Kills in every phase were among them: before anything, between two names, before the last step.
    several = [row for row in killed if row["what"] == "several"]
    assert any(not row["left"] and row["old"] for row in several)
    assert any(row["mixed"] and row["new"] for row in several), "a kill between two names"
    assert any(row["left"] and row["new"] and not row["mixed"] for row in several)


def dying(folder: Path, does: str) -> None:
    """Let a process do something in a folder and be killed."""
    script = (
        "import os, signal, sys\nfrom pathlib import Path\nfrom palette.filing.turns import take_turn\n"
        "from palette.filing.parts import write_part\nfolder = Path(sys.argv[1])\n"
        f"with take_turn(folder) as alone:\n    assert alone\n    {does}\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script, str(folder)], check=False)
    assert ran.returncode == -signal.SIGKILL


def test_the_lock_of_a_killed_program_keeps_nobody_out(tmp_path, monkeypatch):
    folder = lay(tmp_path / "out", OLD)
    dying(folder, "pass")
    # Were the lock still held, the next writer would wait longer than any test.
    monkeypatch.setattr(turns, "_PATIENCE_S", 1e9)
    write_set(folder)
    assert seen(folder) == NEW


def test_what_a_killed_program_left_goes_and_nothing_else(tmp_path):
    folder = lay(tmp_path / "out", OLD)
    dying(folder, "write_part(folder, b'half')")
    theirs = [".palette.notes.part", ".download.abcdefgh.part", ".palette.abcdefgh.part.bak", "a.part"]
    for name in theirs:
        (folder / name).write_bytes(b"not ours")
    assert any(name.endswith(".part") and name not in theirs for name in hidden(folder))
    write_one(folder)
    assert sorted(path.name for path in folder.iterdir()) == sorted([*OLD, *theirs])


def test_a_part_that_may_be_anothers_stays_for_a_day(tmp_path, monkeypatch):
    folder = lay(tmp_path / "out", OLD)
    monkeypatch.setattr(turns, "_PATIENCE_S", 0.0)
    with turns.take_turn(folder) as alone:
        assert alone
        young, stale = write_part(folder, b"being written"), write_part(folder, b"forgotten")
        two_days_ago = time.time() - 2 * 86400
        os.utime(stale, (two_days_ago, two_days_ago))
        write_one(folder)
    assert hidden(folder) == [young.name]


def test_what_somebody_wrote_since_the_kill_stays(tmp_path):
    # As a kill just after the journal leaves it.
    folder = lay(tmp_path / "out", OLD)
    parts = {name: write_part(folder, content).name for name, content in NEW.items()}
    moves = [Move(name=name, part=part, before=digest(OLD.get(name))) for name, part in parts.items()]
    write_journal(folder, [*moves, Move(name="page.json", part="", before=digest(OLD["page.json"]))])
    (folder / "both.png").write_bytes(b"edited by hand")
    finish_interrupted(folder)
    assert seen(folder) == {**NEW, "both.png": b"edited by hand"}
    assert hidden(folder) == []


SECRET = digest(b"secret")


@pytest.mark.parametrize(
    "moves",
    [
        [{"name": "../secret.txt", "part": "", "before": SECRET}],
        [{"name": "../out/../secret.txt", "part": "", "before": SECRET}],
        [{"name": "ABSOLUTE", "part": "", "before": SECRET}],
        [{"name": "sub/secret.txt", "part": "", "before": SECRET}],
        [{"name": "a.txt", "part": "../secret.txt", "before": ""}],
        [{"name": "a.txt"}],
        "nonsense",
    ],
)
def test_a_journal_reaches_nothing_outside_its_folder(tmp_path, moves):
    secret = tmp_path / "secret.txt"
    secret.write_bytes(b"secret")
    folder = lay(tmp_path / "out", OLD)
    (folder / "sub").symlink_to(tmp_path)
    text = json.dumps({"version": 1, "moves": moves}).replace("ABSOLUTE", str(secret))
    (folder / ".palette.abcdefgh.pending").write_text(text)
    finish_interrupted(folder)
    write_together(folder, NEW, gone=["page.json"])
    assert secret.read_bytes() == b"secret"
    assert "a.txt" not in seen(folder)
